/** The cells of one row and the line its first cell stands in. */
export interface SplitRow {
  readonly line: number
  readonly cells: readonly string[]
}

/** A quotation mark that does not fit, and the line to look at. */
export interface StrayQuote {
  readonly line: number
  readonly open: boolean
}

/**
 * The cells of a CSV text, as RFC 4180 has them, spaces around a cell taken away. A quotation mark inside a cell that
 * does not begin with one is a character like any other (32" screen). Rows of empty cells are left out.
 *
 * Our own, because every row needs the line it stands in, a stray quotation mark must not hide the rows behind it,
 * and tens of thousands of lines must be read while somebody waits: one pass, no copy of what went before. Tests
 * compare it with csv-parse.
 *
 * @param text with \n alone at the ends of lines
 * @param firstLine the number of the first line of `text`
 */
export function splitRows(
  text: string,
  delimiter: string,
  firstLine: number,
): { readonly rows: readonly SplitRow[]; readonly stray: readonly StrayQuote[] } {
  const rows: SplitRow[] = []
  const stray: StrayQuote[] = []
  let at = 0
  let line = firstLine
  let cells: string[] = []
  let rowLine = line
  let used = false
  let nextDelimiter = text.indexOf(delimiter)
  let nextBreak = text.indexOf('\n')
  const close = () => {
    if (used) rows.push({ line: rowLine, cells })
    cells = []
    used = false
  }
  const put = (cell: string) => {
    cells.push(cell)
    used ||= cell !== ''
  }
  while (at <= text.length) {
    let start = at
    while (text[start] === ' ' || (text[start] === '\t' && delimiter !== '\t')) start += 1
    let cell: string | undefined
    if (text[start] === '"') {
      let end = text.indexOf('"', start + 1)
      while (end >= 0 && text[end + 1] === '"') end = text.indexOf('"', end + 2)
      if (end < 0) {
        stray.push({ line, open: true })
        break
      }
      cell = text.slice(start + 1, end)
      if (cell.includes('"')) cell = cell.replaceAll('""', '"')
      if (cells.length === 0) rowLine = line
      for (let n = cell.indexOf('\n'); n >= 0; n = cell.indexOf('\n', n + 1)) line += 1
      at = end + 1
    } else if (cells.length === 0) rowLine = line
    if (nextDelimiter >= 0 && nextDelimiter < at) nextDelimiter = text.indexOf(delimiter, at)
    if (nextBreak >= 0 && nextBreak < at) nextBreak = text.indexOf('\n', at)
    const cellEnds = nextDelimiter < 0 ? text.length : nextDelimiter
    const rowEnds = nextBreak < 0 ? text.length : nextBreak
    const end = Math.min(cellEnds, rowEnds)
    const rest = text.slice(at, end).trim()
    if (cell === undefined) put(rest)
    else {
      if (rest !== '') stray.push({ line, open: false })
      put(cell.trim())
    }
    if (cellEnds < rowEnds) at = end + delimiter.length
    else {
      close()
      at = end + 1
      line += 1
    }
  }
  return { rows, stray }
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
