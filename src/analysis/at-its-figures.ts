import { exact } from '../quantity/exact.js'
import { Recorded } from '../quantity/recorded.js'

/**
 * A formula as an estimator writes it down for the case at hand: of two branches the one taken, nothing times one or
 * plus nothing, no rounding to the cent at the end. Its value is that of the formula before rounding.
 *
 * Example: `round(if(0 ≥ volume, 0, volume × price × 1), 2)` at 50 m³ → `volume × price`.
 */
export function atItsFigures(formula: Recorded): Recorded {
  const { operation, args } = formula
  const [inner] = args
  return operation.kind === 'round' && operation.decimals === 2 && inner ? plain(inner) : plain(formula)
}

function plain(node: Recorded): Recorded {
  const { operation, args } = node
  if (operation.kind === 'input' || operation.kind === 'cell' || operation.kind === 'constant') return node
  if (operation.kind === 'choose') {
    const [a, atLeast, then, otherwise] = args
    const taken = a && atLeast && a.value.gte(atLeast.value) ? then : otherwise
    return taken ? plain(taken) : node
  }
  const parts = args.map(plain)
  const [first, second] = parts
  const simpler = simplerOf(operation.kind, parts, first, second)
  return simpler ?? new Recorded(operation, parts, node.value)
}

/** One of its parts that says the same, where there is one. */
function simplerOf(
  kind: Recorded['operation']['kind'],
  parts: readonly Recorded[],
  first: Recorded | undefined,
  second: Recorded | undefined,
): Recorded | undefined {
  if (kind === 'sum') {
    const some = parts.filter((part) => !isConstant(part, 0))
    if (some.length === parts.length) return undefined
    return new Recorded({ kind: 'sum' }, some, exact.sum(some.map(({ value }) => value)))
  }
  if (!first || !second) return undefined
  switch (kind) {
    case 'times':
      if (isConstant(first, 0) || isConstant(second, 1)) return first
      return isConstant(second, 0) || isConstant(first, 1) ? second : undefined
    case 'div':
      return isConstant(second, 1) ? first : undefined
    case 'plus':
      if (isConstant(second, 0)) return first
      return isConstant(first, 0) ? second : undefined
    case 'minus':
      return isConstant(second, 0) ? first : undefined
    case 'max':
      if (isConstant(first, 0) && second.value.gt(0)) return second
      return isConstant(second, 0) && first.value.gt(0) ? first : undefined
    default:
      return undefined
  }
}

/** A constant of this value; a sum of nothing is 0. */
const isConstant = ({ operation, args, value }: Recorded, is: number): boolean =>
  (operation.kind === 'constant' || (operation.kind === 'sum' && args.length === 0)) && value.eq(is)
