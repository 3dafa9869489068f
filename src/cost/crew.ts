import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** A crew that could be sent: how many, and how long they need. */
export interface CrewOffer<N> {
  readonly size: number
  readonly hours: N
}

/**
 * The smallest crew that is done within its day; the largest where none is.
 *
 * @param offers crews in rising size, at least one
 * @param dayHours hours a crew works in a day
 * @returns people, and the hours they need
 *
 * Example: 14 h with two, 9 h with three, 7.5 h with four and a day of 8 h → four people, 7.5 h.
 */
export function crewForTheDay<N extends Num<N>>(
  m: Arithmetic<N>,
  offers: readonly CrewOffer<N>[],
  dayHours: N,
): { readonly people: N; readonly hours: N } {
  const [largest, ...smaller] = [...offers].reverse()
  if (!largest) throw new Error('no crew was offered')
  return smaller.reduce(
    (chosen, { size, hours }) => ({
      people: m.choose(dayHours, hours, m.of(size), chosen.people),
      hours: m.choose(dayHours, hours, hours, chosen.hours),
    }),
    { people: m.of(largest.size), hours: largest.hours },
  )
}

/**
 * Packers that get a job done in a day, between the fewest and the most a firm sends.
 * Example: 47 person-hours and days of 8 h → 6 packers.
 */
export const packersForTheDay = <N extends Num<N>>(
  m: Arithmetic<N>,
  personHours: N,
  dayHours: N,
  fewest: N,
  most: N,
): N => m.min(most, m.max(fewest, m.ceil(personHours.div(dayHours))))

/** What a crew costs besides its hours: the same in every country. */
export interface CrewDay<N> {
  /** Lorry, tools and blankets with the foreman's extra, a day. */
  readonly perDay: N
  /** Materials brought and fetched, a job. */
  readonly perJob: N
}

/** Lorry, supervision and handling of a job; nothing to do costs nothing. Hours are the crew's, not each person's. */
export const crewOverhead = <N extends Num<N>>(
  m: Arithmetic<N>,
  crewHours: N,
  dayHours: N,
  { perDay, perJob }: CrewDay<N>,
): N => m.choose(m.of(0), crewHours, m.of(0), m.ceil(crewHours.div(dayHours)).times(perDay).plus(perJob))
