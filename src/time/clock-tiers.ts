import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { chargedDays, type DayTier, dayCharges } from './day-charges.js'

/**
 * Demurrage or detention by a tariff whose steps count from the start of the clock, free days among them, so that
 * the first charged day already stands in a later step.
 *
 * @param days on the clock in all
 * @param freeDays of them free
 * @returns money for one container, 0 or more; at least what steps from the first charged day would come to where
 *   the steps rise
 *
 * Example: 7 free, 25 a day for days 1 to 14, 45 after; 18 days → 7 × 25 + 4 × 45 = 355.
 */
export function dayChargesFromClock<N extends Num<N>>(
  m: Arithmetic<N>,
  days: N,
  freeDays: N,
  tiers: readonly DayTier<N>[],
): N {
  const onClock = freeDays.plus(chargedDays(m, days, freeDays))
  return dayCharges(m, onClock, tiers).minus(dayCharges(m, freeDays, tiers))
}
