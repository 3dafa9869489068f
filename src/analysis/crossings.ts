import type { Decimal } from 'decimal.js'
import { Columns, compile, held, type Program } from '../bulk/index.js'
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

/** Pieces a range is cut into: two results that change places twice within one of them are not told apart. */
const pieces = 4096
const digits = 12

/**
 * Every value of an input between two at which the lesser of two results becomes the greater, solved in decimals.
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
  range: readonly [Decimal.Value, Decimal.Value],
  columnOf: (row: NumberInput) => string | undefined = (row) => row.id,
  step: Decimal.Value = 1,
  others: ReadonlyMap<string, Decimal.Value> = new Map(),
): Crossing[] {
  const program = compile(new Map([['gap', first.minus(second)]]), [id, ...others.keys()], columnOf)
  return signChanges(held(program, new Map([[id, range[0]], ...others]))([id]), range, step).get('gap') ?? []
}

/**
 * Every value of the one input of a program at which an output changes its sign, by output.
 *
 * Where guaranteed bounds keep every output away from zero there are none. Otherwise they are worked out in columns at the
 * ends of 4,096 pieces; a piece at whose ends one has two signs is bisected in exact arithmetic. Where an output runs
 * within cents of zero over a stretch and rounding changes its sign many times, not every one of these is given.
 */
export function signChanges(
  program: Program,
  [from, to]: readonly [Decimal.Value, Decimal.Value],
  step: Decimal.Value = 1,
): ReadonlyMap<string, Crossing[]> {
  const [id = ''] = program.inputs
  const columns = new Columns(program)
  const [low, high] = [new Exact(from), new Exact(to)]
  const [start, width] = [low.toNumber(), high.minus(low)]
  columns.evaluate(new Map([[id, Float64Array.of(start, high.toNumber())]]))
  const apart = [...columns.ranges()].filter(([, [least, most]]) => least > 0 || most < 0)
  if (apart.length === program.outputs.length) return new Map()
  const at = Float64Array.from({ length: pieces + 1 }, (_, k) => start + (width.toNumber() * k) / pieces)
  const results = columns.evaluate(new Map([[id, at]]))
  const point = (k: number): Decimal => low.plus(width.times(k).div(pieces))
  return new Map(
    [...results].map(([output, gaps]) => {
      const gap = (x: Decimal): Decimal =>
        columns.exactly.outputs(new Map([[id, x]])).get(output) ?? new Exact(Number.NaN)
      return [output, changesOf(gaps, point, gap, width, new Exact(step))]
    }),
  )
}

function changesOf(
  gaps: Float64Array,
  point: (k: number) => Decimal,
  gap: (x: Decimal) => Decimal,
  width: Decimal,
  step: Decimal,
): Crossing[] {
  const found: Crossing[] = []
  let last = 0
  // A run of zeros is no change of places yet: the piece goes on until the difference has a sign again.
  for (let k = 1; k < gaps.length; k++) {
    const [before, now] = [gaps[last] ?? 0, gaps[k] ?? 0]
    if (now === 0) continue
    if (before !== 0 && before > 0 !== now > 0) {
      const [from, to] = [point(last), point(k)]
      const ends = [gap(from), gap(to)] as const
      if (sign(ends[0]) !== 0 && sign(ends[0]) !== sign(ends[1]))
        found.push(bisected(gap, [from, to], ends, width, step))
    }
    last = k
  }
  return found
}

const sign = (x: Decimal): number => (x.isZero() ? 0 : x.isNegative() ? -1 : 1)

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
