import type { Arithmetic, Num } from '../../quantity/index.js'
import { type Apportioned, share } from './apportion.js'
import type { ChargeRules } from './charge-rules.js'

/** What customs takes for its work, or in place of duty. */
export interface FeeRule<N> {
  readonly id: string
  readonly label: string
  readonly rate?: N
  readonly fixed?: N
  readonly on: 'charged' | 'freed' | 'all'
  /** Only where the base is more than this, or no more than that. */
  readonly above?: N
  readonly upTo?: N
  readonly floor?: N
  readonly cap?: N
}

/** A fee on a consignment, in the currency of the charges, rounded. */
export function feeOf<N extends Num<N>>(
  m: Arithmetic<N>,
  fee: FeeRule<N>,
  parts: readonly Apportioned<N>[],
  rules: ChargeRules<N>,
): N {
  const zero = m.of(0)
  const base = m.sum(
    parts.flatMap((part) => {
      if (fee.on === 'charged') return share(part.customsValue, part.shares.duty) ?? []
      if (part.line.free.fee) return []
      if (fee.on === 'all') return part.customsValue
      // A tax in place of duty on what is relieved; above a ceiling the usual charges are made.
      if (!part.line.free.duty || part.line.open?.duty) return []
      return part.customsValue.minus(share(part.customsValue, part.shares.duty) ?? zero)
    }),
  )
  let amount = fee.fixed ?? base.times(fee.rate ?? zero)
  if (fee.floor) amount = m.max(amount, fee.floor)
  if (fee.cap) amount = m.min(amount, fee.cap)
  let due = m.round(amount, rules.decimals, rules.rounding)
  // "More than 2,500": at the limit itself the limit is no less than the base, and nothing is due.
  if (fee.above) due = m.choose(fee.above, base, zero, due)
  if (fee.upTo) due = m.choose(fee.upTo, base, due, zero)
  // No base, no fee: a floor must not charge a consignment that is wholly free.
  return m.choose(base, m.of('0.005'), due, zero)
}
