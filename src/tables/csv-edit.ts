// A CSV file as text that can be changed without touching what was not meant: every cell knows where it stands, and a
// change is a list of replaced stretches, whose inverse is exact.

import { delimiterOf } from './split.js'

/** One stretch of a text replaced by another. `at` counts UTF-16 units from the start of the text. */
export interface Patch {
  readonly at: number
  readonly removed: string
  readonly inserted: string
}

/** Where a cell stands: `start` to `end` without the blanks around it, quotation marks included. */
export interface CellSpan {
  readonly start: number
  readonly end: number
  /** What the cell says: without quotation marks, doubled ones single, blanks around it gone. */
  readonly value: string
}

/** One row of a file. `end` is where its line end begins, `next` where the following row does. */
export interface CsvRecord {
  /** Line it begins in, from 1; the same number that messages about the file name. */
  readonly line: number
  readonly start: number
  readonly end: number
  readonly next: number
  readonly cells: readonly CellSpan[]
}

/** A file taken apart so far that its cells can be changed in place. */
export interface CsvSheet {
  readonly text: string
  readonly delimiter: string
  readonly eol: string
  readonly decimalComma: boolean
  readonly header: CsvRecord
  /** Rows with something in them, in the order of the file; blank lines stay in the text. */
  readonly rows: readonly CsvRecord[]
}

const COMMENT = /^\s*"?#|^sep=.$/i
const DECIMAL_COMMA = /^\s*"?#\s*decimal\s*:\s*comma\s*"?[\s,;]*$/i

/**
 * Takes a CSV text apart under the rules of `readGrid`: comma, semicolon or tab, byte order mark, any line end, quoted
 * line breaks, lines with `#` before the header.
 *
 * @returns undefined where the text has no header or its quotation marks do not open and close; `readGrid` says why
 */
export function csvSheet(text: string): CsvSheet | undefined {
  let at = text.startsWith('\uFEFF') ? 1 : 0
  let line = 1
  let decimalComma = false
  while (at < text.length) {
    const { end, next } = lineAt(text, at)
    const found = text.slice(at, end)
    if (found.trim() !== '' && !COMMENT.test(found)) break
    decimalComma ||= DECIMAL_COMMA.test(found)
    at = next
    line += 1
  }
  if (at >= text.length) return undefined
  const delimiter = delimiterOf(text.slice(at).replace(/\r\n?/g, '\n'))
  const records: CsvRecord[] = []
  while (at < text.length) {
    const record = recordAt(text, at, line, delimiter)
    if (!record) return undefined
    records.push(record)
    line += lineEnds(text.slice(at, record.next))
    at = record.next
  }
  const [header, ...rest] = records
  if (!header) return undefined
  const rows = rest.filter(({ cells }) => cells.some(({ value }) => value !== ''))
  const eol = /\r\n|\n|\r/.exec(text)?.[0] ?? '\n'
  return { text, delimiter, eol, decimalComma, header, rows }
}

function lineAt(text: string, from: number): { end: number; next: number } {
  let end = from
  while (end < text.length && text[end] !== '\n' && text[end] !== '\r') end += 1
  return { end, next: afterLineEnd(text, end) }
}

const afterLineEnd = (text: string, at: number): number =>
  at >= text.length ? at : text[at] === '\r' && text[at + 1] === '\n' ? at + 2 : at + 1

const lineEnds = (text: string): number => text.match(/\r\n|\n|\r/g)?.length ?? 0

function recordAt(text: string, start: number, line: number, delimiter: string): CsvRecord | undefined {
  const cells: CellSpan[] = []
  const isBlank = (at: number): boolean => text[at] !== delimiter && /[^\S\r\n]/.test(text[at] ?? '\n')
  const isEnd = (at: number): boolean => at >= text.length || text[at] === '\n' || text[at] === '\r'
  let at = start
  for (;;) {
    while (isBlank(at)) at += 1
    const from = at
    if (text[at] === '"') {
      at += 1
      while (at < text.length && (text[at] !== '"' || text[at + 1] === '"')) at += text[at] === '"' ? 2 : 1
      if (at >= text.length) return undefined
      at += 1
      const value = text
        .slice(from + 1, at - 1)
        .replaceAll('""', '"')
        .trim()
      cells.push({ start: from, end: at, value })
      while (isBlank(at)) at += 1
      if (!isEnd(at) && text[at] !== delimiter) return undefined
    } else {
      while (!isEnd(at) && text[at] !== delimiter) at += 1
      let end = at
      while (end > from && isBlank(end - 1)) end -= 1
      cells.push({ start: from, end, value: text.slice(from, end) })
    }
    if (isEnd(at)) return { line, start, end: at, next: afterLineEnd(text, at), cells }
    at += 1
  }
}

/** A text as it stands in a cell: in quotation marks where the file's rules ask for them. */
export function cellText(value: string, delimiter: string, quoted = false): string {
  const plain = value.trim()
  const must = plain.includes(delimiter) || /["\r\n]/.test(plain)
  return must || (quoted && plain !== '') ? `"${plain.replaceAll('"', '""')}"` : plain
}

/** The value of a cell; '' where the row is shorter than the header or the file lacks the column. */
export const valueIn = (sheet: CsvSheet, row: CsvRecord, column: string): string =>
  row.cells[columnAt(sheet, column)]?.value ?? ''

/** Position of a column, -1 where the file does not have it. */
export const columnAt = (sheet: CsvSheet, column: string): number =>
  sheet.header.cells.findIndex(({ value }) => value === column)

const replaced = (text: string, start: number, end: number, inserted: string): Patch[] =>
  text.slice(start, end) === inserted ? [] : [{ at: start, removed: text.slice(start, end), inserted }]

/**
 * A cell given another value. A row that is too short is filled up; a column that the file lacks is added to its
 * header, and no other row is touched.
 *
 * @returns patches, each for the text as the ones before it leave it; none where nothing changes
 */
export function setCell(sheet: CsvSheet, row: CsvRecord, column: string, value: string): Patch[] {
  const at = columnAt(sheet, column)
  if (at < 0) {
    if (value.trim() === '') return []
    // From the back, so that the first patch leaves the positions of the second as they are.
    const named = sheet.header.cells.findLastIndex((cell) => cell.value !== '')
    return [...putAt(sheet, row, named + 1, value), ...addColumn(sheet, column)]
  }
  return putAt(sheet, row, at, value)
}

/** The cell at a position of a row given another value, also of the header: how a scenario is renamed. */
export function putAt(sheet: CsvSheet, row: CsvRecord, position: number, value: string): Patch[] {
  const { text, delimiter } = sheet
  const cell = row.cells[position]
  if (cell) {
    const quoted = text[cell.start] === '"'
    if (cell.value === value.trim()) return []
    return replaced(text, cell.start, cell.end, cellText(value, delimiter, quoted))
  }
  if (value.trim() === '') return []
  const missing = delimiter.repeat(position - row.cells.length + 1)
  return [{ at: row.end, removed: '', inserted: `${missing}${cellText(value, delimiter)}` }]
}

/** A column added behind the last that has a name; rows stay as they are, and read as blank there. */
export function addColumn(sheet: CsvSheet, name: string): Patch[] {
  const { header, delimiter } = sheet
  const named = header.cells.findLastIndex(({ value }) => value !== '')
  // Spreadsheet programs leave nameless columns at the end: the first of them takes the name.
  if (header.cells[named + 1]) return putAt(sheet, header, named + 1, name)
  return [{ at: header.end, removed: '', inserted: `${delimiter}${cellText(name, delimiter)}` }]
}

/** A column taken away from the header and from every row that reaches it. */
export function removeColumn(sheet: CsvSheet, position: number): Patch[] {
  const { text } = sheet
  return [sheet.header, ...sheet.rows].toReversed().flatMap(({ cells, end }) => {
    const cell = cells[position]
    if (!cell) return []
    const after = cells[position + 1]
    const before = cells[position - 1]
    if (after) return replaced(text, cell.start, after.start, '')
    return replaced(text, before ? before.end : cell.start, end, '')
  })
}

/** The text of a row in the file's own order of columns; columns that the file lacks are left out. */
export function rowText(sheet: CsvSheet, values: Readonly<Record<string, string>>): string {
  // A column may be named as what every object has, `toString` for instance.
  const own = new Map(Object.entries(values))
  const texts = sheet.header.cells.map(({ value }) => cellText(own.get(value) ?? '', sheet.delimiter))
  return texts.join(sheet.delimiter)
}

/**
 * New rows put behind a row, or at the end of the file.
 *
 * @param rows values by column; a column that the file lacks is added to its header first
 * @param after position among `sheet.rows`; -1 puts the rows first
 */
export function addRows(
  sheet: CsvSheet,
  rows: readonly Readonly<Record<string, string>>[],
  after = sheet.rows.length - 1,
): Patch[] {
  if (rows.length === 0) return []
  const known = new Set(sheet.header.cells.map(({ value }) => value))
  const used = rows.flatMap((row) => Object.keys(row).filter((name) => (row[name] ?? '').trim() !== ''))
  const lacking = [...new Set(used)].filter((name) => !known.has(name))
  const [first] = lacking
  if (first !== undefined) {
    const header = addColumn(sheet, first)
    const widened = csvSheet(applied(sheet.text, header))
    return widened ? [...header, ...addRows(widened, rows, after)] : []
  }
  const before = sheet.rows[after] ?? sheet.header
  const texts = rows.map((row) => rowText(sheet, row))
  const ended = before.next > before.end
  const block = ended
    ? texts.map((text) => `${text}${sheet.eol}`).join('')
    : texts.map((text) => `${sheet.eol}${text}`).join('')
  return [{ at: before.next, removed: '', inserted: block }]
}

/** A row taken away with its line end. */
export function removeRow({ text, rows }: CsvSheet, position: number): Patch[] {
  const row = rows[position]
  if (!row) return []
  if (row.next > row.end || row.start === 0) return replaced(text, row.start, row.next, '')
  // The last line of a file without a final line end: the one before it must not gain an empty line.
  const start = text.slice(0, row.start).replace(/(\r\n|\n|\r)$/, '').length
  return replaced(text, start, row.end, '')
}

/** A row moved to stand where another stands; the rest keep their order. */
export function moveRow(sheet: CsvSheet, from: number, to: number): Patch[] {
  const row = sheet.rows[from]
  if (!row || from === to || !sheet.rows[to]) return []
  const own = sheet.text.slice(row.start, row.end)
  const taken = removeRow(sheet, from)
  const rest = csvSheet(applied(sheet.text, taken))
  if (!rest) return []
  const before = rest.rows[to - 1] ?? rest.header
  const ended = before.next > before.end
  return [
    ...taken,
    { at: before.next, removed: '', inserted: ended ? `${own}${sheet.eol}` : `${sheet.eol}${own}` },
  ]
}

/** One text changed into another by the stretch between what both begin and end with. */
export function replacedText(from: string, to: string): Patch[] {
  if (from === to) return []
  const most = Math.min(from.length, to.length)
  let head = 0
  while (head < most && from[head] === to[head]) head += 1
  let tail = 0
  while (tail < most - head && from[from.length - 1 - tail] === to[to.length - 1 - tail]) tail += 1
  return [
    { at: head, removed: from.slice(head, from.length - tail), inserted: to.slice(head, to.length - tail) },
  ]
}

/**
 * A text after patches, one after the other.
 *
 * Throws one sentence where a patch does not find what it replaces: it was made for another text.
 */
export function applied(text: string, patches: readonly Patch[]): string {
  return patches.reduce((now, { at, removed, inserted }) => {
    if (now.slice(at, at + removed.length) !== removed) {
      throw new Error(
        `the change replaces ${JSON.stringify(removed.slice(0, 40))} at ${at}, but ${JSON.stringify(now.slice(at, at + removed.length).slice(0, 40))} stands there`,
      )
    }
    return now.slice(0, at) + inserted + now.slice(at + removed.length)
  }, text)
}

/** What takes patches back: each the other way round, the last first. */
export const inverse = (patches: readonly Patch[]): Patch[] =>
  patches.toReversed().map(({ at, removed, inserted }) => ({ at, removed: inserted, inserted: removed }))
