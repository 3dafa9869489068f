import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** What having one cover costs in all. */
export interface CoverCost<N> {
  readonly premium: N
  readonly deductible: N
  /** Extra cost of services the cover makes the household buy, above doing them as planned. */
  readonly forcedServices: N
}

/**
 * The damage at which a dearer cover has paid for itself: one loss that only it answers for. Below it the
 * household would have been better off without.
 *
 * @returns money, 0 or more: the difference in premium and forced services, plus the deductible
 *
 * Example: 2 700 against 750, no deductible, nothing forced → 1 950.
 */
export const breakEvenDamage = <N extends Num<N>>(
  m: Arithmetic<N>,
  dearer: CoverCost<N>,
  cheaper: CoverCost<N>,
): N =>
  m.max(
    m.of(0),
    dearer.premium
      .minus(cheaper.premium)
      .plus(dearer.forcedServices)
      .minus(cheaper.forcedServices)
      .plus(dearer.deductible),
  )

/**
 * The chance of a claim at which giving up a deductible is worth its premium: saved premium over the deductible.
 * Example: 1 600 against 1 400 for a deductible of 250 → 0.80.
 */
export const breakEvenChance = <N extends Num<N>>(premiumWithout: N, premiumWith: N, deductible: N): N =>
  premiumWithout.minus(premiumWith).div(deductible)
