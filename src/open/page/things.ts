// The things of the household: rooms with their lines, typed into, pasted into, moved between.
import { csvSheet, valueIn } from '../../tables/csv-edit.js'
import { groupBy } from '../../tables/group-by.js'
import type { Problem } from '../../tables/problem.js'
import type { Book } from './book.js'
import { button, el, refill, say, select } from './dom.js'
import { filledBy, type KnownItem, matching } from './fill.js'
import { addLines, dropLine, type Intent, moveLine, nextMark, together } from './intents.js'
import type { Lists } from './lists.js'
import type { Saving } from './model.js'
import { pastedLines } from './paste.js'
import { FILE, type Line, linesOf } from './thing-line.js'
import { Room } from './thing-room.js'

export interface ThingsContext {
  readonly book: Book
  readonly lists: () => Lists | undefined
  readonly currency: () => string
  readonly problems: () => readonly Problem[]
  /** Asks what leaving a line behind saves; the answer comes by `leavingIs`. */
  readonly wantLeaving: (line: string) => void
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
    const ours = this.context.problems().filter(({ file }) => file === FILE)
    const problems = groupBy(ours, ({ line }) => line)
    const byRoom = groupBy(this.#lines, ({ room }) => room)
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
