import exp from '@stdlib/math-base-special-exp'
import ln from '@stdlib/math-base-special-ln'
import betaCdf from '@stdlib/stats-base-dists-beta-cdf'
import normalCdf from '@stdlib/stats-base-dists-normal-cdf'
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile'

/**
 * How an uncertain figure spreads. In plain words:
 * - `fixed`: we know it;
 * - `uniform`: anywhere between, no value likelier than another;
 * - `triangular`: likely in the middle, straight slopes to both ends;
 * - `pert`: likely in the middle, ends rarer than straight slopes have them (what we take when nobody says);
 * - `lognormal`: half the time below the median, with a long tail upwards, such as waiting days;
 * - `chance`: a value with some probability, else zero.
 */
export type Distribution =
  | { readonly kind: 'fixed'; readonly value: number }
  | { readonly kind: 'uniform'; readonly low: number; readonly high: number }
  | {
      readonly kind: 'triangular' | 'pert'
      readonly low: number
      readonly likely: number
      readonly high: number
    }
  | { readonly kind: 'lognormal'; readonly median: number; readonly p90: number; readonly most?: number }
  | { readonly kind: 'chance'; readonly probability: number; readonly value: number }

/** The word for a spread from low over likely to high, as an option or a CSV cell has it. */
export const RANGE_SHAPES = ['pert', 'triangular', 'uniform', 'fixed'] as const
export type RangeShape = (typeof RANGE_SHAPES)[number]

/** A low, likely and high as a distribution of a shape; a range of one is fixed. */
export function ofRange(low: number, likely: number, high: number, shape: RangeShape = 'pert'): Distribution {
  if (!(low <= likely && likely <= high)) {
    throw new Error(`range ${low} / ${likely} / ${high}: give low, likely and high in rising order`)
  }
  if (shape === 'fixed' || low === high) return { kind: 'fixed', value: likely }
  return shape === 'uniform' ? { kind: shape, low, high } : { kind: shape, low, likely, high }
}

/** Turns a probability between 0 and 1 into the value that is not exceeded with it. */
export type Quantile = (probability: number) => number

/** The same for the first `count` of a column of probabilities. */
export type Spread = (probabilities: Float64Array, count: number, into: Float64Array) => void

/** z of a probability of 0.9. */
const z90 = normalQuantile(0.9, 0, 1)

/**
 * The quantile function of a distribution, a column at a time. Logarithm, exponential, normal and beta come from a
 * library that works them out in plain double arithmetic, because an engine's own Math.log and Math.exp may differ
 * in the last digit: the same draws give the same figures on every platform.
 */
export function spreadOf(distribution: Distribution): Spread {
  switch (distribution.kind) {
    case 'fixed': {
      const { value } = distribution
      return (_p, count, into) => {
        into.fill(value, 0, count)
      }
    }
    case 'uniform': {
      const { low, high } = distribution
      return (p, count, into) => {
        for (let i = 0; i < count; i++) into[i] = low + (high - low) * (p[i] as number)
      }
    }
    case 'triangular': {
      const { low, likely, high } = distribution
      const [left, right] = [(high - low) * (likely - low), (high - low) * (high - likely)]
      const rising = (likely - low) / (high - low)
      return (p, count, into) => {
        for (let i = 0; i < count; i++) {
          const u = p[i] as number
          into[i] = u < rising ? low + Math.sqrt(u * left) : high - Math.sqrt((1 - u) * right)
        }
      }
    }
    case 'pert': {
      const { low, likely, high } = distribution
      const table = pertTable((likely - low) / (high - low))
      return (p, count, into) => {
        spreadByTable(table, p, count, into, low, high - low)
      }
    }
    case 'lognormal': {
      const { median, p90, most = Number.POSITIVE_INFINITY } = distribution
      const spread = ln(p90 / median) / z90
      return (p, count, into) => {
        spreadByTable(normalTable, p, count, into, 0, 1)
        for (let i = 0; i < count; i++) into[i] = Math.min(most, median * exp(spread * (into[i] as number)))
      }
    }
    case 'chance': {
      const { probability, value } = distribution
      return (p, count, into) => {
        for (let i = 0; i < count; i++) into[i] = (p[i] as number) < probability ? value : 0
      }
    }
  }
}

/** The quantile function of a distribution for one probability at a time. */
export function quantileOf(distribution: Distribution): Quantile {
  const spread = spreadOf(distribution)
  const [from, into] = [new Float64Array(1), new Float64Array(1)]
  return (probability) => {
    from[0] = probability
    spread(from, 1, into)
    return into[0] as number
  }
}

/** The mean of a distribution, in closed form where it is not cut off. */
export function meanOf(distribution: Distribution): number {
  switch (distribution.kind) {
    case 'fixed':
      return distribution.value
    case 'uniform':
      return (distribution.low + distribution.high) / 2
    case 'triangular':
      return (distribution.low + distribution.likely + distribution.high) / 3
    case 'pert':
      return (distribution.low + 4 * distribution.likely + distribution.high) / 6
    case 'lognormal': {
      const spread = ln(distribution.p90 / distribution.median) / z90
      return distribution.median * exp((spread * spread) / 2)
    }
    case 'chance':
      return distribution.probability * distribution.value
  }
}

/** A distribution as a table: knots, the probability below each, and the slope of the curve through them. */
interface Table {
  readonly knots: Float64Array
  readonly below: Float64Array
  readonly tangents: Float64Array
  /** Where to begin looking: the knot below each of 4096 even steps of probability. */
  readonly starts: Int32Array
  /** Value and slope at every 1024th of probability, one after the other: the quick way, away from the ends. */
  readonly even: Float64Array
}

const steps = 4096
const evenSteps = 1024
/** Where the curve is too steep for even steps. */
const tailSteps = 8

/**
 * A quantile function from a table of a distribution: between two knots a cubic that rises with them
 * (Fritsch and Butland 1984).
 */
function tableOf(knots: Float64Array, below: Float64Array): Table {
  const last = knots.length - 1
  const slope = (i: number): number => {
    const rise = (below[i + 1] ?? 1) - (below[i] ?? 0)
    return rise > 0 ? ((knots[i + 1] ?? 0) - (knots[i] ?? 0)) / rise : 0
  }
  const secants = Float64Array.from({ length: last }, (_, i) => slope(i))
  const tangents = Float64Array.from({ length: last + 1 }, (_, i) => {
    if (i === 0 || i === last) return secants[Math.min(i, last - 1)] ?? 0
    const [s, t] = [secants[i - 1] ?? 0, secants[i] ?? 0]
    if (s <= 0 || t <= 0) return 0
    const h = (below[i] ?? 0) - (below[i - 1] ?? 0)
    const k = (below[i + 1] ?? 0) - (below[i] ?? 0)
    return (3 * (h + k)) / ((2 * k + h) / s + (k + 2 * h) / t)
  })
  const starts = new Int32Array(steps + 1)
  for (let i = 0, s = 0; s <= steps; s++) {
    while (i < last - 1 && (below[i + 1] ?? 1) <= s / steps) i += 1
    starts[s] = i
  }
  const table = { knots, below, tangents, starts, even: new Float64Array(2 * (evenSteps + 1)) }
  const value = Float64Array.from({ length: evenSteps + 1 }, (_, i) => quantileByTable(table, i / evenSteps))
  value.forEach((x, i) => {
    const [s, t] = [x - (value[i - 1] ?? x), (value[i + 1] ?? x) - x]
    table.even[2 * i] = x
    table.even[2 * i + 1] = s > 0 && t > 0 ? (2 * s * t) / (s + t) : 0
  })
  return table
}

/** The quantile of a table for one probability, by the knots: exact enough in the tails too. */
function quantileByTable({ knots, below, tangents, starts }: Table, u: number): number {
  const last = knots.length - 2
  let i = starts[Math.floor(u * steps)] as number
  while (i < last && (below[i + 1] as number) < u) i += 1
  const start = below[i] as number
  const rise = (below[i + 1] as number) - start
  const t = rise > 0 ? Math.min(1, Math.max(0, (u - start) / rise)) : 0
  const v = 1 - t
  return (
    (knots[i] as number) * (1 + 2 * t) * v * v +
    (knots[i + 1] as number) * t * t * (3 - 2 * t) +
    rise * t * v * ((tangents[i] as number) * v - (tangents[i + 1] as number) * t)
  )
}

/** `from + width ×` the quantile of the table, for a column of probabilities. */
function spreadByTable(
  table: Table,
  p: Float64Array,
  count: number,
  into: Float64Array,
  from: number,
  width: number,
): void {
  const { even } = table
  for (let n = 0; n < count; n++) {
    const u = p[n] as number
    const place = u * evenSteps
    const i = Math.floor(place)
    if (i >= tailSteps && i < evenSteps - tailSteps) {
      const t = place - i
      const v = 1 - t
      const k = 2 * i
      into[n] =
        from +
        width *
          ((even[k] as number) * (1 + 2 * t) * v * v +
            (even[k + 2] as number) * t * t * (3 - 2 * t) +
            t * v * ((even[k + 1] as number) * v - (even[k + 3] as number) * t))
    } else into[n] = from + width * quantileByTable(table, u)
  }
}

const shares = new Map<number, Table>()

/**
 * The PERT shape between 0 and 1: a beta distribution with parameters 1 + 4 × mode and 5 − 4 × mode
 * (Malcolm, Roseboom, Clark and Fazar 1959, in the form of Vose 2000 with weight 4).
 */
function pertTable(mode: number): Table {
  const known = shares.get(mode)
  if (known) return known
  const [a, b] = [1 + 4 * mode, 5 - 4 * mode]
  // Denser towards both ends, where the curve of the distribution is flat.
  const knots = Float64Array.from({ length: 1025 }, (_, i) => {
    const t = i / 1024
    return t * t * (3 - 2 * t)
  })
  const table = tableOf(
    knots,
    Float64Array.from(knots, (x) => betaCdf(x, a, b)),
  )
  shares.set(mode, table)
  return table
}

/** Normal values from here down and up are as good as never drawn: one in 10^16. */
const reach = 8.25
const cells = 4096
const normalKnots = Float64Array.from({ length: cells + 1 }, (_, i) => reach * ((2 * i) / cells - 1))
const normalTable = tableOf(
  normalKnots,
  Float64Array.from(normalKnots, (z) => normalCdf(z, 0, 1)),
)
const densities = Float64Array.from(normalKnots, (z) => exp((-z * z) / 2) * 0.3989422804014327)

/** The normal values, mean 0 and deviation 1, that are not exceeded with these probabilities: within 1e-8 of exact. */
export const normalsOf: Spread = (p, count, into) => {
  spreadByTable(normalTable, p, count, into, 0, 1)
}

/** The probabilities of not exceeding these normal values: within 1e-11 of exact. May write over its own values. */
export const normalsBelow: Spread = (values, count, into) => {
  const { below } = normalTable
  const step = (2 * reach) / cells
  for (let n = 0; n < count; n++) {
    const place = Math.min(cells - 1, Math.max(0, (((values[n] as number) / reach + 1) * cells) / 2))
    const i = Math.floor(place)
    const z = normalKnots[i] as number
    const d = (place - i) * step
    // The density and its first two derivatives at the knot.
    const series = (densities[i] as number) * d * (1 - (d * z) / 2 + (d * d * (z * z - 1)) / 6)
    into[n] = Math.min(below[i + 1] as number, (below[i] as number) + series)
  }
}
