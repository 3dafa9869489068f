import type { Decimal } from 'decimal.js'
import type { Sheet } from '../plan/plan.js'
import { UnusableInput } from '../plan/refusal.js'
import type { Confirmed } from '../quantity/arithmetic.js'
import type { Recorded } from '../quantity/recorded.js'
import { nearest } from '../tables/nearest.js'
import { atItsFigures } from './at-its-figures.js'

/** Where a figure comes from: the cell, its formula over other cells and inputs, and those in turn. */
export interface Explanation {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly value: Decimal
  /** The formula in the ids of what it is made from; absent for an input. */
  readonly formula?: string
  readonly source?: string
  readonly confirmed?: Confirmed
  /** Told in full at an earlier place of the tree. */
  readonly toldBefore?: true
  /**
   * Where the cell is decided among several ways to do a thing: what each way comes to, in the order that the cell
   * `by` counts them. Only the way taken is told further.
   */
  readonly ways?: { readonly by: string; readonly each: readonly WayValue[] }
  readonly from: readonly Explanation[]
}

/** What a cell is under one way to do a thing. */
export interface WayValue {
  readonly id: string
  readonly value: Decimal
  readonly taken: boolean
}

/** How far down a figure is told. */
export interface Telling {
  /** Formulas down; the way taken of a choice is no step. All where absent. */
  readonly depth?: number
  /** Cells told by their formula alone, unless one of them is asked for. */
  readonly stopsAt?: (cellId: string) => boolean
}

/**
 * The tree of a cell down to the inputs. A cell that several branches use is told in full at its first place only.
 *
 * @param written `in full`: every branch of every formula; `as a worksheet`: what counts at these figures alone
 * Throws one sentence naming the nearest ids where no cell has this one.
 */
export function explain(
  sheet: Sheet<Recorded>,
  id: string,
  written: 'in full' | 'as a worksheet' = 'in full',
  { depth = Number.POSITIVE_INFINITY, stopsAt = () => false }: Telling = {},
): Explanation {
  const told = new Set<string>()
  const tell = (cellId: string, left: number): Explanation => {
    const cell = sheet.cells.get(cellId)
    if (!cell)
      throw new UnusableInput(
        `unknown cell "${cellId}"; nearest: ${nearest(cellId, sheet.cells.keys()).join(', ')}`,
      )
    const { label, unit, value, source, confirmed } = cell
    const facts = {
      id: cellId,
      label,
      unit,
      value: value.value,
      ...(source === undefined ? {} : { source }),
      ...(confirmed === undefined ? {} : { confirmed }),
    }
    const toldBefore = told.has(cellId)
    told.add(cellId)
    const again = toldBefore ? { toldBefore } : {}
    const inner = value.operation.kind === 'cell' ? value.args[0] : undefined
    if (inner === undefined) return { ...facts, ...again, from: [] }
    const reckoned = written === 'in full' ? inner : atItsFigures(inner)
    const formula = formulaText(reckoned)
    if (toldBefore) return { ...facts, formula, ...again, from: [] }
    if (cellId !== id && stopsAt(cellId)) return { ...facts, formula, from: [] }
    if (left <= 0) {
      // Not told in full here, so another place may still tell it.
      told.delete(cellId)
      return { ...facts, formula, from: [] }
    }
    const decided = decidedAmong(inner)
    if (decided) {
      const taken = decided.each.find((way) => way.taken)
      return { ...facts, formula, ways: decided, from: taken ? [tell(taken.id, left)] : [] }
    }
    const compared = cellId.endsWith(TAKEN) ? comparedBy(inner, value.value) : undefined
    if (compared) return { ...facts, formula, ways: { by: cellId, each: compared }, from: [] }
    return { ...facts, formula, from: precedents(reckoned).map((of) => tell(of, left - 1)) }
  }
  return tell(id, depth)
}

/** How the ids of the cells end that say which of several ways is taken (`decide` in plan/ways.ts). */
const TAKEN = '.taken'

/** The ways a cell is picked from by a cell that says which is taken; undefined for any other formula. */
function decidedAmong(node: Recorded): Explanation['ways'] {
  const by = node.operation.kind === 'choose' ? node.args[0] : undefined
  const id = by && nameOf(by)
  if (!by || !id?.endsWith(TAKEN)) return undefined
  const ways: Recorded[] = []
  let rest: Recorded | undefined = node
  while (rest?.operation.kind === 'choose' && rest.args[0] === by) {
    const [, , later, way]: readonly (Recorded | undefined)[] = rest.args
    if (way) ways.push(way)
    rest = later
  }
  if (rest) ways.push(rest)
  const each = ways.flatMap((way, i): WayValue[] => {
    const name = nameOf(way)
    return name === undefined ? [] : [{ id: name, value: way.value, taken: by.value.eq(i + 1) }]
  })
  return { by: id, each }
}

/** The costs that the cell which says what is taken was found from, in the order in which it counts them. */
function comparedBy(node: Recorded, taken: Decimal): readonly WayValue[] | undefined {
  const found = [...namedIn(node)].filter(([name]) => /^(with|by)\..*\.total$/.test(name))
  if (found.length < 2) return undefined
  // The last way is compared first in the formula; the least of the earlier ones is written from the first on.
  const [last, ...earlier] = found
  return [...earlier, ...(last ? [last] : [])].map(([id, { value }], i) => ({
    id,
    value,
    taken: taken.eq(i + 1),
  }))
}

/** Ids of the cells and inputs a formula names, each once, in the order it names them. */
export const precedents = (node: Recorded): string[] => [...namedIn(node).keys()]

/** The cells and inputs a formula names, by their ids, each once, in the order it names them. */
function namedIn(node: Recorded): ReadonlyMap<string, Recorded> {
  const found = new Map<string, Recorded>()
  const seen = new Set<Recorded>()
  const visit = (n: Recorded): void => {
    if (seen.has(n)) return
    seen.add(n)
    const name = nameOf(n)
    if (name === undefined) n.args.forEach(visit)
    else if (!found.has(name)) found.set(name, n)
  }
  visit(node)
  return found
}

function nameOf({ operation }: Recorded): string | undefined {
  if (operation.kind === 'input') return operation.row.id
  return operation.kind === 'cell' ? operation.id : undefined
}

type Infix = 'plus' | 'minus' | 'times' | 'div'

const infix: Record<Infix, string> = { plus: ' + ', minus: ' − ', times: ' × ', div: ' ÷ ' }

/** A formula as people write it, over ids: `max(volume.net × 2, 3)`. */
export function formulaText(node: Recorded): string {
  const name = nameOf(node)
  if (name !== undefined) return name
  const { operation, args } = node
  const texts = () => args.map((arg) => formulaText(arg))
  switch (operation.kind) {
    case 'constant':
      return node.value.toString()
    case 'plus':
    case 'minus':
    case 'times':
    case 'div': {
      const { kind } = operation
      const shown = args.map((arg, place) =>
        needsBrackets(kind, arg, place) ? `(${formulaText(arg)})` : formulaText(arg),
      )
      return shown.join(infix[kind])
    }
    case 'choose': {
      const [a, b, then, otherwise] = texts()
      return `if(${a} ≥ ${b}, ${then}, ${otherwise})`
    }
    case 'round':
      return `round(${texts()[0]}, ${operation.decimals}, ${operation.rule})`
    case 'sum':
      return args.length === 0 ? '0' : args.length === 1 ? (texts()[0] ?? '0') : `sum(${texts().join(', ')})`
    default:
      return `${operation.kind}(${texts().join(', ')})`
  }
}

function needsBrackets(outer: Infix, given: Recorded, place: number): boolean {
  const arg = printed(given)
  // A negative constant would run into the sign before it.
  if (arg.operation.kind === 'constant') return place === 1 && arg.value.isNegative()
  if (nameOf(arg) !== undefined) return false
  const inner = arg.operation.kind
  if (inner !== 'plus' && inner !== 'minus' && inner !== 'times' && inner !== 'div') return false
  const loose = inner === 'plus' || inner === 'minus'
  if (outer === 'plus') return false
  if (outer === 'minus') return place === 1 && loose
  return loose || (outer === 'div' && place === 1)
}

/** What a node is printed as: a sum of one term is that term. */
function printed(node: Recorded): Recorded {
  const [only, ...more] = node.args
  return node.operation.kind === 'sum' && only !== undefined && more.length === 0 ? printed(only) : node
}
