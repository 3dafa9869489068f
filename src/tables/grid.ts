import { type Problem, type Read, short } from './problem.js'
import { delimiterOf, type Split, type SplitRow, splitAgain } from './split.js'

/** A file's name, as messages show it, and its text. */
export interface CsvFile {
  readonly file: string
  readonly text: string
  /** How its bytes were read, where that was not UTF-8 and the reader should know. */
  readonly encoding?: string
}

/** The cells of a file before any of them is read: header, then rows, each with its line. */
export interface Grid {
  readonly header: readonly string[]
  readonly rows: readonly SplitRow[]
  readonly decimalComma: boolean
  /** What stands first in `02/03/2027`, where the file says so: `# dates: day first`. */
  readonly dates?: 'day' | 'month' | undefined
  readonly delimiter: string
  /** Do numbers with a decimal comma stand in it, as `2,5`; only looked for where semicolons part the cells. */
  readonly commas: boolean
  readonly headerLine: number
}

/** A grid as far as a text can be split, and what keeps it from being split whole. */
export interface GridReading {
  readonly grid?: Grid
  readonly problems: readonly Problem[]
}

/** Lines before the header: remarks, and what a spreadsheet program says of its separator. */
const REMARK = /^\s*"?#|^sep=.$/i

/**
 * Splits a CSV text into cells. Takes comma, semicolon or tab; a byte order mark; CRLF or LF; quoted newlines;
 * and, before the header, lines that start with `#`, of which `# decimal: comma` says how numbers are written, `# dates: day first` (or month) how days are.
 * A spreadsheet program saves such a line with quotation marks or with a separator for each empty cell.
 */
export function readGrid(csv: CsvFile): Read<Grid> {
  const { grid, problems } = gridOf(csv)
  return grid && problems.length === 0 ? { ok: true, value: grid } : { ok: false, problems }
}

/**
 * The same, with whatever rows can be read where a quotation mark is astray. A file that was read before is the same
 * grid again; of one that was edited meanwhile, rows that the edit left alone have the same cells, by identity.
 */
export function gridOf(csv: CsvFile): GridReading {
  const before = known.get(csv.file)
  if (before?.text === csv.text) return before.reading
  const { reading, split } = readAnew(csv, before?.split)
  remember(csv.file, { text: csv.text, reading, split })
  return reading
}

interface Known {
  readonly text: string
  readonly reading: GridReading
  readonly split: Split | undefined
}

/** The last text of each file and what it was read as: a page reads its household again after every edit. */
const known = new Map<string, Known>()
let kept = 0
/** Characters of all texts that are kept: households of some thousand lines; a command with more reads once anyway. */
const MOST_KEPT = 1e6

function remember(file: string, now: Known) {
  forget(file)
  known.set(file, now)
  kept += now.text.length
  for (const oldest of known.keys()) {
    if (kept <= MOST_KEPT) break
    forget(oldest)
  }
}

function forget(file: string) {
  kept -= known.get(file)?.text.length ?? 0
  known.delete(file)
}

function readAnew({ file, text: asStored }: CsvFile, before?: Split): Omit<Known, 'text'> {
  const bare = asStored.startsWith('\uFEFF') ? asStored.slice(1) : asStored
  const text = bare.includes('\r') ? bare.replace(/\r\n?/g, '\n') : bare
  let decimalComma = false
  let dates: Grid['dates']
  let headerLine = 1
  let start = 0
  while (start < text.length) {
    const end = text.indexOf('\n', start)
    const line = text.slice(start, end < 0 ? text.length : end)
    if (line.trim() !== '' && !REMARK.test(line)) break
    const said = remark(line)
    decimalComma ||= said === '#decimal:comma'
    dates ??= said === '#dates:dayfirst' ? 'day' : said === '#dates:monthfirst' ? 'month' : undefined
    start = end < 0 ? text.length : end + 1
    headerLine += 1
  }
  if (start >= text.length) {
    const problem = { file, line: 1, column: 'header', found: '', expected: 'a line that names the columns' }
    const fix = 'Start from the template of this file (quaybook new).'
    return { reading: { problems: [{ ...problem, fix }] }, split: undefined }
  }
  const body = text.slice(start)
  const delimiter = delimiterOf(body)
  const split = splitAgain(body, delimiter, headerLine, before)
  const { rows, stray } = split
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
  const commas = delimiter === ';' && DECIMAL_COMMA.test(body)
  const line = head?.line ?? headerLine
  const grid = { header, rows: rest, decimalComma, dates, delimiter, commas, headerLine: line }
  return { reading: { problems, grid }, split }
}

/** A cell that is a number with a decimal comma and cannot be thousands. */
const DECIMAL_COMMA = /(?:^|;)-?\d{1,9},(?:\d{1,2}|\d{4,9})(?:;|$)/m

/** Linear whatever the line: a pattern that may begin its blanks anywhere takes minutes over a line of blanks. */
function remark(line: string): string {
  return line.length > 1000 ? '' : line.replace(/[\s"',;]/g, '').toLowerCase()
}

/** Cells without the empty ones at their end. */
export function withoutTrailing(cells: readonly string[]): readonly string[] {
  let end = cells.length
  while (end > 1 && cells[end - 1] === '') end -= 1
  return end === cells.length ? cells : cells.slice(0, end)
}
