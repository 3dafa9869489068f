// Lines pasted from a spreadsheet: with a header that names columns, or item, number, size, mass, value in that order.
import { filledBy, type KnownItem, matching } from './fill.js'
import { HEADERS } from './intents.js'
import {
  understoodMass,
  understoodMoney,
  understoodNumber,
  understoodSize,
  understoodText,
} from './understand.js'

export interface Pasted {
  readonly rows: readonly Readonly<Record<string, string>>[]
  /** Lines that could not be read, each with why. */
  readonly refused: readonly string[]
}

const COLUMNS = new Set((HEADERS['inventory.csv'] ?? '').split(','))
const PLAIN = ['item', 'quantity', 'size', 'mass', 'value'] as const

/** Reads lines of cells separated by tabs. Cells that are not understood refuse their line; nothing is guessed. */
export function pastedLines(text: string, items: readonly KnownItem[]): Pasted {
  const lines = text.split(/\r\n|\n|\r/).filter((line) => line.trim() !== '')
  const cells = lines.map((line) =>
    line.split('\t').map((cell) =>
      cell
        .trim()
        .replace(/^"(.*)"$/, '$1')
        .replaceAll('""', '"'),
    ),
  )
  const head = cells[0]?.map((cell) => cell.toLowerCase().replaceAll(' ', '_')) ?? []
  const named =
    head.includes('item') &&
    head.filter((name) => COLUMNS.has(name) || name === 'size' || name === 'mass').length === head.length
  const columns: readonly string[] = named ? head : PLAIN
  const rows: Record<string, string>[] = []
  const refused: string[] = []
  for (const row of named ? cells.slice(1) : cells) {
    const read = lineOf(Object.fromEntries(columns.map((name, i) => [name, row[i] ?? ''])), items)
    if (typeof read === 'string') refused.push(`${row[0] ?? ''}: ${read}`)
    else rows.push(read)
  }
  return { rows, refused }
}

function lineOf(row: Record<string, string>, items: readonly KnownItem[]): Record<string, string> | string {
  const { size = '', mass = '', line: _mark, ...rest } = row
  const item = understoodText(rest.item ?? '')
  if (!item.ok) return item.why
  if (item.value === '') return 'nothing says what it is'
  const exact = items.find(({ label }) => label.toLowerCase() === item.value.toLowerCase())
  const known = exact ?? matching(items, item.value, 1)[0]
  const sized =
    ['volume_m3', 'volume_ft3', 'length_cm'].some((name) => (rest[name] ?? '') !== '') || size !== ''
  const base =
    known && !sized ? filledBy(known) : { class: 'other', packing: 'none', take: 'ship', quantity: '1' }
  const made: Record<string, string> = { ...base }
  for (const [name, value] of Object.entries(rest)) {
    if (value === '') continue
    const read = cellOf(name, value)
    if (typeof read === 'string') return read
    Object.assign(made, read)
  }
  if (size !== '') {
    const read = understoodSize(size)
    if (!read.ok) return read.why
    const { kind: _kind, ...sides } = read.value
    Object.assign(made, sides)
  }
  if (mass !== '') {
    const read = understoodMass(mass)
    if (!read.ok) return read.why
    made.mass_kg = read.value
  }
  return made
}

const NUMBERS = /^(quantity|volume_|length_|width_|height_|mass_kg)/

function cellOf(name: string, value: string): Record<string, string> | string {
  if (name === 'value' || name === 'replacement_value') {
    const read = understoodMoney(value)
    if (!read.ok) return read.why
    return {
      [name]: read.value.amount,
      ...(read.value.currency === undefined ? {} : { currency: read.value.currency }),
    }
  }
  const read = NUMBERS.test(name) ? understoodNumber(value) : understoodText(value)
  return read.ok ? { [name]: read.value } : read.why
}
