// A small table of the household's, one row a person, vehicle, rate or quote: typed into cell by cell.
import { csvSheet, valueIn } from '../../tables/csv-edit.js'
import type { Problem } from '../../tables/problem.js'
import type { Book } from './book.js'
import { button, el, refill, select } from './dom.js'
import { Field } from './field.js'
import { addLines, dropLine, type RowRef, setCells } from './intents.js'
import type { ColumnFacts } from './lists.js'
import { type Understood, understoodDay, understoodNumber, understoodText } from './understand.js'

export interface TableFacts {
  readonly file: string
  readonly title: string
  readonly says: string
  /** What a row is called, for the button. */
  readonly row: string
  /** What a new row begins with. */
  readonly fresh: () => Readonly<Record<string, string>>
  /** Columns that are seen; all otherwise. */
  readonly shown?: readonly string[]
}

/** Reads what was typed by the kind of its column. */
export function understoodAs(column: ColumnFacts, typed: string): Understood<string> {
  if (typed.trim() === '') return { ok: true, value: '' }
  if (column.kind === 'number') return understoodNumber(typed)
  if (column.kind === 'date') return understoodDay(typed)
  const text = understoodText(typed)
  const isCode = /^[A-Z]{2,3}$/.test(column.example)
  return text.ok && isCode && /^[a-z]{2,3}$/.test(text.value)
    ? { ok: true, value: text.value.toUpperCase() }
    : text
}

export class SmallTable {
  readonly root: HTMLElement
  readonly #place = el('div', { class: 'wide' })
  readonly #word = el('p', { class: 'word' })
  #fields: { field?: Field; choice?: HTMLSelectElement; ref: RowRef; column: string }[] = []
  #shape = ''

  constructor(
    readonly book: Book,
    readonly facts: TableFacts,
    readonly problems: () => readonly Problem[],
  ) {
    this.root = el(
      'details',
      { class: 'part' },
      el('summary', {}, facts.title),
      el('p', { class: 'fine' }, facts.says),
      this.#place,
      this.#word,
      button(`Add ${facts.row}`, () => {
        this.#word.textContent =
          this.book.edit(`${facts.row} added`, addLines(facts.file, [facts.fresh()])) ?? ''
      }),
    )
  }

  show(columns: readonly ColumnFacts[]): void {
    const { file, shown } = this.facts
    const sheet = csvSheet(this.book.texts[file] ?? '')
    const rows = sheet?.rows ?? []
    const seen = columns.filter(({ name }) => shown === undefined || shown.includes(name))
    const shape = `${rows.length}|${seen.map(({ name }) => name).join()}`
    if (shape !== this.#shape) this.#build(rows.length, seen)
    this.#shape = shape
    const mark = sheet?.header.cells[0]?.value ?? ''
    const problems = this.problems().filter((problem) => problem.file === file)
    this.#fields.forEach((cell, i) => {
      const at = Math.floor(i / seen.length)
      const row = rows[at]
      if (!sheet || !row) return
      cell.ref = { index: at, key: valueIn(sheet, row, mark) }
      const value = valueIn(sheet, row, cell.column)
      cell.field?.show(value)
      if (cell.choice && cell.choice.value !== value) cell.choice.value = value
      const own = problems.filter(({ line, column }) => line === row.line && column === cell.column)
      cell.field?.mark(own.map(({ expected, fix }) => `Expected ${expected}. ${fix}`).join(' '))
    })
    if (problems.length > 0) this.root.setAttribute('open', '')
  }

  #build(rows: number, columns: readonly ColumnFacts[]): void {
    this.#fields = []
    const head = columns.map(({ name, says, unit }) =>
      el('th', { scope: 'col', title: says }, `${words(name)}${unit ? `, ${unit}` : ''}`),
    )
    const body = Array.from({ length: rows }, (_, at) => {
      const cells = columns.map((column) =>
        el('td', { 'data-label': words(column.name) }, this.#cell(column, at)),
      )
      const drop = button('Remove', () => this.#drop(at), {
        class: 'small',
        'aria-label': `Remove ${this.facts.row} ${at + 1}`,
      })
      return el('tr', {}, ...cells, el('td', { class: 'acts' }, drop))
    })
    const empty = el('th', { scope: 'col' }, el('span', { class: 'said' }, 'Remove'))
    refill(
      this.#place,
      rows > 0 &&
        el(
          'table',
          { class: 'grid' },
          el('caption', { class: 'said' }, this.facts.title),
          el('thead', {}, el('tr', {}, ...head, empty)),
          el('tbody', {}, ...body),
        ),
    )
  }

  #cell(column: ColumnFacts, at: number): HTMLElement {
    const ref: RowRef = { index: at, key: '' }
    const label = `${words(column.name)}, ${this.facts.row} ${at + 1}`
    if (column.allowed.length > 0 && column.kind !== 'list') {
      const options = [
        ...(column.required ? [] : [['', 'as usual'] as const]),
        ...column.allowed.map((w) => [w, w] as const),
      ]
      const choice = select(label, options, '', (value) => this.#put(cell.ref, column.name, value))
      const cell = { choice, ref, column: column.name }
      this.#fields.push(cell)
      return choice
    }
    const field = new Field({
      label,
      placeholder: column.example,
      mode: column.kind === 'number' ? 'decimal' : 'text',
      take: (typed) => {
        const read = understoodAs(column, typed)
        if (!read.ok) return read
        const why = this.#put(cell.ref, column.name, read.value)
        return why === undefined ? read : { ok: false, why }
      },
    })
    const cell = { field, ref, column: column.name }
    this.#fields.push(cell)
    return field.root
  }

  #put(ref: RowRef, column: string, value: string): string | undefined {
    const name = `${this.facts.row} ${ref.key}: ${words(column)} ${value || 'taken out'}`
    const why = this.book.edit(name, setCells(this.facts.file, ref, { [column]: value }))
    this.#word.textContent = why ?? ''
    return why
  }

  #drop(at: number): void {
    const cell = this.#fields.find(({ ref }) => ref.index === at)
    if (cell)
      this.#word.textContent =
        this.book.edit(`${this.facts.row} ${cell.ref.key} removed`, dropLine(this.facts.file, cell.ref)) ?? ''
  }
}

/** A column's name as words. */
export const words = (name: string): string => name.replaceAll('_', ' ').replaceAll('-', ' ')
