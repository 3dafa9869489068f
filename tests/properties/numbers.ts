import type { Decimal } from 'decimal.js'
import fc from 'fast-check'
import { exact } from '../../src/quantity/index.js'

// The same random numbers on every run, so that a failure can be had again.
fc.configureGlobal({ seed: 20261125, numRuns: 200 })

/** Random decimals from low to high with so many digits after the point. */
export const decimal = (low: number, high: number, digits = 2): fc.Arbitrary<Decimal> =>
  fc
    .integer({ min: Math.round(low * 10 ** digits), max: Math.round(high * 10 ** digits) })
    .map((n) => exact.of(n).div(10 ** digits))

export const money = decimal(0, 200_000)
export const share = decimal(0, 1, 3)

/** What a division that does not come out even may leave at the 34th digit of numbers of this size. */
export const TINY = exact.of('1e-20')
