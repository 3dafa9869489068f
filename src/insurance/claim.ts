import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** What is lost and how much of the whole was insured. */
export interface Loss<N> {
  readonly loss: N
  readonly sumInsured: N
  readonly valueAtRisk: N
}

/**
 * Share of a loss an insurer answers for when less than the whole value is insured (average): sum insured over
 * value at risk, never more than one.
 *
 * Source: Marine Insurance Act 1906 s. 81. Example: 30 000 insured of 50 000 → 0.6.
 */
export const insuredShare = <N extends Num<N>>(m: Arithmetic<N>, sumInsured: N, valueAtRisk: N): N =>
  m.min(m.of(1), sumInsured.div(valueAtRisk))

/** Whether the deductible comes off after average has cut the loss, as is usual, or before. */
export type DeductibleOrder = 'after average' | 'before average'

/**
 * What a cover pays for a partial loss it answers for: cut by average, less the deductible, within the sum insured.
 *
 * Source: Marine Insurance Act 1906 ss 67, 81; the order of the two is the policy's.
 * Example: loss 10 000, 30 000 insured of 50 000, deductible 500 → 5 500 after average, 5 700 before.
 */
export function claimPaid<N extends Num<N>>(
  m: Arithmetic<N>,
  { loss, sumInsured, valueAtRisk }: Loss<N>,
  deductible: N,
  order: DeductibleOrder,
): N {
  const share = insuredShare(m, sumInsured, valueAtRisk)
  const zero = m.of(0)
  const paid =
    order === 'after average'
      ? m.max(zero, loss.times(share).minus(deductible))
      : m.max(zero, loss.minus(deductible)).times(share)
  return m.min(paid, sumInsured)
}

/** A franchise pays nothing up to its amount and the whole of a greater loss. Example: 500: 500 → 0, 600 → 600. */
export const franchisePaid = <N extends Num<N>>(m: Arithmetic<N>, loss: N, franchise: N): N =>
  m.choose(franchise, loss, m.of(0), loss)

/**
 * Goods that arrive damaged under a valued cover: the agreed value times the share of worth lost, sound and
 * damaged both at the destination's prices, so that a fallen market changes nothing.
 *
 * Source: Marine Insurance Act 1906 s. 71(3). Example: agreed 40 000, sound 50 000, damaged 35 000 → 12 000.
 */
export const damagedGoodsPaid = <N extends Num<N>>(agreedValue: N, sound: N, damaged: N): N =>
  agreedValue.times(sound.minus(damaged)).div(sound)

/**
 * A part wholly lost under one agreed value: that value by the part's share of the insurable value.
 *
 * Source: Marine Insurance Act 1906 s. 71(1). Example: 48 000 × 9 000 ÷ 60 000 → 7 200.
 */
export const partLostPaid = <N extends Num<N>>(agreedValue: N, partValue: N, wholeValue: N): N =>
  agreedValue.times(partValue).div(wholeValue)

/** What is claimed for goods that could still be repaired and sent on. */
export interface Repairable<N> {
  readonly repair: N
  readonly forwarding: N
  readonly valueOnArrival: N
  readonly agreedValue: N
}

/**
 * Constructive total loss: where repair and forwarding cost more than the goods are worth on arrival the whole
 * agreed value is due, else the repair.
 *
 * Source: Marine Insurance Act 1906 s. 60(2)(iii). Example: 5 500 + 3 100 over 8 000, agreed 10 000 → 10 000.
 */
export function constructiveTotalLossPaid<N extends Num<N>>(m: Arithmetic<N>, c: Repairable<N>): N {
  const cost = c.repair.plus(c.forwarding)
  return m.choose(c.valueOnArrival, cost, m.min(cost, c.agreedValue), c.agreedValue)
}

/**
 * Worth of a thing by age, where a policy does not pay new for old: replacement × (1 − age ÷ life), not under zero.
 * Example: 1 200 new, 4 of 10 years old → 720.
 */
export const actualCashValue = <N extends Num<N>>(
  m: Arithmetic<N>,
  replacement: N,
  ageYears: N,
  lifeYears: N,
): N => replacement.times(m.max(m.of(0), m.of(1).minus(ageYears.div(lifeYears))))
