import type { Decimal } from 'decimal.js'
import type { Operation, Recorded } from '../quantity/recorded.js'

/** What a node of the forest does: an operation of the recorded plan, or a longer one that a sheet has a word for. */
export type FormulaOperation =
  | Operation
  /** A number of the rules, by the name it has in the workbook. */
  | { readonly kind: 'named'; readonly name: string }
  /** The n-th of its arguments, n the first of them: which of some ways is taken. */
  | { readonly kind: 'pick' }
  /** Place of the least of its arguments, counted from 1. */
  | { readonly kind: 'least' }
  /** One argument for each scenario, which takes its own. */
  | { readonly kind: 'by scenario' }

/** A formula that one or more scenarios share. Equal formulas are one node, whichever plan they come from. */
export interface FormulaNode {
  readonly operation: FormulaOperation
  readonly args: readonly FormulaNode[]
  /** A value it has in one of the scenarios. */
  readonly value: Decimal
  /** Scenarios whose plan has it. */
  readonly scenarios: Set<number>
  /** Exponent of ten of its greatest value over the scenarios. */
  size: number
  /** Whether floating point holds its value as near as it can, in every scenario. */
  settled: boolean
}

/** Formulas are compared this deep; a longer chain that parts is taken as two formulas. */
const MOST_LEVELS = 200

/**
 * The formulas of all scenarios as one: what two scenarios, or two rows, work out alike is one node. So a row reads the
 * same in every column, and a part that is shared is a step for all of them.
 */
export class FormulaForest {
  readonly #byKey = new Map<string, FormulaNode>()
  readonly #numbers = new Map<FormulaNode, number>()
  readonly #chains = new Map<FormulaNode, readonly FormulaNode[]>()
  readonly #leasts = new Map<
    FormulaNode,
    { readonly amounts: readonly FormulaNode[]; readonly best: FormulaNode }
  >()

  /**
   * @param hasRow whether a named result has a row that a formula can refer to
   * @param nameOf the name a constant has in the workbook; undefined where it is written as it is
   */
  constructor(
    readonly hasRow: (id: string) => boolean,
    readonly nameOf: (value: Decimal, owner: string) => string | undefined,
  ) {}

  /** All nodes, in no order that matters. */
  get nodes(): IterableIterator<FormulaNode> {
    return this.#byKey.values()
  }

  /** The formulas of one scenario's derived cells, by id. */
  add(
    scenario: number,
    cells: Iterable<{ readonly id: string; readonly value: Recorded }>,
  ): Map<string, FormulaNode> {
    const known = new Map<Recorded, FormulaNode>()
    const settled = new Map<Recorded, boolean>()
    const roots = new Map<string, FormulaNode>()
    for (const { id, value } of cells) {
      // The cell's own name is the outermost node; its formula is what lies under it.
      const own = value.operation.kind === 'cell' && value.operation.id === id ? value.args[0] : undefined
      roots.set(id, this.#enter(own ?? value, id, scenario, known, settled))
    }
    return roots
  }

  #enter(
    root: Recorded,
    owner: string,
    scenario: number,
    known: Map<Recorded, FormulaNode>,
    settled: Map<Recorded, boolean>,
  ): FormulaNode {
    const isReference = ({ operation }: Recorded) => operation.kind === 'cell' && this.hasRow(operation.id)
    for (const node of oldestFirst(root, (n) => (known.has(n) || isReference(n) ? [] : n.args))) {
      if (known.has(node)) continue
      const args = isReference(node) ? [] : node.args.map((arg) => known.get(arg) as FormulaNode)
      const made = this.#node(node, args, owner)
      made.scenarios.add(scenario)
      made.size = Math.max(made.size, sizeOf(node.value))
      made.settled &&= isSettled(node, settled)
      known.set(node, made)
    }
    return known.get(root) as FormulaNode
  }

  #node(from: Recorded, args: readonly FormulaNode[], owner: string): FormulaNode {
    const { operation } = from
    if (operation.kind === 'constant') {
      const name = this.nameOf(from.value, owner)
      return this.#keyed(
        name === undefined ? operation : { kind: 'named', name },
        args,
        from.value,
        name === undefined ? `= ${from.value}` : `name ${name}`,
      )
    }
    const made = this.#keyed(operation, args, from.value, ownKeyOf(operation))
    if (operation.kind !== 'choose') return made
    return this.#asLeast(made, owner) ?? this.#asPick(made) ?? made
  }

  #keyed(
    operation: FormulaOperation,
    args: readonly FormulaNode[],
    value: Decimal,
    own: string,
  ): FormulaNode {
    const key = `${own}(${args.map((arg) => this.#numbers.get(arg))})`
    const found = this.#byKey.get(key)
    if (found) return found
    const made = { operation, args, value, scenarios: new Set<number>(), size: 0, settled: true }
    this.#byKey.set(key, made)
    this.#numbers.set(made, this.#numbers.size)
    return made
  }

  /**
   * One formula for all scenarios of a row. Where they part, because what was chosen in words makes them work a figure
   * out differently, stands a part for each of them; above it the formula is the same.
   *
   * @param roots the formula of each scenario, undefined where it does not have the row
   */
  join(roots: readonly (FormulaNode | undefined)[]): FormulaNode {
    const some = roots.find((root) => root !== undefined)
    if (!some) throw new Error('a row without a formula')
    return this.#join(
      roots.map((root) => root ?? some),
      0,
    )
  }

  #join(nodes: readonly FormulaNode[], depth: number): FormulaNode {
    const [first] = nodes as readonly [FormulaNode]
    if (nodes.every((node) => node === first)) return first
    const own = ownKeyOf(first.operation)
    const alike = nodes.every(
      ({ operation, args }) => ownKeyOf(operation) === own && args.length === first.args.length,
    )
    const apart = alike
      ? first.args.flatMap((arg, i) => (nodes.every((node) => node.args[i] === arg) ? [] : [i]))
      : []
    // Parted in one place only, the formula stays whole around it; parted in several, it is two formulas.
    const goesDown = apart.length === 1 && depth < MOST_LEVELS
    const args = goesDown
      ? first.args.map((arg, i) =>
          i === apart[0]
            ? this.#join(
                nodes.map((node) => node.args[i] as FormulaNode),
                depth + 1,
              )
            : arg,
        )
      : nodes
    const operation = goesDown ? first.operation : ({ kind: 'by scenario' } as const)
    const made = this.#keyed(operation, args, first.value, ownKeyOf(operation))
    for (const node of nodes) {
      for (const scenario of node.scenarios) made.scenarios.add(scenario)
      made.size = Math.max(made.size, node.size)
      made.settled &&= node.settled
    }
    return made
  }

  /**
   * `pick` of plan/ways.ts writes the value of the way taken as a chain: from 2 on, the next; else this one. It is
   * `CHOOSE` in a spreadsheet.
   */
  #asPick(node: FormulaNode): FormulaNode | undefined {
    const [taken, place, later, value] = node.args
    if (!taken || !place || !later || !value || !isTaken(taken)) return undefined
    const n = wholeNumber(place)
    if (n === undefined || n < 2) return undefined
    const next = this.#chains.get(later)
    const goesOn = next && later.args[0] === taken && wholeNumber(later.args[1]) === n + 1
    const values = [value, ...(goesOn ? next : [later])]
    this.#chains.set(node, values)
    return n === 2 ? this.#keyed({ kind: 'pick' }, [taken, ...values], node.value, 'pick()') : undefined
  }

  /** `indexOfLeast` of plan/ways.ts: of the amounts seen so far the place of the least, the first of equals. */
  #asLeast(node: FormulaNode, owner: string): FormulaNode | undefined {
    const [amount, best, before, place] = node.args
    if (!amount || !best || !before || !place || !/(^|\.)taken$/.test(owner)) return undefined
    const n = wholeNumber(place)
    if (n === undefined || n < 2) return undefined
    const earlier = this.#leasts.get(before)
    const first = n === 2 && wholeNumber(before) === 1 ? [best] : undefined
    const amounts =
      first ?? (earlier?.amounts.length === n - 1 && earlier.best === best ? earlier.amounts : undefined)
    if (!amounts) return undefined
    const made = this.#keyed({ kind: 'least' }, [...amounts, amount], node.value, 'least()')
    const least = this.#byKey.get(`min()(${this.#numbers.get(best)},${this.#numbers.get(amount)})`)
    this.#leasts.set(made, { amounts: [...amounts, amount], best: least ?? made })
    return made
  }
}

const isTaken = ({ operation }: FormulaNode): boolean =>
  operation.kind === 'cell' && /(^|\.)taken$/.test(operation.id)

/** A whole number written in the formula or behind a name. */
const wholeNumber = (node: FormulaNode | undefined): number | undefined =>
  node && (node.operation.kind === 'constant' || node.operation.kind === 'named') && node.value.isInteger()
    ? node.value.toNumber()
    : undefined

/** What tells the operation of a node from others, its arguments apart. */
function ownKeyOf(operation: FormulaOperation): string {
  switch (operation.kind) {
    case 'input':
      return `input ${operation.row.id}`
    case 'cell':
      return `cell ${operation.id}`
    case 'round':
      return `round ${operation.decimals} ${operation.rule}`
    case 'named':
      return `name ${operation.name}`
    default:
      return `${operation.kind}()`
  }
}

const sizeOf = (value: Decimal): number => (value.isZero() || !value.isFinite() ? 0 : value.e)

/**
 * Whether floating point holds a value as near as it can: a number as typed, or one rounded. Only such values may be
 * compared as they stand.
 */
function isSettled(node: Recorded, known: Map<Recorded, boolean>): boolean {
  const before = known.get(node)
  if (before !== undefined) return before
  const { kind } = node.operation
  const typed = kind === 'constant' || kind === 'input' || kind === 'ceil' || kind === 'round'
  const passed = kind === 'cell' || kind === 'min' || kind === 'max'
  const is = typed || (passed && node.args.every((arg) => isSettled(arg, known)))
  known.set(node, is)
  return is
}

/** The nodes under and with `root`, arguments first. Not recursive: a chain of additions may be thousands long. */
export function oldestFirst<T extends object>(root: T, argsOf: (node: T) => readonly T[]): T[] {
  const order: T[] = []
  const seen = new Set<T>()
  const waiting: { node: T; args: readonly T[]; next: number }[] = []
  const enter = (node: T) => {
    if (seen.has(node)) return
    seen.add(node)
    waiting.push({ node, args: argsOf(node), next: 0 })
  }
  enter(root)
  while (waiting.length > 0) {
    const top = waiting.at(-1) as (typeof waiting)[number]
    const arg = top.args[top.next]
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
