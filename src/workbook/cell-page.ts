import type { Decimal } from 'decimal.js'
import { exact } from '../quantity/exact.js'
import type { Recorded } from '../quantity/recorded.js'
import type { Book } from './book.js'
import { type CellSheet, isDetail, type LaidRow, numberFormat, stored } from './layout.js'
import { madeFrom } from './made-from.js'
import { address, columnLetters } from './names.js'
import type { Content, Page } from './page-content.js'
import {
  FIRST_ROW,
  FIRST_VALUE,
  HEADING_ROW,
  heading,
  inColumn,
  note,
  plain,
  runs,
  titleRows,
  unitStyle,
  withFormat,
  wrapped,
} from './sheet-rows.js'
import { CHANGED_LOOK, type Style } from './styles.js'

/** Names of the two numbers on Check that say how near a figure must be to the model's. */
export const NEAR = 'check_near'
export const RELATIVELY_NEAR = 'check_relatively_near'

const subtitles: Readonly<Record<CellSheet, string>> = {
  Inputs: 'Change the yellow cells. A pale cell follows the first scenario until something is typed over it.',
  Inventory: 'What is moved, line by line: yellow and pale cells are inputs, the others formulas.',
  Volume: 'Volume, mass and stowage. Estimates: the packed container may differ.',
  Ways: 'The same figures for every way to carry and to declare; the other sheets show the way taken.',
  Cost: 'What each way of moving costs. Estimates, not quotes.',
  Customs: 'Duty and tax on arrival. Ask the customs office or a licensed broker before relying on it.',
  Cover: 'Value, premium and what each cover is worth. The policy wording decides.',
  Time: 'Days and what waiting costs.',
  Quotes: 'Quotes received, brought to one volume and one list of services.',
  Further: 'Other results of the plan.',
}

/** A sheet of inputs, results or both. */
export function cellPage(book: Book, sheet: CellSheet): Page {
  const rows = book.rows.get(sheet) ?? []
  const withInputs = rows.some((row) => row.kind === 'input')
  const scenarios = book.scenarios.map((s) => s.name)
  const after = FIRST_VALUE + scenarios.length
  const { state, asWritten } = stateColumns(book, sheet)
  const last = FIRST_ROW + rows.length - 1
  const headings = [
    'Id',
    'What it is',
    ...scenarios,
    'Unit',
    ...(withInputs ? ['Low', 'High'] : []),
    'Source, or what it is made from',
    'Confirmed',
    'State',
    ...scenarios.map((name) => `${name}, as written`),
  ]
  const body = rows.map((laid, i) => bodyRow(book, laid, FIRST_ROW + i, withInputs))
  const valueRange = `${address(FIRST_VALUE, FIRST_ROW)}:${address(after - 1, last)}`
  const inputRows = rows.flatMap((row, i) => (row.kind === 'input' ? [FIRST_ROW + i] : []))
  return {
    name: sheet,
    rows: [
      ...titleRows(sheet, subtitles[sheet]),
      headings.map((text) => ({ text, style: heading })),
      ...body,
    ],
    widths: [
      30,
      52,
      ...scenarios.map(() => 16),
      14,
      ...(withInputs ? [11, 11] : []),
      48,
      16,
      10,
      ...scenarios.map(() => 0),
    ],
    frozen: { rows: FIRST_ROW, columns: FIRST_VALUE },
    headings: { row: HEADING_ROW, columns: state + 1 },
    hidden: sheet === 'Ways',
    detailRows: new Set(rows.flatMap((laid, i) => (isDetail(laid) ? [FIRST_ROW + i] : []))),
    ...(sheet === 'Ways' ? {} : { printed: { from: 1, to: after + 1 } }),
    portrait: true,
    ...(withInputs
      ? {
          looks: [
            {
              range: valueRange,
              condition: `AND($${columnLetters(state)}${FIRST_ROW + 1}="changed",${address(FIRST_VALUE, FIRST_ROW)}<>${address(asWritten, FIRST_ROW)})`,
              look: CHANGED_LOOK,
            },
          ],
          numbersOnly: runs(inputRows).map(
            ([from, to]) => `${address(FIRST_VALUE, from)}:${address(after - 1, to)}`,
          ),
        }
      : {}),
  }
}

/** Columns after values, unit, range, source and confirmed: the state of the row, then each value as written. */
export function stateColumns(book: Book, sheet: CellSheet): { state: number; asWritten: number } {
  const withInputs = book.rows.get(sheet)?.some((row) => row.kind === 'input') ?? false
  const state = FIRST_VALUE + book.scenarios.length + (withInputs ? 5 : 3)
  return { state, asWritten: state + 1 }
}

function bodyRow(book: Book, laid: LaidRow, row: number, withInputs: boolean): (Content | undefined)[] {
  const format = numberFormat(laid, book.minorUnits)
  const shown = laid.cells.find((cell) => cell !== undefined)
  const range = shown?.value.operation.kind === 'input' ? shown.value.operation.row : undefined
  const origin = laid.kind === 'input' ? shown?.source : madeFromText(shown?.value)
  return [
    { text: laid.id, style: note },
    { text: laid.label, style: wrapped },
    ...book.scenarios.map((_, s) => valueCell(book, laid, s, format)),
    { text: laid.unit, style: unitStyle },
    ...(withInputs
      ? [
          range && { number: stored(range.low), style: withFormat(note, format) },
          range && { number: stored(range.high), style: withFormat(note, format) },
        ]
      : []),
    { text: origin ?? shown?.source ?? '', style: { ...note, indent: true } },
    { text: shown?.confirmed ?? (laid.kind === 'derived' ? 'worked out' : ''), style: note },
    ...stateOf(book, laid, row, withFormat(plain, format)),
  ]
}

function valueCell(book: Book, laid: LaidRow, s: number, format: string | undefined): Content | undefined {
  const cell = laid.cells[s]
  if (!cell) return undefined
  if (laid.kind === 'derived') {
    const style = withFormat(laid.sheet === 'Inventory' ? { fill: 'band' } : plain, format)
    return { formula: inColumn(book.formulas.get(laid.id) ?? '', s, laid.sheet), style }
  }
  const own: Style = withFormat({ font: 'input', fill: 'input', border: 'thin', unlocked: true }, format)
  const link = linkOf(book, laid, s)
  const typed = typedValue(book, laid.id, s, link !== undefined)
  if (typed) return { number: stored(typed), style: own }
  if (link) return { formula: link, style: { ...own, fill: 'linked' } }
  return { number: stored(cell.value.value), style: own }
}

/** Address of the first scenario's input, where a later one has the same value. */
function linkOf(book: Book, laid: LaidRow, s: number): string | undefined {
  const owner = book.placed.get(laid.id)?.owner ?? s
  const first = laid.cells[owner]
  const cell = laid.cells[s]
  if (owner === s || !first || !cell || !first.value.value.eq(cell.value.value)) return undefined
  return `$${address(FIRST_VALUE + owner, book.placed.get(laid.id)?.row ?? 0)}`
}

function typedValue(book: Book, id: string, s: number, linked: boolean): Decimal | undefined {
  const name = book.scenarios[s]?.name
  const fitting = (book.options.inputValues ?? []).filter(
    (v) => v.id === id && (v.scenario === undefined ? !linked : v.scenario === name),
  )
  const last = fitting.at(-1)
  return last && exact.of(last.value)
}

/** Whether an input was changed, whether a result is still the model's; then the values as written. */
function stateOf(book: Book, laid: LaidRow, row: number, style: Style): (Content | undefined)[] {
  const { asWritten } = stateColumns(book, laid.sheet)
  const pairs = laid.cells.flatMap((cell, s) =>
    cell ? [[address(FIRST_VALUE + s, row), address(asWritten + s, row)] as const] : [],
  )
  const differs = pairs.map(([now, was]) => `${now}<>${was}`)
  const close = pairs.map(([now, was]) => `ABS(${now}-${was})<=${NEAR}+${RELATIVELY_NEAR}*ABS(${was})`)
  const formula =
    laid.kind === 'input'
      ? `IF(OR(${differs.join(',')}),"changed","")`
      : `IFERROR(IF(AND(${close.join(',')}),"same","differs"),"no number")`
  return [
    { formula, style: laid.kind === 'input' ? { font: 'caution' } : note },
    ...laid.cells.map((cell) => cell && { number: stored(cell.value.value), style }),
  ]
}

function madeFromText(value: Recorded | undefined): string {
  if (!value) return ''
  const ids = madeFrom(value, 8)
  return ids.length > 8 ? `${ids.slice(0, 8).join(', ')} and others` : ids.join(', ')
}
