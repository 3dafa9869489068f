import { CsvError, type Info, parse } from 'csv-parse/sync'
import type { z } from 'zod'
import { factsOf } from './fields.js'
import { suggestion } from './nearest.js'
import type { Problem, Read } from './problem.js'

/** A file's name, as messages show it, and its text. */
export interface CsvFile {
  readonly file: string
  readonly text: string
}

/** Where a row stands, so that a later check can still say where it went wrong. */
export interface Place {
  readonly file: string
  readonly line: number
}

export type Row<S extends z.ZodObject> = z.output<S> & { readonly place: Place }

/** The cells of a file before any of them is read: header, then rows, each with its line. */
export interface Grid {
  readonly header: readonly string[]
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[]
  readonly decimalComma: boolean
  readonly headerLine: number
}

/**
 * Splits a CSV text into cells. Takes comma, semicolon or tab; a byte order mark; CRLF or LF; quoted newlines;
 * and, before the header, lines that start with `#`, of which `# decimal: comma` says how numbers are written.
 * A spreadsheet program saves such a line with quotation marks or with a separator for each empty cell.
 */
export function readGrid({ file, text }: CsvFile): Read<Grid> {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/)
  const firstRow = lines.findIndex((line) => line.trim() !== '' && !/^\s*"?#/.test(line))
  if (firstRow < 0) {
    const problem = { file, line: 1, column: 'header', found: '', expected: 'a line that names the columns' }
    return {
      ok: false,
      problems: [{ ...problem, fix: 'Start from the template of this file (quaybook new).' }],
    }
  }
  const preamble = lines.slice(0, firstRow)
  const decimalComma = preamble.some((line) => /^\s*"?#\s*decimal\s*:\s*comma\s*"?[\s,;]*$/i.test(line))
  const body = lines.slice(firstRow).join('\n')
  let linesRead = 0
  try {
    const records = parse(body, {
      delimiter: delimiterOf(lines[firstRow] ?? ''),
      relax_column_count: true,
      skip_empty_lines: false,
      trim: true,
      info: true,
      on_record: (record: string[], { lines }) => {
        linesRead = lines
        return record
      },
    }) as unknown as { record: string[]; info: Info }[]
    let ended = firstRow
    const placed = records.map(({ record, info }) => {
      const line = ended + 1
      ended = firstRow + info.lines
      return { line, cells: record }
    })
    const [head, ...rows] = placed
    const used = rows.filter(({ cells }) => cells.some((cell) => cell !== ''))
    return {
      ok: true,
      value: { header: head?.cells ?? [], rows: used, decimalComma, headerLine: firstRow + 1 },
    }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    // A quotation mark left open swallows the rest of the file: the row it opens in is the one to look at.
    const open = error.code === 'CSV_QUOTE_NOT_CLOSED'
    const line = firstRow + (open ? linesRead + 1 : Number(error.lines ?? 1))
    const quote = error.code.includes('QUOTE')
    const problem: Problem = {
      file,
      line,
      column: 'line',
      found: (lines[line - 1] ?? '').slice(0, 60),
      expected: quote ? 'a cell whose quotation marks open and close' : 'a line of cells',
      fix: quote
        ? 'Put quotation marks around the whole cell and double those inside it.'
        : 'Compare with the line above.',
    }
    return { ok: false, problems: [problem] }
  }
}

function delimiterOf(header: string): string {
  const counted = [',', ';', '\t'].map((mark) => ({ mark, times: header.split(mark).length }))
  return counted.reduce((best, next) => (next.times > best.times ? next : best)).mark
}

/**
 * Reads a whole table against the description of its rows.
 *
 * @returns all rows, each with the place it came from, or all problems of the file in file order
 */
export function readTable<S extends z.ZodObject>(csv: CsvFile, schema: S): Read<readonly Row<S>[]> {
  const grid = readGrid(csv)
  if (!grid.ok) return grid
  const { header, rows, decimalComma, headerLine } = grid.value
  const known = Object.keys(schema.shape)
  const problems = headerProblems(csv.file, headerLine, header, schema, known)
  if (problems.length > 0) return { ok: false, problems }

  const good: Row<S>[] = []
  for (const { line, cells } of rows) {
    if (cells.length > header.length) {
      problems.push({
        file: csv.file,
        line,
        column: 'line',
        found: cells.slice(header.length).join(' '),
        expected: `${header.length} cells, as the header has`,
        fix: 'Take the extra cells away, or put quotation marks around a text that holds the separator.',
      })
      continue
    }
    const raw = Object.fromEntries(known.map((name) => [name, cells[header.indexOf(name)] ?? '']))
    const read = schema.safeParse(decimalComma ? withPoints(raw, schema) : raw)
    if (read.success) good.push({ ...read.data, place: { file: csv.file, line } })
    else
      problems.push(...read.error.issues.map((issue) => problemOf(issue, raw, csv.file, line, decimalComma)))
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: good }
}

function headerProblems(
  file: string,
  line: number,
  header: readonly string[],
  schema: z.ZodObject,
  known: readonly string[],
): Problem[] {
  const unknown = header
    .filter((name) => !known.includes(name))
    .map((name) => ({ found: name, expected: 'a column of this file', fix: suggestion(name, known) }))
  const twice = header
    .filter((name, i) => header.indexOf(name) !== i)
    .map((name) => ({ found: name, expected: 'each column once', fix: 'Take one of the two away.' }))
  const missing = known
    .filter((name) => !header.includes(name) && factsOf(schema.shape[name] as z.ZodType)?.required === true)
    .map((name) => ({
      found: header.join(','),
      expected: `a column ${name}`,
      fix: `Add the column ${name}.`,
    }))
  return [...unknown, ...twice, ...missing].map((problem) => ({ file, line, column: 'header', ...problem }))
}

function withPoints(raw: Record<string, string>, schema: z.ZodObject): Record<string, string> {
  const isNumber = (name: string) => factsOf(schema.shape[name] as z.ZodType)?.kind === 'number'
  return Object.fromEntries(
    Object.entries(raw).map(([name, cell]) => [name, isNumber(name) ? withPoint(cell) : cell]),
  )
}

/** A number of a decimal-comma file with a point. Where commas are decimal, 1.200 means twelve hundred: it is refused as it stands, never read as 1.2. */
export function withPoint(cell: string): string {
  if (/^[+-]?\d*,\d+$/.test(cell)) return cell.replace(',', '.')
  return /^[+-]?\d{1,3}(\.\d{3})+$/.test(cell) ? `${cell},` : cell
}

function problemOf(
  issue: z.core.$ZodIssue,
  raw: Record<string, string>,
  file: string,
  line: number,
  decimalComma: boolean,
): Problem {
  const column = String(issue.path[0] ?? 'line')
  const params = (issue as { params?: { fix?: string } }).params
  const found = raw[column] ?? ''
  const grouped = decimalComma && /^[+-]?\d{1,3}(\.\d{3})+(,\d+)?$/.test(found)
  const fix = grouped
    ? `Write ${found.replaceAll('.', '')}, without points between the thousands.`
    : (params?.fix ?? '')
  return { file, line, column, found, expected: issue.message, fix }
}
