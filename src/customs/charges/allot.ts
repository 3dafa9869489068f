import { Decimal } from 'decimal.js'
import { Exact } from '../../quantity/index.js'

/**
 * An amount of money allotted over shares so that the parts add up to it: each part is cut to the smallest coin, and
 * the coins left over go to the largest remainders, the first on a tie (largest remainder method).
 *
 * @param total an amount in whole coins, 0 or more
 * @param shares in any unit, 0 or more; all 0 gives each part 0 but the first
 * @returns as many parts as shares, each in whole coins; their sum is the total
 *
 * Example: 10.00 over 1, 1 and 1: 3.34, 3.33, 3.33.
 */
export function allotted(total: Decimal, shares: readonly Decimal[], decimals: number): Decimal[] {
  const whole = shares.reduce((sum, each) => sum.plus(each), new Exact(0))
  if (shares.length === 0) return []
  if (whole.isZero()) return shares.map((_, i) => (i === 0 ? total : new Exact(0)))
  const exact = shares.map((each) => total.times(each).div(whole))
  const cut = exact.map((each) => each.toDecimalPlaces(decimals, Decimal.ROUND_DOWN))
  const coin = new Exact(10).pow(-decimals)
  const left = total.minus(cut.reduce((sum, each) => sum.plus(each), new Exact(0)))
  const order = exact
    .map((each, i) => ({ i, rest: each.minus(cut[i] ?? 0) }))
    .toSorted((a, b) => b.rest.comparedTo(a.rest) || a.i - b.i)
  const more = new Set(order.slice(0, left.div(coin).round().toNumber()).map(({ i }) => i))
  return cut.map((each, i) => (more.has(i) ? each.plus(coin) : each))
}
