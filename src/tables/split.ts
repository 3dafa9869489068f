import { CsvError, parse } from 'csv-parse/sync'

/** The cells of one row and the line its first cell stands in. */
export interface SplitRow {
  readonly line: number
  readonly cells: readonly string[]
}

/** A text and what it was split into. */
export interface Split {
  readonly text: string
  readonly delimiter: string
  readonly firstLine: number
  readonly rows: readonly SplitRow[]
  /** The first line of each row with a quotation mark astray. */
  readonly stray: readonly number[]
}

/** After so many rows with a quotation mark astray nobody reads on, and neither do we. */
const MOST_STRAY = 100

/**
 * The cells of a CSV text, as RFC 4180 has them, blanks around a cell taken away. A quotation mark inside a cell that
 * does not begin with one is a character like any other (32" screen). Rows of empty cells are left out.
 *
 * csv-parse gives up at a quotation mark that opens and does not close, or closes before its cell ends: that row's
 * first line is then read with its marks as characters, and reading starts again in the next.
 *
 * @param text with \n alone at the ends of lines
 * @param firstLine the number of the first line of `text`
 */
export function splitRows(text: string, delimiter: string, firstLine: number): Split {
  const rows: SplitRow[] = []
  const stray: number[] = []
  let rest = text
  let line = firstLine
  const put = (written: readonly string[]) => {
    const cells = written.map((cell) => cell.trim())
    if (cells.some((cell) => cell !== '')) rows.push({ line, cells })
  }
  const options = {
    delimiter,
    record_delimiter: '\n',
    relax_column_count: true,
    relax_quotes: true,
    trim: true,
  }
  while (stray.length < MOST_STRAY) {
    const from = line
    try {
      parse(rest, {
        ...options,
        on_record: (cells: string[], { lines }) => {
          put(cells)
          line = from + lines
          return null
        },
      })
      break
    } catch (error) {
      if (!(error instanceof CsvError)) throw error
      stray.push(line)
      rest = afterLines(rest, line - from)
      const next = afterLines(rest, 1)
      parse(rest.slice(0, rest.length - next.length), { ...options, quote: null }).forEach(put)
      rest = next
      line += 1
    }
  }
  return { text, delimiter, firstLine, rows, stray }
}

/**
 * The same for a text of which an earlier state was split: only the rows that an edit has touched are split again, the
 * others keep their cells. A row begins outside quotation marks, so that what stands before or behind it changes
 * nothing in it.
 */
export function splitAgain(text: string, delimiter: string, firstLine: number, before?: Split): Split {
  const anew = () => splitRows(text, delimiter, firstLine)
  if (!before || before.stray.length > 0) return anew()
  if (before.delimiter !== delimiter || before.firstLine !== firstLine) return anew()
  const { rows } = before
  const starts = lineStarts(before.text)
  const startOf = ({ line }: SplitRow) => starts[line - firstLine] ?? 0
  const same = sameAtStart(text, before.text)
  const first = rows.findLastIndex((row) => startOf(row) <= same)
  const from = rows[first]
  if (!from) return anew()
  const sameEnd = sameAtEnd(text, before.text, Math.min(text.length, before.text.length) - startOf(from))
  // The line end before the row has to be the same too.
  const behind = rows.findIndex((row, i) => i > first && startOf(row) > before.text.length - sameEnd)
  const to = behind < 0 ? undefined : rows[behind]
  const end = to ? text.length - (before.text.length - startOf(to)) : text.length
  const edited = splitRows(text.slice(startOf(from), end), delimiter, from.line)
  if (edited.stray.length > 0) return anew()
  const moved = to ? from.line + linesOf(edited.text) - to.line : 0
  const rest = to ? rows.slice(behind) : []
  return {
    text,
    delimiter,
    firstLine,
    rows: [
      ...rows.slice(0, first),
      ...edited.rows,
      ...(moved === 0 ? rest : rest.map(({ line, cells }) => ({ line: line + moved, cells }))),
    ],
    stray: [],
  }
}

function lineStarts(text: string): number[] {
  const starts = [0]
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(at + 1)
  return starts
}

const linesOf = (text: string): number => lineStarts(text).length - 1

/** How many characters two texts share at their start. */
function sameAtStart(a: string, b: string): number {
  const most = Math.min(a.length, b.length)
  let at = 0
  while (at < most && a.charCodeAt(at) === b.charCodeAt(at)) at += 1
  return at
}

/** How many characters, at most `most`, two texts share at their end. */
function sameAtEnd(a: string, b: string, most: number): number {
  let at = 0
  while (at < most && a.charCodeAt(a.length - 1 - at) === b.charCodeAt(b.length - 1 - at)) at += 1
  return at
}

/** A text without so many lines at its start. */
function afterLines(text: string, lines: number): string {
  let at = 0
  for (let left = lines; left > 0; left -= 1) {
    const end = text.indexOf('\n', at)
    if (end < 0) return ''
    at = end + 1
  }
  return text.slice(at)
}

/** The mark that parts the cells of a header: the one that stands outside quotation marks most often. */
export function delimiterOf(text: string): ',' | ';' | '\t' {
  const times = { ',': 0, ';': 0, '\t': 0 }
  let quoted = false
  for (const character of text) {
    if (character === '"') quoted = !quoted
    else if (!quoted && character === '\n') break
    else if (!quoted && (character === ',' || character === ';' || character === '\t')) times[character] += 1
  }
  const marks = [',', ';', '\t'] as const
  return marks.reduce((best, next) => (times[next] > times[best] ? next : best))
}
