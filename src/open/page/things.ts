// The things of the household: rooms with their lines, typed into, pasted into, moved between.
import { type CsvSheet, csvSheet, valueIn } from '../../tables/csv-edit.js'
import { isUnlikely, type Problem, short } from '../../tables/problem.js'
import type { Book } from './book.js'
import { button, el, refill, say, select } from './dom.js'
import { Field } from './field.js'
import { filledBy, type KnownItem, matching, quickLine } from './fill.js'
import {
  addLines,
  dropLine,
  type Intent,
  moveLine,
  nextMark,
  type RowRef,
  setCells,
  together,
} from './intents.js'
import type { Lists, Saving, Word } from './model.js'
import { pastedLines } from './paste.js'
import {
  type Understood,
  understoodDay,
  understoodMass,
  understoodMoney,
  understoodSize,
  understoodText,
  understoodWithin,
} from './understand.js'

const FILE = 'inventory.csv'

const TAKES = [
  ['ship', 'ship it'],
  ['leave', 'leave it behind'],
  ['carry', 'carry it along'],
] as const

/** The columns that are seen first; the others stand behind “more”. */
const SHOWN = ['item', 'quantity', 'size', 'mass', 'value', 'replacement_value', 'take'] as const
const MORE = [
  'room',
  'class',
  'packing',
  'acquired_on',
  'owner',
  'held',
  'material',
  'handling',
  'serial',
  'note',
] as const
type Column = (typeof SHOWN)[number] | (typeof MORE)[number]

const HEADS: Readonly<Record<Column, string>> = {
  item: 'What it is',
  quantity: 'How many',
  size: 'Size of one',
  mass: 'Mass of one, kg',
  value: 'Worth today, each',
  replacement_value: 'New, each',
  take: 'What becomes of it',
  room: 'Room',
  class: 'Kind for customs (goods class)',
  packing: 'Packed in',
  acquired_on: 'Bought or first used on',
  owner: 'Whose',
  held: 'How held',
  material: 'Materials the law asks about',
  handling: 'Handling',
  serial: 'Serial number',
  note: 'Note',
}

/** File columns behind a column of the page, for problems told by the file's names. */
const BEHIND: Partial<Record<Column, readonly string[]>> = {
  item: ['item', 'item_code', 'line'],
  size: ['volume_m3', 'volume_ft3', 'length_cm', 'width_cm', 'height_cm'],
  mass: ['mass_kg'],
  value: ['value', 'currency'],
}

interface Line {
  readonly ref: RowRef
  readonly line: number
  readonly room: string
  readonly cell: (column: string) => string
}

/** Where a line goes: along, where its row does not say. */
const goesTo = (line: Line): string => line.cell('take') || 'ship'

export interface ThingsContext {
  readonly book: Book
  readonly lists: () => Lists | undefined
  readonly currency: () => string
  readonly problems: () => readonly Problem[]
  /** Asks what leaving a line behind saves; the answer comes by `leavingIs`. */
  readonly wantLeaving: (line: string) => void
}

class LineRow {
  readonly root: HTMLTableRowElement
  readonly more: HTMLTableRowElement
  readonly #fields = new Map<Column, Field>()
  readonly #take: HTMLSelectElement
  readonly #open: HTMLButtonElement
  readonly #saves = el('p', { class: 'fine', role: 'status' })
  #shown = ''
  line: Line

  constructor(
    readonly things: Things,
    line: Line,
  ) {
    this.line = line
    this.#take = select('What becomes of it', TAKES, 'ship', (value) =>
      this.#put(`${this.#name}: ${TAKES.find(([id]) => id === value)?.[1] ?? value}`, { take: value }),
    )
    const cells = SHOWN.map((column) => {
      const content = column === 'take' ? this.#take : this.#field(column).root
      return el('td', { 'data-label': HEADS[column], class: `c-${column}` }, content)
    })
    this.#open = button('More', () => this.#toggle(), { class: 'small', 'aria-expanded': 'false' })
    const act = el('td', { class: 'acts' }, this.#open)
    this.root = el('tr', {}, ...cells, act)
    this.more = el('tr', { class: 'more', hidden: true }, el('td', { colspan: SHOWN.length + 1 }))
  }

  get #name(): string {
    return this.line.cell('item') || this.line.ref.key
  }

  /** Opens or closes the rest of the line; its fields are made when first asked for. */
  #toggle(): void {
    const cell = this.more.firstElementChild
    if (cell && cell.childElementCount === 0) {
      const labelled = MORE.map((column) =>
        el('label', { class: 'pair' }, el('span', {}, HEADS[column]), this.#field(column).root),
      )
      refill(
        cell,
        this.#saves,
        el('div', { class: 'pairs' }, ...labelled),
        el(
          'div',
          { class: 'row' },
          button('Copy', () => this.things.copy(this.line)),
          button('Up', () => this.things.shift(this.line, -1)),
          button('Down', () => this.things.shift(this.line, 1)),
          button('Remove', () => this.things.remove(this.line)),
        ),
      )
    }
    this.more.hidden = !this.more.hidden
    if (!this.more.hidden) this.things.context.wantLeaving(this.line.ref.key)
    this.#open.setAttribute('aria-expanded', String(!this.more.hidden))
    this.show(this.line)
  }

  /** Says what leaving the line behind saves in each scenario, or what shipping it would add. */
  leavingIs(savings: readonly Saving[]): void {
    const stays = goesTo(this.line) !== 'ship'
    const words = savings.map(({ name, value, text }) => {
      const expected = stays ? value < 0 : value > 0
      if (Math.abs(value) < 0.005) return `${name}: nothing`
      return `${name}: ${expected ? text : `nothing, the other way round ${text}`}`
    })
    this.#saves.textContent =
      words.length === 0
        ? ''
        : `${stays ? 'Shipping it would cost' : 'Leaving it behind saves'}: ${words.join('; ')}.`
  }

  show(line: Line): void {
    this.line = line
    const shown = [...this.#fields.keys(), 'item' as const, 'take' as const].map((one) => shownIn(line, one))
    // An edit touches one line of a hundred: writing them all would take longer than planning the household.
    const key = JSON.stringify([line.ref.key, ...shown])
    if (key === this.#shown) return
    this.#shown = key
    for (const [column, field] of this.#fields) field.show(shownIn(line, column))
    const take = goesTo(line)
    if (![...this.#take.options].some(({ value }) => value === take))
      this.#take.append(el('option', { value: take }, take))
    if (this.#take.value !== take) this.#take.value = take
    this.#take.setAttribute('aria-label', `${HEADS.take}: ${this.#name}`)
    this.root.classList.toggle('stays', take !== 'ship')
    this.#open.setAttribute('aria-label', `More about ${this.#name}`)
    this.#sayUsual()
  }

  mark(problems: readonly Problem[]): void {
    const words = new Map<Column, string[]>()
    const asked = new Map<Column, Problem>()
    for (const problem of problems) {
      const place =
        [...SHOWN, ...MORE].find((one) => (BEHIND[one] ?? [one]).includes(problem.column)) ?? 'item'
      // A word about a cell that is not open stands beside the first one.
      const column = this.#fields.has(place) ? place : 'item'
      if (isUnlikely(problem)) {
        if (!asked.has(column)) asked.set(column, problem)
        continue
      }
      const where = column === place ? '' : `${HEADS[place]}: `
      words.set(column, [
        ...(words.get(column) ?? []),
        `${where}Expected ${problem.expected}. ${problem.fix}`,
      ])
    }
    for (const [column, field] of this.#fields) {
      const question = asked.get(column)
      const text = question
        ? `Unlikely: ${short(question.found)}. Expected ${short(question.expected, 160)}.`
        : ''
      field.mark((words.get(column) ?? []).join(' '), text, question && (() => this.things.confirm(question)))
    }
    this.#sayUsual()
  }

  /** What the item table has, where the row says nothing. */
  #sayUsual(): void {
    const item = this.things.itemOf(this.line)
    this.#fields.get('size')?.hint(item ? `${item.ft3} ft³, usual` : '')
    this.#fields.get('mass')?.hint(item ? `${item.massKg}, usual` : '')
    const { classes = [], packings = [] } = this.things.context.lists() ?? {}
    const usual = (words: readonly Word[], id: string | undefined) => {
      const word = words.find((one) => one.id === id)
      return word ? `${word.label}, usual` : ''
    }
    this.#fields.get('class')?.hint(usual(classes, item?.class))
    this.#fields.get('packing')?.hint(usual(packings, item?.packing))
  }

  #put(name: string, values: Readonly<Record<string, string>>): Understood<unknown> {
    const why = this.things.context.book.edit(name, setCells(FILE, this.line.ref, values))
    return why === undefined ? { ok: true, value: values } : { ok: false, why }
  }

  #field(column: Column): Field {
    const known = this.#fields.get(column)
    if (known) return known
    const list = {
      item: 'items',
      class: 'classes',
      packing: 'packings',
      room: 'rooms',
      held: 'helds',
      owner: 'persons',
    }[column as string]
    const made = new Field({
      label: HEADS[column],
      ...(list === undefined ? {} : { list }),
      mode:
        column === 'quantity' || column === 'value' || column === 'replacement_value' ? 'decimal' : 'text',
      take: (typed) => this.#understood(column, typed),
    })
    this.#fields.set(column, made)
    return made
  }

  /** Reads what was typed into a column and puts it into the file. */
  #understood(column: Column, typed: string): Understood<unknown> {
    const title = `${this.#name}: ${HEADS[column].toLowerCase()} ${typed.trim() === '' ? 'taken out' : typed.trim()}`
    const put = <T>(
      read: Understood<T>,
      values: (value: T) => Record<string, string>,
    ): Understood<unknown> => {
      if (!read.ok) return read
      const done = this.#put(title, values(read.value))
      return done.ok && read.note !== undefined ? { ...done, note: read.note } : done
    }
    if (typed.trim() === '' && column !== 'item' && column !== 'room') {
      const blank = column === 'size' ? NO_SIZE : { [column === 'mass' ? 'mass_kg' : column]: '' }
      return this.#put(title, blank)
    }
    switch (column) {
      case 'quantity':
        return put(understoodWithin(typed, 0, 10_000, 'A number of things'), (quantity) => ({ quantity }))
      case 'size':
        return put(understoodSize(typed), ({ kind: _kind, ...size }) => ({ ...NO_SIZE, ...size }))
      case 'mass':
        return put(understoodMass(typed), (mass_kg) => ({ mass_kg }))
      case 'value':
      case 'replacement_value':
        return this.#money(column, title, typed)
      case 'acquired_on':
        return put(understoodDay(typed), (day) => ({ acquired_on: day }))
      case 'item': {
        const item = this.things.itemNamed(typed)
        return put(understoodText(typed), (text) =>
          item && this.line.cell('item_code') === '' && shownIn(this.line, 'size') === ''
            ? withoutBlank(filledBy(item), ['take', 'quantity'])
            : { item: text },
        )
      }
      case 'class':
      case 'packing':
        return put(understoodText(typed), (text) => ({ [column]: this.things.idOf(column, text) }))
      default:
        return put(understoodText(typed), (text) => ({ [column]: text }))
    }
  }

  /** Both amounts of a line share one currency: another one is taken only where the other amount is not there. */
  #money(column: 'value' | 'replacement_value', title: string, typed: string): Understood<unknown> {
    const read = understoodMoney(typed)
    if (!read.ok) return read
    const own = this.line.cell('currency') || this.things.context.currency()
    const { amount, currency = own } = read.value
    const other = this.line.cell(column === 'value' ? 'replacement_value' : 'value')
    if (currency !== own && other !== '')
      return { ok: false, why: `The other amount of this line is in ${own}; write this one in ${own}, too.` }
    const kept = currency === this.things.context.currency() ? '' : currency
    const done = this.#put(title, { [column]: amount, currency: kept })
    return done.ok && read.note !== undefined ? { ...done, note: read.note } : done
  }
}

const NO_SIZE = { volume_m3: '', volume_ft3: '', length_cm: '', width_cm: '', height_cm: '' }

const withoutBlank = (row: Record<string, string>, without: readonly string[]): Record<string, string> =>
  Object.fromEntries(Object.entries(row).filter(([name]) => !without.includes(name)))

/** What a column of the page shows of a line. */
function shownIn({ cell }: Line, column: Column): string {
  if (column === 'mass') return cell('mass_kg')
  if (column === 'value' || column === 'replacement_value') {
    const currency = cell('currency')
    return cell(column) === '' || currency === '' ? cell(column) : `${cell(column)} ${currency}`
  }
  if (column !== 'size') return cell(column)
  if (cell('length_cm') !== '') return `${cell('length_cm')} × ${cell('width_cm')} × ${cell('height_cm')} cm`
  if (cell('volume_m3') !== '') return `${cell('volume_m3')} m³`
  return cell('volume_ft3') === '' ? '' : `${cell('volume_ft3')} ft³`
}

class Room {
  readonly root: HTMLElement
  readonly #heading: HTMLElement
  readonly #body: HTMLTableSectionElement
  readonly #quick: Field
  #rows: LineRow[] = []

  constructor(
    readonly things: Things,
    readonly name: string,
  ) {
    this.#heading = el('h3', {}, name)
    this.#body = el('tbody')
    const head = el(
      'tr',
      {},
      ...SHOWN.map((column) => el('th', { scope: 'col' }, HEADS[column])),
      el('th', { scope: 'col' }, el('span', { class: 'said' }, 'More')),
    )
    this.#quick = new Field({
      label: `Add to ${name}: for example 4 dining chair`,
      list: 'items',
      placeholder: 'Add: 4 dining chair',
      take: (typed) => this.#added(typed),
    })
    this.#quick.input.addEventListener('paste', (event) => {
      const text = event.clipboardData?.getData('text/plain') ?? ''
      if (!/[\t\n]/.test(text.trim())) return
      event.preventDefault()
      this.things.paste(name, text)
    })
    this.root = el(
      'section',
      { class: 'room', 'aria-label': name },
      this.#heading,
      el(
        'div',
        { class: 'wide' },
        el(
          'table',
          { class: 'grid' },
          el('caption', { class: 'said' }, `Things in ${name}`),
          el('thead', {}, head),
          this.#body,
        ),
      ),
      el('div', { class: 'row quick' }, this.#quick.root),
    )
  }

  focus(): void {
    this.#quick.input.focus()
  }

  #added(typed: string): Understood<unknown> {
    if (typed.trim() === '') return { ok: true, value: '' }
    const text = understoodText(typed)
    if (!text.ok) return text
    const line = quickLine(this.things.context.lists()?.items ?? [], typed)
    if (!line)
      return { ok: false, why: 'Write what it is, with the number in front where there are several.' }
    const why = this.things.add(this.name, [line])
    if (why !== undefined) return { ok: false, why }
    say(`${line.quantity} ${line.item} added to ${this.name}`)
    // Ready for the next one; what was taken is told, because it may be another word than the one typed.
    this.#quick.input.value = ''
    return {
      ok: true,
      value: line,
      note: line.item_code ? `added: ${line.quantity} × ${line.item}` : `added: ${line.item}; give its size`,
    }
  }

  /** The row of a line, if this room has it. */
  rowOf(key: string): LineRow | undefined {
    return this.#rows.find(({ line }) => line.ref.key === key)
  }

  show(lines: readonly Line[], problems: ReadonlyMap<number, readonly Problem[]>): void {
    while (this.#rows.length > lines.length) {
      const row = this.#rows.pop()
      row?.root.remove()
      row?.more.remove()
    }
    lines.forEach((line, i) => {
      const known = this.#rows[i]
      if (known) {
        known.show(line)
        return
      }
      const made = new LineRow(this.things, line)
      made.show(line)
      this.#rows.push(made)
      this.#body.append(made.root, made.more)
    })
    for (const row of this.#rows) row.mark(problems.get(row.line.line) ?? [])
    const staying = lines.filter((line) => goesTo(line) !== 'ship').length
    const count = `${lines.length} ${lines.length === 1 ? 'line' : 'lines'}${staying > 0 ? `, ${staying} not shipped` : ''}`
    refill(this.#heading, this.name, ' ', el('small', {}, count))
  }
}

/** The part of the page where things are listed. */
export class Things {
  readonly root = el('section', { id: 'things', 'aria-label': 'Things' })
  readonly #rooms = new Map<string, Room>()
  readonly #place = el('div')
  readonly #word = el('p', { class: 'word', role: 'status' })
  readonly #lists = el('div', { hidden: true })
  #lines: readonly Line[] = []
  /** Rooms that were begun and hold nothing yet. */
  #begun: string[] = []
  readonly #starters = select('Begin a room with what it mostly holds', [], '', (room) => {
    this.#starters.value = ''
    if (room !== '') this.#beginWith(room)
  })

  constructor(readonly context: ThingsContext) {
    const name = el('input', {
      type: 'text',
      'aria-label': 'Name of a new room',
      placeholder: 'Another room',
      autocomplete: 'off',
    })
    const add = (): void => {
      const room = name.value.trim()
      if (room === '') {
        name.focus()
        return
      }
      this.begin(room)
      name.value = ''
    }
    name.addEventListener('keydown', (event) => event.key === 'Enter' && add())
    this.root.append(
      el('h2', {}, 'Things'),
      el(
        'p',
        { class: 'fine' },
        'One line a thing, or several alike. Type into any cell; paste lines from a spreadsheet into “Add”. Sizes in any unit: 2 m x 1 m x 40 cm, 6 ft 7 in x 3 ft x 3 ft, 12 ft³, 0.4 m3.',
      ),
      this.#word,
      this.#place,
      el('div', { class: 'row' }, name, button('Add room', add), this.#starters),
      this.#lists,
    )
  }

  /** A room to be filled. */
  begin(room: string): void {
    if (!this.#rooms.has(room)) {
      this.#begun.push(room)
      this.show()
    }
    this.#rooms.get(room)?.focus()
  }

  show(): void {
    const sheet = csvSheet(this.context.book.texts[FILE] ?? '')
    const broken = sheet === undefined && (this.context.book.texts[FILE] ?? '').trim() !== ''
    this.#word.textContent = broken
      ? 'inventory.csv cannot be shown as a table; its problems are told under Problems.'
      : ''
    this.#lines = sheet ? linesOf(sheet) : []
    const problems = new Map<number, Problem[]>()
    for (const problem of this.context.problems()) {
      if (problem.file === FILE) problems.set(problem.line, [...(problems.get(problem.line) ?? []), problem])
    }
    const byRoom = new Map<string, Line[]>()
    for (const line of this.#lines) byRoom.set(line.room, [...(byRoom.get(line.room) ?? []), line])
    this.#begun = this.#begun.filter((room) => !byRoom.has(room))
    const names = [...byRoom.keys(), ...this.#begun]
    for (const [name, room] of this.#rooms) {
      if (names.includes(name)) continue
      room.root.remove()
      this.#rooms.delete(name)
    }
    for (const name of names) {
      const known = this.#rooms.get(name) ?? new Room(this, name)
      if (!this.#rooms.has(name)) {
        this.#rooms.set(name, known)
        this.#place.append(known.root)
      }
      known.show(byRoom.get(name) ?? [], problems)
    }
    this.#offer(names)
  }

  #offered = ''
  /** The words that fields offer while typing. */
  #offer(rooms: readonly string[]): void {
    const lists = this.context.lists()
    const persons = csvSheet(this.context.book.texts['people.csv'] ?? '')
    const owners = persons?.rows.map((row) => valueIn(persons, row, 'person')) ?? []
    const key = `${lists?.items.length}|${rooms.join()}|${owners.join()}`
    if (key === this.#offered || !lists) return
    this.#offered = key
    const list = (id: string, words: readonly string[]): HTMLElement =>
      el('datalist', { id }, ...words.map((word) => el('option', { value: word })))
    refill(
      this.#lists,
      list(
        'items',
        lists.items.map(({ label }) => label),
      ),
      list(
        'classes',
        lists.classes.map(({ label }) => label),
      ),
      list(
        'packings',
        lists.packings.map(({ label }) => label),
      ),
      list('rooms', [...new Set([...rooms, ...lists.starters.keys()])]),
      list('helds', ['own', 'business', 'leased', 'tax-free', 'gift', 'inherited']),
      list('persons', owners),
    )
    const kinds = [...lists.starters.keys()].map((room) => el('option', { value: room }, room))
    refill(this.#starters, el('option', { value: '' }, 'A room with what it mostly holds …'), ...kinds)
  }

  leavingIs(line: string, savings: readonly Saving[]): void {
    for (const room of this.#rooms.values()) room.rowOf(line)?.leavingIs(savings)
  }

  itemOf(line: Line): KnownItem | undefined {
    const code = line.cell('item_code')
    return code === '' ? undefined : this.context.lists()?.items.find(({ id }) => id === code)
  }

  itemNamed(typed: string): KnownItem | undefined {
    const items = this.context.lists()?.items ?? []
    const exact = items.find(({ label }) => label.toLowerCase() === typed.trim().toLowerCase())
    return exact ?? (matching(items, typed, 2).length === 1 ? matching(items, typed, 1)[0] : undefined)
  }

  /** The id of a word that a field offers by its label. */
  idOf(column: 'class' | 'packing', typed: string): string {
    const words = (column === 'class' ? this.context.lists()?.classes : this.context.lists()?.packings) ?? []
    return words.find(({ label }) => label.toLowerCase() === typed.toLowerCase())?.id ?? typed
  }

  /** Lines put at the end of a room. */
  add(room: string, rows: readonly Readonly<Record<string, string>>[], name?: string): string | undefined {
    const marks = this.#lines.map(({ ref }) => ref.key)
    const filled = rows.map((row) => {
      const line = nextMark(marks, row.room ?? room)
      marks.push(line)
      return { room, ...row, line }
    })
    const last = this.#lines.findLast((line) => line.room === room)
    const what = name ?? `${rows[0]?.item ?? 'line'} added to ${room}`
    return this.context.book.edit(what, addLines(FILE, filled, last?.ref))
  }

  paste(room: string, text: string): void {
    const { rows, refused } = pastedLines(text, this.context.lists()?.items ?? [])
    const why = rows.length > 0 ? this.add(room, rows, `${rows.length} lines pasted into ${room}`) : undefined
    const word =
      why ?? `${rows.length} lines pasted${refused.length > 0 ? `; not taken: ${refused.join('; ')}` : ''}`
    this.#word.textContent = word
  }

  #beginWith(room: string): void {
    const { items = [], starters } = this.context.lists() ?? {}
    const rows = (starters?.get(room) ?? []).flatMap(([id, quantity]) => {
      const item = items.find((one) => one.id === id)
      return item ? [{ ...filledBy(item), quantity: String(quantity) }] : []
    })
    this.#word.textContent = this.add(room, rows, `${room} begun with ${rows.length} lines`) ?? ''
  }

  copy({ ref, cell, room }: Line): void {
    const sheet = csvSheet(this.context.book.texts[FILE] ?? '')
    const columns = sheet?.header.cells.map(({ value }) => value) ?? []
    const row = Object.fromEntries(columns.map((column) => [column, cell(column)]))
    const line = nextMark(
      this.#lines.map((one) => one.ref.key),
      room,
    )
    this.#do(`${cell('item')} copied`, addLines(FILE, [{ ...row, line, serial: '' }], ref))
  }

  remove({ ref, cell }: Line): void {
    this.#do(`${cell('item')} removed`, dropLine(FILE, ref))
    say(`${cell('item')} removed; undo brings it back`)
  }

  /** One place up or down in its room. */
  shift(line: Line, by: 1 | -1): void {
    const room = this.#lines.filter((one) => one.room === line.room)
    const to = room[room.findIndex(({ ref }) => ref.index === line.ref.index) + by]
    if (to) this.#do(`${line.cell('item')} moved`, moveLine(FILE, line.ref, to.ref))
  }

  /** An unlikely cell that is meant: confirmed.csv says so, and nobody asks again while it stands there. */
  confirm({ file, row = '', column, found }: Problem): void {
    this.#do(`${row} ${column} ${found} confirmed`, addLines('confirmed.csv', [{ file, row, column, found }]))
  }

  #do(name: string, ...intents: readonly Intent[]): void {
    this.#word.textContent = this.context.book.edit(name, together(...intents)) ?? ''
  }
}

function linesOf(sheet: CsvSheet): Line[] {
  const mark = sheet.header.cells[0]?.value ?? ''
  return sheet.rows.map((row, index) => {
    const cell = (column: string): string => valueIn(sheet, row, column)
    return { ref: { index, key: cell(mark) }, line: row.line, room: cell('room') || 'No room', cell }
  })
}
