import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** Hands that work for the household, and how fast they are beside one trained worker. */
export interface Hands<N> {
  readonly people: N
  readonly pace: N
}

/**
 * Hours from start to end when several kinds of hands share a job.
 *
 * @param soloHours hours that one trained worker would need alone
 *
 * Example: 36 h alone; two of the family at 0.6 and two friends at 0.5 → 36 ÷ 2.2 = 16.4 h.
 */
export const sharedHours = <N extends Num<N>>(
  m: Arithmetic<N>,
  soloHours: N,
  hands: readonly Hands<N>[],
): N => soloHours.div(m.sum(hands.map(({ people, pace }) => people.times(pace))))

/**
 * What hired hands cost: they come by the day, and a day begun is paid.
 * Example: three for 10 h at 20 an hour and days of 8 h → 3 × 2 × 8 × 20 = 960.
 */
export const hiredByTheDay = <N extends Num<N>>(
  m: Arithmetic<N>,
  people: N,
  hours: N,
  dayHours: N,
  hourly: N,
): N => m.ceil(hours.div(dayHours)).times(dayHours).times(people).times(hourly)
