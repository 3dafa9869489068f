// A line of the inventory as the page shows it: its columns, their heads, what each of them shows.
import { type CsvSheet, valueIn } from '../../tables/csv-edit.js'
import type { RowRef } from './intents.js'

export const FILE = 'inventory.csv'

/** The columns that are seen first; the others stand behind “more”. */
export const SHOWN = ['item', 'quantity', 'size', 'mass', 'value', 'replacement_value', 'take'] as const
export const MORE = [
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
export type Column = (typeof SHOWN)[number] | (typeof MORE)[number]

export const HEADS: Readonly<Record<Column, string>> = {
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
export const BEHIND: Partial<Record<Column, readonly string[]>> = {
  item: ['item', 'item_code', 'line'],
  size: ['volume_m3', 'volume_ft3', 'length_cm', 'width_cm', 'height_cm'],
  mass: ['mass_kg'],
  value: ['value', 'currency'],
}

export interface Line {
  readonly ref: RowRef
  readonly line: number
  readonly room: string
  readonly cell: (column: string) => string
}

/** Where a line goes: along, where its row does not say. */
export const goesTo = (line: Line): string => line.cell('take') || 'ship'

export const NO_SIZE = { volume_m3: '', volume_ft3: '', length_cm: '', width_cm: '', height_cm: '' }

/** What a column of the page shows of a line. */
export function shownIn({ cell }: Line, column: Column): string {
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

/** The lines of inventory.csv, in its order. */
export function linesOf(sheet: CsvSheet): Line[] {
  const mark = sheet.header.cells[0]?.value ?? ''
  return sheet.rows.map((row, index) => {
    const cell = (column: string): string => valueIn(sheet, row, column)
    return { ref: { index, key: cell(mark) }, line: row.line, room: cell('room') || 'No room', cell }
  })
}
