import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * Premium of a transit cover: the rate on the sum insured, at least the insurer's least premium.
 *
 * @param sumInsured money, 0 or more; nothing insured costs nothing
 * @param rate share of the sum insured, 0.045 for 4.5 %
 * @returns money. Example: 40 000 at 0.04 with a least of 100 → 1 600
 */
export const premium = <N extends Num<N>>(m: Arithmetic<N>, sumInsured: N, rate: N, minimum: N): N =>
  m.choose(m.of(0), sumInsured, m.of(0), m.max(sumInsured.times(rate), minimum))

/**
 * Sum insured that pays cost, insurance and freight with an uplift, the premium itself included:
 * uplift × (cost + freight) ÷ (1 − uplift × rate).
 *
 * Source: the commercial CIF + 10 % practice of ICC UCP 600 art. 28(f)(ii). Example: cost 40 000, freight 6 000,
 * uplift 1.1, rate 0.03 → 52 326.78.
 */
export const sumInsuredCif = <N extends Num<N>>(
  m: Arithmetic<N>,
  cost: N,
  freight: N,
  uplift: N,
  rate: N,
): N => uplift.times(cost.plus(freight)).div(m.of(1).minus(uplift.times(rate)))
