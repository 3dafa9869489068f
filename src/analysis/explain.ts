import type { Decimal } from 'decimal.js'
import type { Sheet } from '../plan/plan.js'
import { UnusableInput } from '../plan/refusal.js'
import type { Confirmed } from '../quantity/arithmetic.js'
import type { Recorded } from '../quantity/recorded.js'
import { nearest } from '../tables/nearest.js'

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
  readonly from: readonly Explanation[]
}

/**
 * The tree of a cell down to the inputs. A cell that several branches use is told in full at its first place only.
 *
 * Throws one sentence naming the nearest ids where no cell has this one.
 */
export function explain(sheet: Sheet<Recorded>, id: string): Explanation {
  const told = new Set<string>()
  const tell = (cellId: string): Explanation => {
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
    const inner = value.operation.kind === 'cell' ? value.args[0] : undefined
    if (inner === undefined) return { ...facts, from: [] }
    const formula = formulaText(inner)
    if (told.has(cellId)) return { ...facts, formula, from: [] }
    told.add(cellId)
    return { ...facts, formula, from: precedents(inner).map(tell) }
  }
  return tell(id)
}

/** Ids of the cells and inputs a formula names, each once, in the order it names them. */
export function precedents(node: Recorded): string[] {
  const found = new Set<string>()
  const seen = new Set<Recorded>()
  const visit = (n: Recorded): void => {
    if (seen.has(n)) return
    seen.add(n)
    const name = nameOf(n)
    if (name === undefined) n.args.forEach(visit)
    else found.add(name)
  }
  visit(node)
  return [...found]
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
