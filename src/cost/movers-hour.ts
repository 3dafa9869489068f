import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * A wage of one year in the money of a later one.
 *
 * @param growth yearly rise, a share of one: 0.035
 * @param years whole years from the year of the figure to that of the move; 0 or less leaves it as it is
 *
 * Example: 18.03 of 2022 at 0.04 a year is 21.94 in 2027.
 */
export function escalated<N extends Num<N>>(m: Arithmetic<N>, wage: N, growth: N, years: number): N {
  const factor = m.of(1).plus(growth)
  return Array.from({ length: Math.max(0, years) }).reduce<N>((grown) => grown.times(factor), wage)
}

/** What a wage figure is: pay or cost, of movers or of everybody. */
export interface WageKind {
  readonly kind: 'wage' | 'labour cost'
  readonly who: 'movers' | 'whole economy'
}

/** How a wage becomes a mover's labour cost and then a billed hour. */
export interface HourShares<N> {
  /** Labour cost over wage: what the employer pays on top. */
  readonly employer: N
  /** Movers' pay over the average of the whole economy. */
  readonly movers: N
  /** Billed hour over labour cost: overhead and profit, without lorry and supervision. */
  readonly billing: N
}

/**
 * What an hour of a mover costs the firm. A wage has the employer's share still to come; a figure of the whole
 * economy is brought down to what removal work pays.
 */
export function moversLabourCost<N extends Num<N>>(figure: N, kind: WageKind, shares: HourShares<N>): N {
  const cost = kind.kind === 'wage' ? figure.times(shares.employer) : figure
  return kind.who === 'movers' ? cost : cost.times(shares.movers)
}

/** What the firm bills for an hour of one worker, lorry and supervision apart. */
export const moversHour = <N extends Num<N>>(labourCost: N, billing: N): N => labourCost.times(billing)
