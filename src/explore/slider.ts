import type { Decimal } from 'decimal.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import { Exact } from '../quantity/exact.js'

export interface SliderRange {
  readonly min: Decimal
  readonly max: Decimal
  readonly step: Decimal
}

/** Ends of sliders for what a household decides or cannot know, where the input has no range of its own. */
const ENDS: readonly (readonly [
  id: RegExp,
  ends: (likely: Decimal) => readonly [min: Decimal.Value, max: Decimal.Value],
])[] = [
  [/^delay\.days$/, (likely) => [0, Exact.max(30, likely.times(2))]],
  [/^storage\.months$/, (likely) => [0, Exact.max(12, likely.times(2))]],
  [/^own\.people$/, (likely) => [1, Exact.max(6, likely)]],
  [/^own\.hour-value$/, (likely) => [0, Exact.max(20, likely.times(4))]],
  [/^insured\.share$/, (likely) => [0, Exact.max(1, likely)]],
  [/^exchange\./, (likely) => [likely.times('0.75'), likely.times('1.25')]],
]

/** Steps from end to end, at least. */
const LEAST_STEPS = 40

const steps = (scale: Decimal): Decimal[] => [50, 25, 20, 10, 5, 2, 1].map((k) => scale.times(k))

/**
 * The slider of an input: a quarter of its range wider than the range at both ends, never below half of the low
 * end, a share never above one. Low, likely, high and the planned values are whole steps from the least value, so
 * that a slider can stand on each of them.
 *
 * @param planned values of the input in the scenarios
 */
export function sliderRange(row: NumberInput, planned: readonly Decimal[]): SliderRange {
  const { low, likely, high } = row
  const marks = [low, likely, high, ...planned]
  const [least, most] = wanted(row)
  const from = Exact.min(least, ...marks)
  const to = Exact.max(most, ...marks)
  const span = to.minus(from)
  const finest = new Exact(10).pow(-Math.max(...marks.map((mark) => mark.decimalPlaces())))
  const onGrid = (step: Decimal): boolean => marks.every((mark) => mark.minus(low).mod(step).isZero())
  const candidates = [2, 1, 0, -1, -2]
    .flatMap((power) => steps(finest.times(new Exact(10).pow(power))))
    .filter((step) => onGrid(step) && span.div(step).gte(LEAST_STEPS))
    .toSorted((a, b) => b.cmp(a))
  // Half a person or half a day at the port is a figure for the number field.
  const step =
    /^(person|day)$/.test(row.unit) && onGrid(new Exact(1)) ? new Exact(1) : (candidates[0] ?? finest)
  return {
    min: low.minus(low.minus(from).div(step).floor().times(step)),
    max: low.plus(to.minus(low).div(step).floor().times(step)),
    step,
  }
}

function wanted({ id, low, likely, high, unit }: NumberInput): readonly [Decimal, Decimal] {
  const own = ENDS.find(([pattern]) => pattern.test(id))
  if (own) {
    const [min, max] = own[1](likely)
    return [new Exact(min), new Exact(max)]
  }
  const pad = high.minus(low).div(4)
  if (pad.isZero()) return [likely.div(2), likely.isZero() ? new Exact(10) : likely.times(2)]
  const least = Exact.max(low.minus(pad), low.div(2))
  const most = high.plus(pad)
  return [least, unit === '1' && high.lte(1) ? Exact.min(most, 1) : most]
}
