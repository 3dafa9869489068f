// A line of the inventory as a row of the page: typed into, marked with its problems.
import { isUnlikely, type Problem, short } from '../../tables/problem.js'
import { button, el, refill, select } from './dom.js'
import { Field } from './field.js'
import { filledBy } from './fill.js'
import { setCells } from './intents.js'
import type { Word } from './lists.js'
import type { Saving } from './model.js'
import {
  BEHIND,
  type Column,
  FILE,
  goesTo,
  HEADS,
  type Line,
  MORE,
  NO_SIZE,
  SHOWN,
  shownIn,
} from './thing-line.js'
import type { Things } from './things.js'
import {
  type Understood,
  understoodDay,
  understoodMass,
  understoodMoney,
  understoodSize,
  understoodText,
  understoodWithin,
} from './understand.js'

const TAKES = [
  ['ship', 'ship it'],
  ['leave', 'leave it behind'],
  ['carry', 'carry it along'],
] as const

export class LineRow {
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

const withoutBlank = (row: Record<string, string>, without: readonly string[]): Record<string, string> =>
  Object.fromEntries(Object.entries(row).filter(([name]) => !without.includes(name)))
