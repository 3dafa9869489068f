import type { Num } from '../quantity/arithmetic.js'

/**
 * Sum insured at which a lower rate with a deductible and a higher one without come to the same: chance of a
 * claim times deductible, over the difference in rates.
 *
 * @param chance of a claim of at least the deductible, 0 to 1
 * @param rateWithout rate without a deductible, above `rateWith`
 *
 * Example: 0.2, 250, 0.04 and 0.035 → 10 000.
 */
export const indifferentSum = <N extends Num<N>>(chance: N, deductible: N, rateWithout: N, rateWith: N): N =>
  chance.times(deductible).div(rateWithout.minus(rateWith))
