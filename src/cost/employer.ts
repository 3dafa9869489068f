import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** Money an employer gives towards a move, besides services it pays for itself. */
export interface EmployerMoney<N> {
  readonly lumpSum: N
  /** Share of what the household pays that comes back, 0 to 1. */
  readonly share: N
  /** The most that share may come to; undefined: no cap. */
  readonly cap?: N
}

/**
 * What an employer gives for a move that costs the household so much: the lump sum whole, whatever the bill, and the
 * share of the bill up to its cap. Whether it is taxed is for an adviser.
 *
 * Example: 9 000 paid, a lump sum of 2 000, half of the bill up to 3 000 → 2 000 + 3 000 = 5 000.
 */
export function employerGives<N extends Num<N>>(m: Arithmetic<N>, bill: N, money: EmployerMoney<N>): N {
  const part = bill.times(money.share)
  return money.lumpSum.plus(money.cap === undefined ? part : m.min(part, money.cap))
}
