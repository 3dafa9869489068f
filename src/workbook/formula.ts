import type { Decimal } from 'decimal.js'
import type { Recorded } from '../quantity/recorded.js'

/**
 * Where a formula finds what it refers to, and where it leaves a part that is better a row of its own.
 * References carry their sheet, as in `Cost!D7`.
 */
export interface Places {
  /** Reference to an input. */
  input(id: string): Reference
  /** Reference to a derived cell that has its own row; undefined for a name that has none. */
  cell(id: string): Reference | undefined
  /** Puts a part of a cell's formula in a row of its own. */
  step(part: Step): Reference
}

/** How a formula points at one cell. */
export interface Reference {
  readonly text: string
  /** Where it is, so that neighbours in a sum become a range. */
  readonly at: { readonly sheet: string; readonly column: string; readonly row: number }
}

/** A part of a formula in a row of its own. */
export interface Step {
  /** The cell whose formula it is part of. */
  readonly owner: string
  readonly what: 'part' | 'subtotal' | 'before rounding' | 'constant' | 'named'
  readonly formula: string | Decimal
}

/** A formula under construction. */
interface Piece {
  readonly text: string
  /** How tightly its outermost operation binds: + and −, then × and ÷, then the rest. */
  readonly binds: 'sum' | 'product' | 'quotient' | 'whole'
  readonly nesting: number
  readonly at?: Reference['at']
  /** Arguments of an outermost MIN or MAX, which a further one can take over. */
  readonly list?: { readonly name: 'MIN' | 'MAX'; readonly args: readonly string[] }
}

/** Programs allow 8 192 characters and 64 levels; a reader allows fewer. */
export const LONGEST_FORMULA = 1_500
const DEEPEST_NESTING = 12
const MOST_ARGUMENTS = 200
const WORTH_A_ROW = 24
/** Digits of a number typed in a formula that every program keeps; one with an exponent not every program reads. */
const TYPED_DIGITS = 15

const whole = (reference: Reference): Piece => ({
  text: reference.text,
  binds: 'whole',
  nesting: 0,
  at: reference.at,
})

/**
 * Writes the formulas of one plan from its recorded numbers. Shared parts are written once; parts too long for a
 * reader or a program get rows of their own.
 */
export class FormulaWriter {
  readonly #pieces = new Map<Recorded, Piece>()
  readonly #uses: ReadonlyMap<Recorded, number>

  /** @param results every derived cell's value, so that it is known which parts are used more than once */
  constructor(
    readonly places: Places,
    results: readonly Recorded[],
  ) {
    this.#uses = countUses(results)
  }

  /** The formula of a derived cell, without the equals sign. */
  formula(owner: string, value: Recorded): string {
    // The cell's own name is the outermost node; its formula is what lies under it.
    const named = value.operation.kind === 'cell' && value.operation.id === owner ? value.args[0] : undefined
    return this.#piece(owner, named ?? value).text
  }

  #piece(owner: string, root: Recorded): Piece {
    for (const node of oldestFirst(root, (n) => this.#pieces.has(n) || this.#reference(n) !== undefined)) {
      if (this.#pieces.has(node)) continue
      const piece = this.#reference(node) ?? this.#build(owner, node)
      const shared = (this.#uses.get(node) ?? 0) > 1 && piece.text.length > WORTH_A_ROW
      const hard = piece.nesting > DEEPEST_NESTING || piece.text.length > LONGEST_FORMULA
      this.#pieces.set(node, node !== root && (shared || hard) ? this.#row(owner, 'part', piece.text) : piece)
    }
    const piece = this.#pieces.get(root) as Piece
    if ((this.#uses.get(root) ?? 0) > 1 && !piece.at && piece.text.length > WORTH_A_ROW) {
      const row = this.#row(owner, 'part', piece.text)
      this.#pieces.set(root, row)
      return row
    }
    return piece
  }

  #row(owner: string, what: Step['what'], formula: string | Decimal): Piece {
    return whole(this.places.step({ owner, what, formula }))
  }

  #reference({ operation }: Recorded): Piece | undefined {
    if (operation.kind === 'input') return whole(this.places.input(operation.row.id))
    const found = operation.kind === 'cell' ? this.places.cell(operation.id) : undefined
    return found && whole(found)
  }

  #build(owner: string, node: Recorded): Piece {
    const { operation } = node
    if (operation.kind === 'constant') return this.#constant(owner, node.value)
    if (operation.kind === 'sum') return this.#sum(owner, node.args)
    const args = this.#shortened(owner, node.args)
    const [a, b, c, d] = args
    const [x, y] = node.args
    switch (operation.kind) {
      case 'cell':
        return this.#row(owner, 'named', text(a))
      case 'plus':
        return infix(a, '+', b, 'sum')
      case 'minus':
        return infix(a, '-', b, 'sum')
      case 'times':
        return infix(a, '*', b, 'product')
      case 'div':
        return infix(a, '/', b, 'quotient')
      case 'min':
        return extreme('MIN', a, b)
      case 'max':
        return extreme('MAX', a, b)
      case 'ceil':
        // A whole number that floating point shows a hair too high must not cost a whole step more.
        return call(`CEILING(${settled(a, x, 0)},1)`, [a], 'whole', 2)
      case 'choose': {
        const condition =
          x && y && isSettled(x) && isSettled(y)
            ? `${text(a)}>=${text(b)}`
            : `${settledDifference(a, b, x, y)}>=0`
        return call(`IF(${condition},${text(c)},${text(d)})`, args, 'whole', 2)
      }
      case 'round':
        return this.#rounded(owner, a, x, operation.decimals, operation.rule)
      default:
        throw new Error(`a recorded ${operation.kind} has no formula`)
    }
  }

  #constant(owner: string, value: Decimal): Piece {
    if (value.precision() > TYPED_DIGITS || value.e < -9 || value.e > 14)
      return this.#row(owner, 'constant', value)
    const digits = value.isZero() ? '0' : value.toFixed()
    return {
      text: value.isNegative() && !value.isZero() ? `(${digits})` : digits,
      binds: 'whole',
      nesting: 0,
    }
  }

  /** Arguments brought within reach: the longest go to rows of their own until the whole is short enough. */
  #shortened(owner: string, nodes: readonly Recorded[]): Piece[] {
    const args = nodes.map((n) => this.#pieces.get(n) as Piece)
    while (args.reduce((length, a) => length + a.text.length, 0) > LONGEST_FORMULA) {
      const longest = args.reduce(
        (best, a, i) => (a.text.length > (args[best]?.text.length ?? 0) ? i : best),
        0,
      )
      const piece = args[longest]
      const node = nodes[longest]
      if (!piece || !node || piece.at) break
      const row = this.#row(owner, 'part', piece.text)
      this.#pieces.set(node, row)
      nodes.forEach((n, i) => {
        if (n === node) args[i] = row
      })
    }
    return args
  }

  #sum(owner: string, nodes: readonly Recorded[]): Piece {
    const args = nodes.map((n) => this.#pieces.get(n) as Piece)
    if (args.length === 0) return { text: '0', binds: 'whole', nesting: 0 }
    const [only] = args
    if (args.length === 1 && only) return only
    const terms = ranges(args)
    const chunks: Piece[][] = [[]]
    let length = 0
    for (const term of terms) {
      const chunk = chunks.at(-1) as Piece[]
      if (
        chunk.length > 0 &&
        (chunk.length >= MOST_ARGUMENTS || length + term.text.length > LONGEST_FORMULA)
      ) {
        chunks.push([term])
        length = term.text.length
      } else {
        chunk.push(term)
        length += term.text.length + 1
      }
    }
    if (chunks.length === 1) return sumOf(terms)
    const subtotals = chunks.map((chunk) => this.#row(owner, 'subtotal', sumOf(chunk).text))
    return sumOf(ranges(subtotals))
  }

  /**
   * Rounding as the model does it. The scaled value is first rounded at a digit far below the cent, which takes off
   * what floating point added, so that an exact half is seen as one.
   */
  #rounded(
    owner: string,
    a: Piece | undefined,
    x: Recorded | undefined,
    decimals: number,
    rule: string,
  ): Piece {
    const scale = 10 ** decimals
    const scaled = settled(
      scale === 1 || !a ? a : infix(a, '*', { text: String(scale), binds: 'whole', nesting: 0 }, 'product'),
      x,
      decimals,
    )
    const back = scale === 1 ? '' : `/${scale}`
    const binds = scale === 1 ? 'whole' : 'quotient'
    if (rule === 'half-up') return call(`ROUND(${scaled},0)${back}`, [a], binds, 2)
    if (rule === 'down') return call(`TRUNC(${scaled},0)${back}`, [a], binds, 2)
    const t = this.#row(owner, 'before rounding', scaled).text
    return call(`IF(ABS(${t}-TRUNC(${t},0))=0.5,2*ROUND(${t}/2,0),ROUND(${t},0))${back}`, [], binds, 3)
  }
}

const text = (piece: Piece | undefined): string => piece?.text ?? '0'

function infix(
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

const call = (
  formula: string,
  args: readonly (Piece | undefined)[],
  binds: Piece['binds'],
  levels: number,
): Piece => ({
  text: formula,
  binds,
  nesting: levels + Math.max(0, ...args.map((a) => a?.nesting ?? 0)),
})

function extreme(name: 'MIN' | 'MAX', a: Piece | undefined, b: Piece | undefined): Piece {
  const args = [a, b].flatMap((piece) => (piece?.list?.name === name ? piece.list.args : [text(piece)]))
  if (args.length > MOST_ARGUMENTS) return call(`${name}(${text(a)},${text(b)})`, [a, b], 'whole', 1)
  return { ...call(`${name}(${args.join(',')})`, [a, b], 'whole', 1), list: { name, args } }
}

const sumOf = (terms: readonly Piece[]): Piece => {
  const [only] = terms
  if (terms.length === 1 && only && !only.text.includes(':')) return only
  return call(`SUM(${terms.map(text).join(',')})`, terms, 'whole', 1)
}

/** Terms with runs of cells below one another in a column drawn together: D5, D6, D7 are D5:D7. */
function ranges(terms: readonly Piece[]): Piece[] {
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

/** A float64 holds about 15 digits and a formula loses some: this many decimals of a value are still to be trusted. */
function trustedDecimals(values: readonly (Recorded | undefined)[], scaledBy: number): number {
  const sizes = values.map((v) =>
    v === undefined || v.value.isZero() || !v.value.isFinite() ? 0 : v.value.e,
  )
  return Math.min(9, Math.max(1, 12 - Math.max(0, ...sizes.map((e) => e + scaledBy))))
}

function settled(a: Piece | undefined, x: Recorded | undefined, scaledBy: number): string {
  if (x && scaledBy === 0 && isSettled(x)) return text(a)
  return `ROUND(${text(a)},${trustedDecimals([x], scaledBy)})`
}

function settledDifference(
  a: Piece | undefined,
  b: Piece | undefined,
  x: Recorded | undefined,
  y: Recorded | undefined,
): string {
  const digits = trustedDecimals([x, y], 0)
  return text(b) === '0' ? `ROUND(${text(a)},${digits})` : `ROUND(${infix(a, '-', b, 'sum').text},${digits})`
}

/**
 * Whether floating point holds a value as near as it can: a number as typed, or one rounded. Only such values may be
 * compared as they stand.
 */
function isSettled(node: Recorded, depth = 0): boolean {
  const { kind } = node.operation
  if (kind === 'constant' || kind === 'input' || kind === 'ceil' || kind === 'round') return true
  if (kind !== 'cell' && kind !== 'min' && kind !== 'max') return false
  return depth < 20 && node.args.every((arg) => isSettled(arg, depth + 1))
}

/** The nodes under and with `root`, arguments first. Not recursive: a chain of additions may be thousands long. */
function oldestFirst(root: Recorded, isDone: (node: Recorded) => boolean): Recorded[] {
  const order: Recorded[] = []
  const seen = new Set<Recorded>()
  const waiting: { node: Recorded; next: number }[] = []
  const enter = (node: Recorded) => {
    if (seen.has(node)) return
    seen.add(node)
    waiting.push({ node, next: 0 })
  }
  enter(root)
  while (waiting.length > 0) {
    const top = waiting.at(-1) as { node: Recorded; next: number }
    const arg = isDone(top.node) ? undefined : top.node.args[top.next]
    if (arg) {
      top.next++
      enter(arg)
    } else {
      waiting.pop()
      order.push(top.node)
    }
  }
  return order
}

/** How often each node is an argument, over all results. */
function countUses(results: readonly Recorded[]): Map<Recorded, number> {
  const uses = new Map<Recorded, number>()
  const seen = new Set<Recorded>()
  const waiting = [...results]
  while (waiting.length > 0) {
    const node = waiting.pop() as Recorded
    if (seen.has(node)) continue
    seen.add(node)
    for (const arg of node.args) {
      uses.set(arg, (uses.get(arg) ?? 0) + 1)
      waiting.push(arg)
    }
  }
  return uses
}

/** Ids of the inputs and named cells a value is made from directly, in the order of the formula. */
export function madeFrom(value: Recorded, most: number): string[] {
  const ids = new Set<string>()
  const stop = (node: Recorded) =>
    node !== value && (node.operation.kind === 'input' || node.operation.kind === 'cell')
  for (const { operation } of oldestFirst(value, stop)) {
    if (operation.kind === 'input') ids.add(operation.row.id)
    else if (
      operation.kind === 'cell' &&
      (value.operation.kind !== 'cell' || operation.id !== value.operation.id)
    )
      ids.add(operation.id)
    if (ids.size > most) break
  }
  return [...ids]
}
