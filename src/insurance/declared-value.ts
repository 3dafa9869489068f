import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * Value on which goods contribute to general average when they were declared wrongly: the higher of the true and
 * the declared one. Source: York-Antwerp Rules 2016, rule XIX. Example: true 80 000, declared 50 000 → 80 000.
 */
export const contributoryValue = <N extends Num<N>>(m: Arithmetic<N>, trueValue: N, declared: N): N =>
  m.max(trueValue, declared)

/**
 * Value at which such goods are made good when sacrificed: the lower of the two.
 * Source: York-Antwerp Rules 2016, rule XIX. Example: true 80 000, declared 50 000 → 50 000.
 */
export const madeGoodValue = <N extends Num<N>>(m: Arithmetic<N>, trueValue: N, declared: N): N =>
  m.min(trueValue, declared)
