import { mixed } from './mixed.js'
import { permutation } from './permutation.js'
import { SOBOL_DIMENSIONS, sobolDimension } from './sobol.js'

/** A range from which a sample is drawn. */
export interface SampledRange {
  readonly id: string
  readonly low: number
  readonly high: number
}

/** Points of a sample by their index: nothing is kept, so a sample of any size takes no memory. */
export type Sample = ReadonlyMap<string, (point: number) => number>

/** How the points of a sample lie. */
export type SampleKind = 'lhs' | 'sobol'

/** A drawn value keeps this many digits: what a table shows is what was calculated. */
const digits = 12
const WORD = 2 ** 32

const within = ({ low, high }: SampledRange, share: number): number =>
  Number((low + (high - low) * share).toPrecision(digits))

/**
 * A Latin hypercube sample: each range is cut into `count` strata of equal width, and each stratum is drawn from once,
 * in an order of its own for each range.
 *
 * @param count points, a whole number, 1 or more
 * @param seed a whole number; the same one gives the same sample on every platform, and a range keeps its column
 *   when others are added after it
 * @returns the value of each range at point 0 to `count` − 1
 *
 * Source: McKay, Beckman and Conover, Technometrics 21 (1979), 239-245 (from memory).
 */
export function latinHypercube(ranges: readonly SampledRange[], count: number, seed: number): Sample {
  return new Map(
    ranges.map((range, k) => {
      const order = permutation(count, mixed(seed, 2 * k))
      const inside = mixed(seed, 2 * k + 1)
      const value = (point: number): number => {
        const stratum = order(point)
        return within(range, (stratum + (mixed(inside, stratum) + 0.5) / WORD) / count)
      }
      return [range.id, value]
    }),
  )
}

/**
 * A Sobol sample with a digital shift: all points of a range move by the same pattern of bits, which keeps how evenly
 * they lie and makes samples of different seeds independent. Lies most evenly where the count is a power of two.
 *
 * @param ranges as many as SOBOL_DIMENSIONS at most
 * @param seed as for a Latin hypercube
 * @returns the value of each range at any point, 0 or more
 */
export function sobolSample(ranges: readonly SampledRange[], seed: number): Sample {
  if (ranges.length > SOBOL_DIMENSIONS)
    throw new Error(`a Sobol sample of ${ranges.length} ranges; the table has ${SOBOL_DIMENSIONS} dimensions`)
  return new Map(
    ranges.map((range, k) => {
      const at = sobolDimension(k)
      const shift = mixed(seed, k)
      return [range.id, (point: number) => within(range, (((at(point) ^ shift) >>> 0) + 0.5) / WORD)]
    }),
  )
}
