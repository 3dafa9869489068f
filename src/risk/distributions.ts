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
 * - `chance`: a value with some probability, else nought.
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

/** z of a probability of 0.9. */
const z90 = normalQuantile(0.9, 0, 1)

/**
 * The quantile function of a distribution. Logarithm, exponential, normal and beta come from a library that works
 * them out in plain double arithmetic, because an engine's own Math.log and Math.exp may differ in the last digit:
 * the same draws give the same figures on every platform.
 */
export function quantileOf(distribution: Distribution): Quantile {
  switch (distribution.kind) {
    case 'fixed': {
      const { value } = distribution
      return () => value
    }
    case 'uniform': {
      const { low, high } = distribution
      return (p) => low + (high - low) * p
    }
    case 'triangular': {
      const { low, likely, high } = distribution
      const width = high - low
      const rising = (likely - low) / width
      return (p) =>
        p < rising
          ? low + Math.sqrt(p * width * (likely - low))
          : high - Math.sqrt((1 - p) * width * (high - likely))
    }
    case 'pert': {
      const { low, likely, high } = distribution
      const share = pertShare((likely - low) / (high - low))
      return (p) => low + (high - low) * share(p)
    }
    case 'lognormal': {
      const { median, p90, most = Number.POSITIVE_INFINITY } = distribution
      const spread = ln(p90 / median) / z90
      return (p) => Math.min(most, median * exp(spread * normalOf(p)))
    }
    case 'chance': {
      const { probability, value } = distribution
      return (p) => (p < probability ? value : 0)
    }
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

const shares = new Map<number, Quantile>()

/**
 * Quantiles of the PERT shape between 0 and 1: a beta distribution with parameters 1 + 4 × mode and 5 − 4 × mode
 * (Malcolm, Roseboom, Clark and Fazar 1959, in the form of Vose 2000 with weight 4).
 */
function pertShare(mode: number): Quantile {
  const known = shares.get(mode)
  if (known) return known
  const [a, b] = [1 + 4 * mode, 5 - 4 * mode]
  // Denser towards both ends, where the curve of the distribution is flat.
  const knots = Float64Array.from({ length: 1025 }, (_, i) => {
    const t = i / 1024
    return t * t * (3 - 2 * t)
  })
  const share = tabulated(
    knots,
    Float64Array.from(knots, (x) => betaCdf(x, a, b)),
  )
  shares.set(mode, share)
  return share
}

const reach = 8.25

/** Quantile of the normal distribution with mean 0 and deviation 1, from a table: within 1e-7 of the exact one. */
const normal = ((): { readonly of: Quantile; readonly cdf: (z: number) => number } => {
  const count = 4096
  const knots = Float64Array.from({ length: count + 1 }, (_, i) => reach * ((2 * i) / count - 1))
  const below = Float64Array.from(knots, (z) => normalCdf(z, 0, 1))
  const quantile = tabulated(knots, below)
  const cdf = (z: number): number => {
    const place = Math.min(count - 1e-9, Math.max(0, ((z / reach + 1) * count) / 2))
    const i = Math.floor(place)
    const [z0, p0, p1] = [knots[i] ?? 0, below[i] ?? 0, below[i + 1] ?? 1]
    const step = (2 * reach) / count
    const t = place - i
    // Slope and curvature of the bell at the knot: the third-order series errs by less than 1e-10 over a step.
    const density = exp((-z0 * z0) / 2) * 0.3989422804014327
    const d = t * step
    const series = p0 + density * d * (1 - (d * z0) / 2 + (d * d * (z0 * z0 - 1)) / 6)
    return Math.min(p1, Math.max(p0, series))
  }
  return { of: quantile, cdf }
})()

/** The normal value that is not exceeded with a probability. */
export const normalOf: Quantile = normal.of
/** The probability of not exceeding a normal value. */
export const normalBelow = normal.cdf

/**
 * A quantile function from a table of a distribution: between two knots a cubic that rises with them
 * (Fritsch and Butland 1984).
 */
function tabulated(knots: Float64Array, below: Float64Array): Quantile {
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
  // Where to begin looking: the knot below each of 4096 even steps of probability.
  const starts = new Int32Array(4097)
  for (let i = 0, s = 0; s <= 4096; s++) {
    while (i < last - 1 && (below[i + 1] ?? 1) <= s / 4096) i += 1
    starts[s] = i
  }
  return (p) => {
    let i = starts[Math.floor(p * 4096)] ?? 0
    while (i < last - 1 && (below[i + 1] as number) < p) i += 1
    const from = below[i] as number
    const width = (below[i + 1] as number) - from
    if (!(width > 0)) return knots[i] as number
    const t = Math.min(1, Math.max(0, (p - from) / width))
    const [y0, y1] = [knots[i] as number, knots[i + 1] as number]
    const [m0, m1] = [(tangents[i] as number) * width, (tangents[i + 1] as number) * width]
    const u = 1 - t
    return y0 * (1 + 2 * t) * u * u + m0 * t * u * u + y1 * t * t * (3 - 2 * t) - m1 * t * t * u
  }
}
