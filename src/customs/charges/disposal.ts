import type { Arithmetic, Num, RoundingRule } from '../../quantity/index.js'
import type { IsoDate } from '../../tables/fields.js'

/**
 * The charge that comes due when relieved goods are sold, lent, hired out or pledged too early: at the rates and
 * the value of that day.
 *
 * @param value what customs accepts as the value on the day of disposal
 * @param disposal the day of disposal, and the last day of the period: `periodEnd(importOn, no_disposal, 'month')`
 * @returns zero once the period is over
 *
 * Source: Regulation (EC) 1186/2009 art. 8. Example: 900 at 12 % duty and 21 % VAT: 108.00 + 211.68 = 319.68.
 */
export function disposalCharge<N extends Num<N>>(
  m: Arithmetic<N>,
  value: N,
  rates: { readonly duty: N; readonly tax: N },
  disposal: { readonly on: IsoDate; readonly lockedUntil: IsoDate },
  decimals = 2,
  rounding: RoundingRule = 'half-up',
): { readonly duty: N; readonly tax: N; readonly total: N } {
  if (disposal.on > disposal.lockedUntil) return { duty: m.of(0), tax: m.of(0), total: m.of(0) }
  const duty = m.round(value.times(rates.duty), decimals, rounding)
  const tax = m.round(value.plus(duty).times(rates.tax), decimals, rounding)
  return { duty, tax, total: duty.plus(tax) }
}
