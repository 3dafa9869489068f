import { type FormulaNode, oldestFirst } from './forest.js'
import {
  call,
  extreme,
  infix,
  MOST_ARGUMENTS,
  type Piece,
  type Reference,
  ranges,
  settled,
  settledDifference,
  sumOf,
  text,
  whole,
  withoutSheet,
} from './formula-pieces.js'

/** Stands in a formula for the column it will be written in: a formula is the same in every column of its row. */
export const OWN_COLUMN = '§'

/**
 * Where a formula finds what it refers to, and where it leaves a part that is better a row of its own.
 * References carry their sheet and the column of the formula, as in `Cost!§7`.
 */
export interface Places {
  /** Reference to an input. */
  input(id: string): Reference
  /** Reference to a derived cell that has its own row; undefined for a name that has none. */
  cell(id: string): Reference | undefined
  /** Reference to a number of the rules by its name. */
  named(node: FormulaNode, owner: string): Reference
  /** Reference to ten to a power, with which a rounding to so many decimals works. */
  tens(decimals: number): Reference
  /** Reference to the number of the column's scenario, counted from 1. */
  scenario(): string
  /** Where somebody may name the way to take, of a choice among amounts that are placed, and the names of the ways. */
  kept(among: FormulaNode): { readonly way: string; readonly names: string }
  /** Puts a part of a cell's formula in a row of its own. */
  step(part: Step): Reference
}

/** A part of a formula in a row of its own. */
export interface Step {
  /** The cell whose formula it is part of. */
  readonly owner: string
  readonly what: 'part' | 'subtotal' | 'before rounding' | 'named' | 'amount' | 'as in some scenarios'
  readonly formula: string
  /** What it works out; it is written for the scenarios that have this. */
  readonly node: FormulaNode
  /** The choice among amounts that an amount stands in. */
  readonly among?: FormulaNode
}

/** Programs allow 8 192 characters and 64 levels; a reader allows fewer. */
export const LONGEST_FORMULA = 1_500
const DEEPEST_NESTING = 12
const WORTH_A_ROW = 24

/**
 * Writes the formulas of a forest. Shared parts are written once; parts too long for a reader or a program get rows of
 * their own.
 */
export class FormulaWriter {
  readonly #pieces = new Map<FormulaNode, Piece>()
  readonly #uses: ReadonlyMap<FormulaNode, number>

  /** @param results every derived cell's formula, so that it is known which parts are used more than once */
  constructor(
    readonly places: Places,
    results: Iterable<FormulaNode>,
  ) {
    this.#uses = countUses(results)
  }

  /** The formula of a derived cell, without the equals sign. */
  formula(owner: string, root: FormulaNode): string {
    for (const node of oldestFirst(root, (n) =>
      this.#pieces.has(n) || this.#reference(n, owner) ? [] : n.args,
    )) {
      if (this.#pieces.has(node)) continue
      const piece = this.#reference(node, owner) ?? this.#build(owner, node)
      const shared = (this.#uses.get(node) ?? 0) > 1 && piece.text.length > WORTH_A_ROW
      const hard = piece.nesting > DEEPEST_NESTING || piece.text.length > LONGEST_FORMULA
      const apart = node !== root && !piece.at && (shared || hard)
      this.#pieces.set(node, apart ? this.#row(owner, 'part', piece.text, node) : piece)
    }
    const piece = this.#pieces.get(root) as Piece
    if ((this.#uses.get(root) ?? 0) > 1 && !piece.at && piece.text.length > WORTH_A_ROW) {
      const row = this.#row(owner, 'part', piece.text, root)
      this.#pieces.set(root, row)
      return row.text
    }
    return piece.text
  }

  #row(owner: string, what: Step['what'], formula: string, node: FormulaNode): Piece {
    return whole(this.places.step({ owner, what, formula, node }))
  }

  #reference(node: FormulaNode, owner: string): Piece | undefined {
    const { operation } = node
    if (operation.kind === 'input') return whole(this.places.input(operation.row.id))
    if (operation.kind === 'named') return whole(this.places.named(node, owner))
    const found = operation.kind === 'cell' ? this.places.cell(operation.id) : undefined
    return found && whole(found)
  }

  #build(owner: string, node: FormulaNode): Piece {
    const { operation } = node
    if (operation.kind === 'constant') return { text: node.value.toFixed(), binds: 'whole', nesting: 0 }
    if (operation.kind === 'sum') return this.#sum(owner, node)
    if (operation.kind === 'least') return this.#least(owner, node)
    if (operation.kind === 'by scenario') return this.#byScenario(owner, node)
    const args = this.#shortened(owner, node.args)
    const [a, b, c, d] = args
    const [x, y] = node.args
    switch (operation.kind) {
      case 'cell':
        return this.#row(owner, 'named', text(a), node)
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
          x?.settled && y?.settled ? `${text(a)}>=${text(b)}` : `${settledDifference(a, b, x, y)}>=0`
        return call(`IF(${condition},${text(c)},${text(d)})`, args, 'whole', 2)
      }
      case 'pick':
        return call(`CHOOSE(${args.map(text).join(',')})`, args, 'whole', 1)
      case 'round':
        return this.#rounded(owner, node, a, operation.decimals, operation.rule)
      default:
        throw new Error(`a recorded ${operation.kind} has no formula`)
    }
  }

  /** The part that belongs to the scenario of the column; each stands in a row of its own for those that have it. */
  #byScenario(owner: string, node: FormulaNode): Piece {
    for (const part of new Set(node.args)) {
      const piece = this.#pieces.get(part) as Piece
      if (!piece.at && part.operation.kind !== 'constant')
        this.#pieces.set(part, this.#row(owner, 'as in some scenarios', piece.text, part))
    }
    const parts = node.args.map((part) => text(this.#pieces.get(part)))
    return call(`CHOOSE(${this.places.scenario()},${parts.join(',')})`, [], 'whole', 1)
  }

  /**
   * Place of the least of some amounts: a row for each, below one another, so that they can be compared by eye. Where a
   * way is named that is to be taken, its place.
   */
  #least(owner: string, node: FormulaNode): Piece {
    const amounts = node.args.map((arg) => {
      const formula = settled(this.#pieces.get(arg), arg, 0)
      return whole(this.places.step({ owner, what: 'amount', formula, node: arg, among: node }))
    })
    const range = text(ranges(amounts)[0])
    const all = amounts.length === 2 ? `${text(amounts[0])}:${withoutSheet(text(amounts[1]))}` : range
    const { way, names } = this.places.kept(node)
    return call(`IFERROR(MATCH(${way},${names},0),MATCH(MIN(${all}),${all},0))`, [], 'whole', 3)
  }

  /** Arguments brought within reach: the longest go to rows of their own until the whole is short enough. */
  #shortened(owner: string, nodes: readonly FormulaNode[]): Piece[] {
    const args = nodes.map((n) => this.#pieces.get(n) as Piece)
    while (args.reduce((length, a) => length + a.text.length, 0) > LONGEST_FORMULA) {
      const longest = args.reduce(
        (best, a, i) => (a.text.length > (args[best]?.text.length ?? 0) ? i : best),
        0,
      )
      const piece = args[longest]
      const node = nodes[longest]
      if (!piece || !node || piece.at) break
      const row = this.#row(owner, 'part', piece.text, node)
      this.#pieces.set(node, row)
      nodes.forEach((n, i) => {
        if (n === node) args[i] = row
      })
    }
    return args
  }

  #sum(owner: string, node: FormulaNode): Piece {
    const args = node.args.map((n) => this.#pieces.get(n) as Piece)
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
    const subtotals = chunks.map((chunk) => this.#row(owner, 'subtotal', sumOf(chunk).text, node))
    return sumOf(ranges(subtotals))
  }

  /**
   * Rounding as the model does it. The scaled value is first rounded at a digit far below the cent, which takes off
   * what floating point added, so that an exact half is seen as one.
   */
  #rounded(owner: string, node: FormulaNode, a: Piece | undefined, decimals: number, rule: string): Piece {
    const scale = decimals === 0 ? undefined : whole(this.places.tens(decimals))
    const scaled = settled(scale && a ? infix(a, '*', scale, 'product') : a, node.args[0], decimals)
    const back = scale ? `/${text(scale)}` : ''
    const binds = scale ? 'quotient' : 'whole'
    if (rule === 'half-up') return call(`ROUND(${scaled},0)${back}`, [a], binds, 2)
    if (rule === 'down') return call(`TRUNC(${scaled},0)${back}`, [a], binds, 2)
    const t = this.#row(owner, 'before rounding', scaled, node).text
    return call(`IF(ABS(${t}-TRUNC(${t},0))=0.5,2*ROUND(${t}/2,0),ROUND(${t},0))${back}`, [], binds, 3)
  }
}

/** How often each node is an argument, over all results. */
function countUses(results: Iterable<FormulaNode>): Map<FormulaNode, number> {
  const uses = new Map<FormulaNode, number>()
  const seen = new Set<FormulaNode>()
  const waiting = [...results]
  while (waiting.length > 0) {
    const node = waiting.pop() as FormulaNode
    if (seen.has(node)) continue
    seen.add(node)
    for (const arg of node.args) {
      uses.set(arg, (uses.get(arg) ?? 0) + 1)
      waiting.push(arg)
    }
  }
  return uses
}
