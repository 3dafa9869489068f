import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'

/** A range from which a sample is drawn. */
export interface SampledRange {
  readonly id: string
  readonly low: number
  readonly high: number
}

/** A drawn value keeps this many digits: what a table shows is what was calculated. */
const digits = 12

/**
 * A Latin hypercube sample: each range is cut into `count` strata of equal width, and each stratum is drawn from once,
 * in an order of its own for each range.
 *
 * @param count points, a whole number, 1 or more
 * @param seed a whole number; the same one gives the same sample on every platform, and a range keeps its column
 *   when others are added after it
 * @returns a column of `count` values for each range
 *
 * Source: McKay, Beckman and Conover, Technometrics 21 (1979), 239-245 (from memory).
 */
export function latinHypercube(
  ranges: readonly SampledRange[],
  count: number,
  seed: number,
): ReadonlyMap<string, Float64Array> {
  const generator = xoroshiro128plus(seed)
  return new Map(
    ranges.map(({ id, low, high }) => {
      generator.jump()
      const own = generator.clone()
      const chance = (): number => ((own.next() >>> 0) + 0.5) / 4_294_967_296
      const strata = Float64Array.from({ length: count }, (_, k) => k)
      // Each order is equally likely: every place swaps with one at or before it.
      for (let k = count - 1; k > 0; k--) {
        const other = Math.floor(chance() * (k + 1))
        const [here = 0, there = 0] = [strata[k], strata[other]]
        strata[k] = there
        strata[other] = here
      }
      const value = (stratum: number): number => low + ((high - low) * (stratum + chance())) / count
      return [id, strata.map((stratum) => Number(value(stratum).toPrecision(digits)))]
    }),
  )
}
