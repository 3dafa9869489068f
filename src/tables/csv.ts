import type { z } from 'zod'
import { factsOf } from './fields.js'
import { slipOf, suggestion } from './nearest.js'
import { isUnlikely, type Problem, type Read, short } from './problem.js'
import { delimiterOf, type SplitRow, splitRows } from './split.js'
import { mayBeThousands, numberReadings } from './written.js'

/** A file's name, as messages show it, and its text. */
export interface CsvFile {
  readonly file: string
  readonly text: string
  /** How its bytes were read, where that was not UTF-8 and the reader should know. */
  readonly encoding?: string
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
  readonly rows: readonly SplitRow[]
  readonly decimalComma: boolean
  readonly delimiter: string
  readonly headerLine: number
}

interface GridReading {
  readonly grid?: Grid
  readonly problems: readonly Problem[]
}

/** Lines before the header: remarks, and what a spreadsheet program says of its separator. */
const REMARK = /^\s*"?#|^sep=.$/i

/**
 * Splits a CSV text into cells. Takes comma, semicolon or tab; a byte order mark; CRLF or LF; quoted newlines;
 * and, before the header, lines that start with `#`, of which `# decimal: comma` says how numbers are written.
 * A spreadsheet program saves such a line with quotation marks or with a separator for each empty cell.
 */
export function readGrid(csv: CsvFile): Read<Grid> {
  const { grid, problems } = gridOf(csv)
  return grid && problems.length === 0 ? { ok: true, value: grid } : { ok: false, problems }
}

/** The same, with whatever rows can be read where a quotation mark is astray. */
export function gridOf({ file, text: asStored }: CsvFile): GridReading {
  const bare = asStored.startsWith('\uFEFF') ? asStored.slice(1) : asStored
  const text = bare.includes('\r') ? bare.replace(/\r\n?/g, '\n') : bare
  let decimalComma = false
  let headerLine = 1
  let start = 0
  while (start < text.length) {
    const end = text.indexOf('\n', start)
    const line = text.slice(start, end < 0 ? text.length : end)
    if (line.trim() !== '' && !REMARK.test(line)) break
    decimalComma ||= saysDecimalComma(line)
    start = end < 0 ? text.length : end + 1
    headerLine += 1
  }
  if (start >= text.length) {
    const problem = { file, line: 1, column: 'header', found: '', expected: 'a line that names the columns' }
    const fix = 'Start from the template of this file (quaybook new).'
    return { problems: [{ ...problem, fix }] }
  }
  const body = text.slice(start)
  const delimiter = delimiterOf(body)
  const { rows, stray } = splitRows(body, delimiter, headerLine)
  const lines = stray.length > 0 ? body.split('\n') : []
  const problems = stray.map((line) => ({
    file,
    line,
    column: 'line',
    found: short(lines[line - headerLine] ?? ''),
    expected: 'a cell whose quotation marks open and close',
    fix: 'Put quotation marks around the whole cell and double those inside it.',
  }))
  const [head, ...rest] = rows
  const header = withoutTrailing(head?.cells ?? [])
  return {
    problems,
    grid: {
      header,
      rows: rest,
      decimalComma,
      delimiter,
      headerLine: head?.line ?? headerLine,
    },
  }
}

/** Linear whatever the line: a pattern that may begin its blanks anywhere takes minutes over a line of blanks. */
function saysDecimalComma(line: string): boolean {
  if (line.length > 1000) return false
  const words = line.replace(/[\s"',;]/g, '').toLowerCase()
  return words === '#decimal:comma'
}

function withoutTrailing(cells: readonly string[]): readonly string[] {
  let end = cells.length
  while (end > 1 && cells[end - 1] === '') end -= 1
  return end === cells.length ? cells : cells.slice(0, end)
}

/** A table as far as it can be read. */
export interface TableReading<S extends z.ZodObject> {
  /** A row for each row of the file. A cell that could not be read holds its column's example, or nothing. */
  readonly rows: readonly Row<S>[]
  readonly problems: readonly Problem[]
  /** The cells that could not be read, as `cellKey` writes them: what they hold here is not to be judged. */
  readonly doubtful: ReadonlySet<string>
  /** Could the header be read, so that the rows are all the file has? */
  readonly whole: boolean
  /** How many cells hold something. */
  readonly filled: number
}

/** One cell of one file, as a key. */
export const cellKey = ({ file, line }: Place, column: string): string => `${file}:${line}:${column}`

/**
 * Reads a whole table against the description of its rows.
 *
 * @returns all rows, each with the place it came from, or all problems of the file in file order
 */
export function readTable<S extends z.ZodObject>(csv: CsvFile, schema: S): Read<readonly Row<S>[]> {
  const { rows, problems } = readRows(csv, schema)
  const wrong = problems.filter((p) => !isUnlikely(p))
  return wrong.length > 0 ? { ok: false, problems: wrong } : { ok: true, value: rows }
}

/** Reads a table as far as it goes, so that further checks can go on beside what is wrong in it. */
export function readRows<S extends z.ZodObject>(csv: CsvFile, schema: S): TableReading<S> {
  const { grid, problems: torn } = gridOf(csv)
  const unread = { rows: [], doubtful: new Set<string>(), whole: false, filled: 0 }
  if (!grid) return { ...unread, problems: torn }
  const columns = columnReaders(schema)
  const found = headerOf(csv.file, grid, columns)
  if (!found.usable) return { ...unread, problems: [...torn, ...found.problems] }
  const { at, width } = found

  const problems = new Told([...torn, ...found.problems])
  const doubtful = new Set<string>()
  const rows: Row<S>[] = []
  let filled = 0
  const wide: SplitRow[] = []
  for (const split of grid.rows) {
    const { line, cells } = split
    const place = { file: csv.file, line }
    if (isTotalRow(cells, columns, at)) {
      problems.add({
        ...place,
        column: 'line',
        found: short(withoutTrailing(cells).join(' ').trim()),
        expected: 'a row of its own for each thing, none that adds them up',
        fix: 'Take the row away: totals are worked out.',
      })
      continue
    }
    if (cells.length > width && withoutTrailing(cells).length > width) wide.push(split)
    const row: Record<string, unknown> = {}
    for (let i = 0; i < columns.length; i += 1) {
      const column = columns[i]
      if (column === undefined) continue
      const cell = cells[at[i] ?? -1] ?? ''
      if (cell !== '') filled += 1
      const { value, problem } = column.read(cell, grid)
      row[column.name] = value
      if (problem === undefined) continue
      // A column that must be there and is not is told once, of the header.
      if (at[i] !== -1) problems.add({ ...place, column: column.name, found: short(cell), ...problem })
      if (problem.kind !== 'unlikely' && !problems.tooMany) doubtful.add(cellKey(place, column.name))
    }
    row.place = place
    rows.push(row as Row<S>)
  }
  if (wide.length > 0) problems.add(tooWide(csv.file, wide, width))
  // What rests on so many cells that could not be read is not worth checking further.
  const rest = problems.tooMany ? { rows: [], whole: false } : { rows, whole: true }
  return { ...rest, problems: problems.list(), doubtful, filled }
}

/** The problems of one file: the first of each column one by one, further ones counted. */
class Told {
  readonly #first: Problem[]
  readonly #more = new Map<string, Problem>()
  readonly #seen = new Map<string, number>()

  constructor(problems: readonly Problem[]) {
    this.#first = [...problems]
  }

  get tooMany(): boolean {
    return this.#first.length > TOLD_OF_A_FILE
  }

  add(problem: Problem): void {
    const before = this.#seen.get(problem.column) ?? 0
    this.#seen.set(problem.column, before + 1)
    if (before < TOLD_OF_A_COLUMN) {
      this.#first.push(problem)
      return
    }
    const more = this.#more.get(problem.column)
    this.#more.set(
      problem.column,
      more ? { ...more, count: (more.count ?? 1) + 1 } : { ...problem, count: 1 },
    )
  }

  list(): Problem[] {
    return [...this.#first, ...this.#more.values()].sort((a, b) => a.line - b.line)
  }
}

const TOLD_OF_A_COLUMN = 500
const TOLD_OF_A_FILE = 1000

export interface CellReading {
  readonly value: unknown
  readonly problem?: Pick<Problem, 'expected' | 'fix' | 'kind'>
}

export interface Column {
  readonly name: string
  readonly required: boolean
  read(cell: string, written?: Written): CellReading
}

/** What of a file decides how its numbers are read. */
export type Written = Pick<Grid, 'decimalComma' | 'delimiter'>

/**
 * The columns of a schema, each with a memory of the cells it has read: most columns of a long file repeat a few
 * words, and a word need be understood once.
 */
export function columnReaders(schema: z.ZodObject): readonly Column[] {
  return Object.entries(schema.shape).map(([name, field]) => {
    const type = field as z.ZodType
    const facts = factsOf(type)
    const seen = new Map<string, CellReading>()
    const stand = (): unknown => {
      const blank = type.safeParse('')
      if (blank.success) return blank.data
      const example = type.safeParse(facts.example)
      return example.success ? example.data : undefined
    }
    const understand = (cell: string, written?: Written): CellReading => {
      const decimalComma = written?.decimalComma === true
      const number = facts.kind === 'number' && cell !== ''
      const readings = number ? numberReadings(cell, decimalComma) : []
      if (readings.length > 1) {
        const expected = 'a number that can be read in one way'
        const fix = `Write ${readings.join(' or ')}, whichever is meant${decimalComma ? '' : ', or put "# decimal: comma" in the first line of the file'}.`
        return { value: stand(), problem: { expected, fix } }
      }
      const read = type.safeParse(readings[0] ?? cell)
      if (!read.success) {
        const [issue] = read.error.issues
        const fix = (issue as { params?: { fix?: string } } | undefined)?.params?.fix ?? ''
        return { value: stand(), problem: { expected: issue?.message ?? 'something else', fix } }
      }
      if (number && written?.delimiter === ';' && !decimalComma && mayBeThousands(cell)) {
        const expected = `${Number(cell)} or ${cell.replace('.', '')}`
        const fix = `It is read as ${Number(cell)}: write the one that is meant.`
        return { value: read.data, problem: { expected, fix, kind: 'unlikely' } }
      }
      return { value: read.data }
    }
    return {
      name,
      required: facts.required === true,
      read(cell, written) {
        let reading = seen.get(cell)
        if (reading === undefined) {
          reading = understand(cell, written)
          seen.set(cell, reading)
        }
        return reading
      },
    }
  })
}

function tooWide(file: string, wide: readonly SplitRow[], width: number): Problem {
  const [first] = wide
  const extra = (first?.cells ?? []).slice(width).join(' ').trim()
  const more =
    wide.length > 1 ? ` The same in ${wide.length - 1} more ${wide.length > 2 ? 'lines' : 'line'}.` : ''
  return {
    file,
    line: first?.line ?? 1,
    column: 'line',
    found: short(extra),
    expected: `${width} cells, as the header has`,
    fix: `Take the extra cells away, or put quotation marks around a text that holds the separator.${more}`,
  }
}

const TOTAL =
  /^(grand |sub)?(-| )?totals?\b|^sum(me|ma|a)?:?$|^totaal\b|^i alt\b|^razem\b|^yhteensä\b|^összesen\b/i

/** A row under the table that adds it up: a word for it among the first cells, and little else that must be there. */
function isTotalRow(cells: readonly string[], columns: readonly Column[], at: readonly number[]): boolean {
  const first = cells.slice(0, 4).find((cell) => cell !== '')
  if (first === undefined || first.length > 40 || !TOTAL.test(first)) return false
  const must = columns.flatMap((column, i) => (column.required ? [at[i] ?? -1] : []))
  const blank = must.filter((place) => (cells[place] ?? '') === '').length
  return blank * 2 >= must.length
}

interface HeaderReading {
  /** Where each column of the schema stands, misspelt ones under the name that was likely meant; -1: left out. */
  readonly at: readonly number[]
  readonly width: number
  readonly usable: boolean
  readonly problems: readonly Problem[]
}

function headerOf(file: string, grid: Grid, columns: readonly Column[]): HeaderReading {
  const known = columns.map(({ name }) => name)
  const exact = new Set(known)
  // `Item code` and `item-code` are item_code; a name that is there as it stands comes first.
  const named = (cell: string) => {
    if (exact.has(cell) || cell.length > 100) return cell
    const lower = cell.toLowerCase()
    return exact.has(lower) ? lower : lower.replace(/[ -]+/g, '_')
  }
  const header = grid.header.map(named)
  const width = header.length
  const must = columns.flatMap(({ name, required }) => (required ? [name] : []))
  const problem = (found: string, expected: string, fix: string): Problem => ({
    file,
    line: grid.headerLine,
    column: 'header',
    found: short(found),
    expected,
    fix,
  })

  const enough = Math.min(2, must.length)
  const fits = (cells: readonly string[]) => cells.filter((cell) => exact.has(named(cell))).length
  if (fits(grid.header) < enough) {
    const below = grid.rows.slice(0, 20).find(({ cells }) => fits(cells) >= enough)
    const found = grid.header.join(' ').trim()
    const some = `${known.slice(0, 6).join(', ')}${known.length > 6 ? ', …' : '.'}`
    const told = below
      ? problem(
          found,
          'the names of the columns in the first line',
          `Take away what stands above line ${below.line}, or put # before it.`,
        )
      : problem(found, 'a line that names the columns', `Name the columns in the first line: ${some}`)
    return { at: [], width, usable: false, problems: [told] }
  }

  const problems: Problem[] = []
  const meant = header.map((name, i) => {
    if (name === '') {
      if (grid.rows.some(({ cells }) => (cells[i] ?? '') !== ''))
        problems.push(problem('', `a name for column ${i + 1}`, 'Name it, or take it away.'))
      return name
    }
    if (header.indexOf(name) !== i) {
      problems.push(problem(name, 'each column once', 'Take one of the two away.'))
      return ''
    }
    if (exact.has(name)) return name
    const free = known.filter((column) => !header.includes(column))
    problems.push(problem(grid.header[i] ?? '', 'a column of this file', suggestion(name, free)))
    return slipOf(name, free) ?? name
  })
  const missing = must.filter((name) => !meant.includes(name))
  if (missing.length > 0) {
    const list = missing.join(', ')
    const columns = missing.length > 1 ? 'columns' : 'column'
    problems.push(problem(grid.header.join(','), `the ${columns} ${list}`, `Add ${list} to the header.`))
  }
  return { at: known.map((name) => meant.indexOf(name)), width, usable: true, problems }
}
