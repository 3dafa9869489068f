import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** One interest in a voyage: what arrived of it, and what of it was sacrificed for all. */
export interface Interest<N> {
  readonly saved: N
  readonly sacrificed: N
}

/**
 * What each interest owes (positive) or gets (negative) when a sacrifice or expense saved ship and cargo:
 * its share of the whole by contributory value, less its own sacrifice, which is made good.
 *
 * Source: York-Antwerp Rules 2016, rule XVII and the principle that amounts made good contribute too.
 * Example: 60 000 saved and 40 000 jettisoned of 50 million in all, 1 million to share → 2 000 owed, 40 000 made good.
 */
export function generalAverageBalance<N extends Num<N>>(
  m: Arithmetic<N>,
  interests: readonly Interest<N>[],
  expenses: N,
): N[] {
  const toShare = expenses.plus(m.sum(interests.map((i) => i.sacrificed)))
  const base = m.sum(interests.map((i) => i.saved.plus(i.sacrificed)))
  return interests.map((i) => toShare.times(i.saved.plus(i.sacrificed)).div(base).minus(i.sacrificed))
}

/**
 * What the insurer repays of a general average contribution: all of it, or its share where less than the
 * contributory value is insured. Source: Marine Insurance Act 1906 s. 73. Example: 1 000 × 40 000 ÷ 50 000 → 800.
 */
export const contributionPaid = <N extends Num<N>>(
  m: Arithmetic<N>,
  contribution: N,
  insured: N,
  contributoryValue: N,
): N => contribution.times(m.min(m.of(1), insured.div(contributoryValue)))

/** Security asked before goods are released after a casualty. Example: 0.54 of 10 000 → 5 400. */
export const averageSecurity = <N extends Num<N>>(value: N, share: N): N => value.times(share)
