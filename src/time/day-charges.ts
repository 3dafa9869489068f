import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** A step of a daily tariff: from this charged day (1 is the first after free time), this much a day. */
export interface DayTier<N> {
  readonly fromDay: number
  readonly untilDay: number | undefined
  readonly price: N
}

/** Days that are charged: those beyond the free ones. */
export const chargedDays = <N extends Num<N>>(m: Arithmetic<N>, days: N, freeDays: N): N =>
  m.max(m.of(0), days.minus(freeDays))

/**
 * Demurrage (in the terminal) or detention (outside it) of one container: each charged day at the price of its
 * own step, not the whole time at the last step's.
 *
 * @param charged days beyond free time, 0 or more
 * @param tiers gapless steps, in rising order, the last one open
 * @returns money for one container; never falls as days grow
 *
 * Example: 45 a day for days 1 to 7, 80 after; 11 days → 7 × 45 + 4 × 80 = 635.
 */
export function dayCharges<N extends Num<N>>(m: Arithmetic<N>, charged: N, tiers: readonly DayTier<N>[]): N {
  return m.sum(
    tiers.map(({ fromDay, untilDay, price }) => {
      const reached = m.max(m.of(0), charged.minus(m.of(fromDay - 1)))
      const inTier = untilDay === undefined ? reached : m.min(reached, m.of(untilDay - fromDay + 1))
      return inTier.times(price)
    }),
  )
}
