// How pieces of a formula are put together: brackets, ranges, and figures settled before they are compared.
import type { FormulaNode } from './forest.js'

/** How a formula points at one cell. */
export interface Reference {
  readonly text: string
  /** Where it is, so that neighbours in a sum become a range. */
  readonly at: { readonly sheet: string; readonly column: string; readonly row: number }
}

/** A formula under construction. */
export interface Piece {
  readonly text: string
  /** How tightly its outermost operation binds: + and −, then × and ÷, then the rest. */
  readonly binds: 'sum' | 'product' | 'quotient' | 'whole'
  readonly nesting: number
  readonly at?: Reference['at']
  /** Arguments of an outermost MIN or MAX, which a further one can take over. */
  readonly list?: { readonly name: 'MIN' | 'MAX'; readonly args: readonly string[] }
}

/** Arguments of one function, at most: programs allow 255. */
export const MOST_ARGUMENTS = 200

/** A reference as a piece. */
export const whole = (reference: Reference): Piece => ({
  text: reference.text,
  binds: 'whole',
  nesting: 0,
  at: reference.at,
})

/** Its text; nothing is 0. */
export const text = (piece: Piece | undefined): string => piece?.text ?? '0'

/** An operation between two pieces, bracketed where it has to be. */
export function infix(
  a: Piece | undefined,
  sign: '+' | '-' | '*' | '/',
  b: Piece | undefined,
  binds: Piece['binds'],
): Piece {
  const left = sign === '*' || sign === '/' ? a?.binds === 'sum' : false
  // A leading minus counts as a sum: 3+-INT(x) and 3--INT(x) puzzle readers and some programs.
  const right =
    sign === '/'
      ? b?.binds !== 'whole'
      : sign === '*'
        ? b?.binds === 'sum' || b?.binds === 'quotient'
        : sign === '-'
          ? b?.binds === 'sum'
          : text(b).startsWith('-')
  const nesting = Math.max((a?.nesting ?? 0) + (left ? 1 : 0), (b?.nesting ?? 0) + (right ? 1 : 0))
  const side = (piece: Piece | undefined, bracketed: boolean) =>
    bracketed ? `(${text(piece)})` : text(piece)
  return { text: `${side(a, left)}${sign}${side(b, right)}`, binds, nesting }
}

/** A function with its arguments in it. */
export const call = (
  formula: string,
  args: readonly (Piece | undefined)[],
  binds: Piece['binds'],
  levels: number,
): Piece => ({
  text: formula,
  binds,
  nesting: levels + Math.max(0, ...args.map((a) => a?.nesting ?? 0)),
})

/** The least or the greatest of two pieces. */
export function extreme(name: 'MIN' | 'MAX', a: Piece | undefined, b: Piece | undefined): Piece {
  const args = [a, b].flatMap((piece) => (piece?.list?.name === name ? piece.list.args : [text(piece)]))
  if (args.length > MOST_ARGUMENTS) return call(`${name}(${text(a)},${text(b)})`, [a, b], 'whole', 1)
  return { ...call(`${name}(${args.join(',')})`, [a, b], 'whole', 1), list: { name, args } }
}

/** A sum of terms. */
export const sumOf = (terms: readonly Piece[]): Piece => {
  const [only] = terms
  if (terms.length === 1 && only && !only.text.includes(':')) return only
  return call(`SUM(${terms.map(text).join(',')})`, terms, 'whole', 1)
}

/** Terms with runs of cells below one another in a column drawn together: D5, D6, D7 are D5:D7. */
export function ranges(terms: readonly Piece[]): Piece[] {
  const drawn: Piece[] = []
  let i = 0
  while (i < terms.length) {
    const first = terms[i] as Piece
    let end = i
    while (first.at && follows(terms[end]?.at, terms[end + 1]?.at)) end++
    const last = terms[end]?.at
    const long = first.at && last && end > i + 1
    if (long) {
      const { sheet, column, row } = first.at
      drawn.push({ text: `${sheet}${column}${row}:${column}${last.row}`, binds: 'whole', nesting: 0 })
    } else drawn.push(...terms.slice(i, end + 1))
    i = end + 1
  }
  return drawn
}

const follows = (a: Reference['at'] | undefined, b: Reference['at'] | undefined): boolean =>
  a !== undefined && b !== undefined && a.sheet === b.sheet && a.column === b.column && b.row === a.row + 1

/** A reference without the sheet in front of it. */
export const withoutSheet = (reference: string): string => reference.replace(/^.*!/, '')

/** A float64 holds about 15 digits and a formula loses some: this many decimals of a value are still to be trusted. */
function trustedDecimals(values: readonly (FormulaNode | undefined)[], scaledBy: number): number {
  const sizes = values.map((v) => v?.size ?? 0)
  return Math.min(9, Math.max(1, 12 - Math.max(0, ...sizes.map((e) => e + scaledBy))))
}

/** A figure rounded to the decimals that can be trusted, unless it is settled already. */
export function settled(a: Piece | undefined, x: FormulaNode | undefined, scaledBy: number): string {
  if (scaledBy === 0 && x?.settled) return text(a)
  return `ROUND(${text(a)},${trustedDecimals([x], scaledBy)})`
}

/** What one figure is more than another, rounded so. */
export function settledDifference(
  a: Piece | undefined,
  b: Piece | undefined,
  x: FormulaNode | undefined,
  y: FormulaNode | undefined,
): string {
  const digits = trustedDecimals([x, y], 0)
  return text(b) === '0' ? `ROUND(${text(a)},${digits})` : `ROUND(${infix(a, '-', b, 'sum').text},${digits})`
}
