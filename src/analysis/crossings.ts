import type { Decimal } from 'decimal.js'
import { Columns, compile } from '../bulk/index.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import { Exact } from '../quantity/exact.js'
import type { Recorded } from '../quantity/recorded.js'

/** A value of an input at which one result overtakes another. */
export interface Crossing {
  /** The first value, to about twelve digits, from which the order is the other one. */
  readonly at: Decimal
  /** First less second, just before and from there on. */
  readonly before: Decimal
  readonly after: Decimal
  /** `jump` where a step (a container more, an hour begun) carries one past the other; `level` where they meet. */
  readonly kind: 'level' | 'jump'
}

/** Pieces of a range no smaller than this part of it are cut further without being asked for their ends. */
const coarse = 2 ** 9
const fine = 2 ** 22
/** Pieces looked at, at most, so that two results within cents of each other for long do not take for ever. */
const mostPieces = 3000
const digits = 12

/**
 * Every value of an input between two at which the lesser of two results becomes the greater, solved in decimals.
 *
 * The range is cut in halves until guaranteed bounds show that a piece holds no crossing, or its ends show that it
 * does; that one is bisected in exact arithmetic. So two crossings between two points of a grid are found, unless
 * they are nearer to each other than a four-millionth of the range. Where two results run within cents of each
 * other over a stretch and rounding makes them change places many times, not every one of these is given.
 *
 * @param first,second recorded results
 * @param id the input that varies
 * @param columnOf as for `compile`: which inputs follow
 * @param step a difference that jumps by more than this is a step
 * @param others values of further inputs, which stay there; those not named stay likely
 */
export function crossings(
  first: Recorded,
  second: Recorded,
  id: string,
  [from, to]: readonly [Decimal.Value, Decimal.Value],
  columnOf: (row: NumberInput) => string | undefined = (row) => row.id,
  step: Decimal.Value = 1,
  others: ReadonlyMap<string, Decimal.Value> = new Map(),
): Crossing[] {
  const program = compile(new Map([['gap', first.minus(second)]]), [id, ...others.keys()], columnOf)
  const fixed = [...others].map(([name, value]) => [name, new Exact(value)] as const)
  const columns = new Columns(program)
  const [low, high] = [new Exact(from), new Exact(to)]
  const width = high.minus(low)
  const point = (k: number): Decimal => low.plus(width.times(k).div(fine))
  const gap = (x: Decimal): Decimal =>
    columns.exactly.outputs(new Map([...fixed, [id, x]])).get('gap') ?? new Exact(Number.NaN)
  const found: Crossing[] = []
  let pieces = 0
  const search = (k: number, n: number): void => {
    pieces += 1
    const ends = [id, point(k), point(n)] as const
    if (excludesNought(columns, [ends, ...fixed.map(([name, at]) => [name, at, at] as const)])) return
    if (n - k <= fine / coarse) {
      const [from, to] = [gap(point(k)), gap(point(n))]
      if (sign(from) !== 0 && sign(from) !== sign(to)) {
        found.push(bisected(gap, [point(k), point(n)], [from, to], width, new Exact(step)))
        return
      }
      if (n - k === 1 || pieces > mostPieces) return
    }
    const middle = Math.floor((k + n) / 2)
    search(k, middle)
    search(middle, n)
  }
  search(0, fine)
  return found
}

const sign = (x: Decimal): number => (x.isZero() ? 0 : x.isNegative() ? -1 : 1)

/** Do guaranteed bounds show that the difference keeps its sign while each input is between two values? */
function excludesNought(
  columns: Columns,
  inputs: readonly (readonly [id: string, from: Decimal, to: Decimal])[],
): boolean {
  // The doubles next to the ends: the bounds must hold for the ends themselves.
  const outward = (x: number, sign: number): number => x + sign * (Math.abs(x) * 2 ** -52 + Number.MIN_VALUE)
  const ends = inputs.map(
    ([id, from, to]) =>
      [id, Float64Array.of(outward(from.toNumber(), -1), outward(to.toNumber(), 1))] as const,
  )
  columns.evaluate(new Map(ends))
  const [low, high] = columns.ranges().get('gap') ?? [Number.NaN, Number.NaN]
  return low > 0 || high < 0
}

function bisected(
  gap: (x: Decimal) => Decimal,
  [from, to]: readonly [Decimal, Decimal],
  [atFrom, atTo]: readonly [Decimal, Decimal],
  width: Decimal,
  step: Decimal,
): Crossing {
  let [low, high, before, after] = [from, to, atFrom, atTo]
  const least = width.times(new Exact(10).pow(-digits))
  while (high.minus(low).gt(least)) {
    const middle = low.plus(high).div(2)
    const value = gap(middle)
    if (sign(value) === sign(atFrom)) [low, before] = [middle, value]
    else [high, after] = [middle, value]
  }
  return {
    at: shortest(low, high),
    before,
    after,
    kind: after.minus(before).abs().gt(step) ? 'jump' : 'level',
  }
}

/** The decimal of fewest digits above `low` and not above `high`: 12.5, not 12.50000000003. */
function shortest(low: Decimal, high: Decimal): Decimal {
  for (let decimals = 0; decimals < 30; decimals++) {
    const rounded = high.toDecimalPlaces(decimals, Exact.ROUND_DOWN)
    if (rounded.gt(low)) return rounded
  }
  return high
}
