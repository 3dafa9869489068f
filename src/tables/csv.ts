import type { z } from 'zod'
import { type CellReading, type Column, columnReaders } from './cells.js'
import { type CsvFile, type Grid, gridOf, withoutTrailing } from './grid.js'
import { slipOf, suggestion } from './nearest.js'
import { isUnlikely, type Problem, type Read, short } from './problem.js'
import type { SplitRow } from './split.js'

export { type CsvFile, type Grid, gridOf, readGrid } from './grid.js'

/** Where a row stands, so that a later check can still say where it went wrong. */
export interface Place {
  readonly file: string
  readonly line: number
}

export type Row<S extends z.ZodObject> = z.output<S> & { readonly place: Place }

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
  const readRow = rowReader(schema, grid, at)

  const problems = new Told([...torn, ...found.problems])
  const doubtful = new Set<string>()
  const rows: Row<S>[] = []
  let filled = 0
  const wide: SplitRow[] = []
  for (const split of found.rows) {
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
    const read = readRow(cells, place)
    filled += read.filled
    for (const { column, cell, told, problem } of read.problems) {
      if (told) problems.add({ ...place, column, found: short(cell), ...problem })
      if (problem.kind !== 'unlikely' && !problems.tooMany) doubtful.add(cellKey(place, column))
    }
    // Under a header with a column twice or unknown, a column that is not there may be the one that was meant.
    if (found.problems.length > 0)
      columns.forEach(({ name }, i) => {
        if (at[i] === -1) doubtful.add(cellKey(place, name))
      })
    rows.push(read.row as Row<S>)
  }
  if (wide.length > 0) problems.add(tooWide(csv.file, wide, width))
  // What rests on so many cells that could not be read is not worth checking further.
  const rest = problems.tooMany ? { rows: [], whole: false } : { rows, whole: true }
  return { ...rest, problems: problems.list(), doubtful, filled }
}

interface RowReading {
  readonly row: { readonly place: Place }
  readonly filled: number
  readonly problems: readonly {
    readonly column: string
    readonly cell: string
    /** A column that must be there and is not is told once, of the header. */
    readonly told: boolean
    readonly problem: NonNullable<CellReading['problem']>
  }[]
}

/** What rows were read as, by their cells, for the last way in which a file of these columns was written. */
const known = new WeakMap<z.ZodObject, { way: string; readings: WeakMap<readonly string[], RowReading> }>()

/**
 * Reads rows of a table, each only once: the rows of a grid keep their cells while somebody edits other rows.
 *
 * @param at where each column of the schema stands
 */
function rowReader(schema: z.ZodObject, grid: Grid, at: readonly number[]) {
  const columns = columnReaders(schema)
  const way = JSON.stringify([at, grid.decimalComma, grid.dates, grid.delimiter, grid.commas])
  const before = known.get(schema)
  const { readings } =
    before?.way === way ? before : { readings: new WeakMap<readonly string[], RowReading>() }
  known.set(schema, { way, readings })
  return (cells: readonly string[], place: Place): RowReading => {
    const known = readings.get(cells)
    if (known?.row.place.file === place.file && known.row.place.line === place.line) return known
    const reading = known
      ? { ...known, row: { ...known.row, place } }
      : readCells(columns, cells, at, grid, place)
    readings.set(cells, reading)
    return reading
  }
}

function readCells(
  columns: readonly Column[],
  cells: readonly string[],
  at: readonly number[],
  grid: Grid,
  place: Place,
): RowReading {
  const row: Record<string, unknown> = {}
  const problems: RowReading['problems'][number][] = []
  let filled = 0
  for (let i = 0; i < columns.length; i += 1) {
    const column = columns[i]
    if (column === undefined) continue
    const cell = cells[at[i] ?? -1] ?? ''
    if (cell !== '') filled += 1
    const { value, problem } = column.read(cell, grid)
    row[column.name] = value
    if (problem !== undefined) problems.push({ column: column.name, cell, told: at[i] !== -1, problem })
  }
  row.place = place
  return { row: row as unknown as RowReading['row'], filled, problems: problems.length > 0 ? problems : NONE }
}

const NONE: RowReading['problems'] = []

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
  /** The rows under the header. */
  readonly rows: readonly SplitRow[]
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
    const found = grid.header.join(' ').trim()
    const below = grid.rows.slice(0, 20).find(({ cells }) => fits(cells) >= enough)
    if (below) {
      const told = problem(
        found,
        'the names of the columns in the first line',
        `Take away what stands above line ${below.line}, or put # before it.`,
      )
      const header = withoutTrailing(below.cells)
      const rows = grid.rows.filter(({ line }) => line > below.line)
      const under = headerOf(file, { ...grid, header, rows, headerLine: below.line }, columns)
      return { ...under, problems: [told, ...under.problems] }
    }
    const some = `${known.slice(0, 6).join(', ')}${known.length > 6 ? ', …' : '.'}`
    const told = problem(
      found,
      'a line that names the columns',
      `Name the columns in the first line: ${some}`,
    )
    return { at: [], width, rows: [], usable: false, problems: [told] }
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
  return { at: known.map((name) => meant.indexOf(name)), width, rows: grid.rows, usable: true, problems }
}
