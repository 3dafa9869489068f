import { CsvError, parse } from 'csv-parse/sync'

/** The cells of one row and the line its first cell stands in. */
export interface SplitRow {
  readonly line: number
  readonly cells: readonly string[]
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
 * @returns the rows, and the first line of each row with a quotation mark astray
 */
export function splitRows(
  text: string,
  delimiter: string,
  firstLine: number,
): { readonly rows: readonly SplitRow[]; readonly stray: readonly number[] } {
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
  return { rows, stray }
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
