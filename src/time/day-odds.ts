import betaCdf from '@stdlib/stats-base-dists-beta-cdf'
import normalCdf from '@stdlib/stats-base-dists-normal-cdf'
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile'

/**
 * How likely each whole day is: `chances[i]` is the probability of day `from + i`. The days may be a duration or
 * dates; probabilities add up to one.
 */
export interface DayOdds {
  readonly from: number
  readonly chances: readonly number[]
}

/** A day known for certain. */
export const exactly = (day: number): DayOdds => ({ from: day, chances: [1] })

/**
 * Days that somebody gave as low, likely and high, by a PERT curve (ends rarer than straight slopes have them); a
 * started day counts whole.
 *
 * @param low likely high in rising order, 0 or more
 */
export function pertDays(low: number, likely: number, high: number): DayOdds {
  if (!(low <= likely && likely <= high)) {
    throw new RangeError(`days ${low} / ${likely} / ${high}: give low, likely and high in rising order`)
  }
  if (low === high) return exactly(Math.ceil(likely))
  const width = high - low
  const [a, b] = [1 + (4 * (likely - low)) / width, 1 + (4 * (high - likely)) / width]
  return byWholeDay(Math.ceil(low), Math.ceil(high), (day) => betaCdf(Math.min(1, (day - low) / width), a, b))
}

/** Where the tail of a waiting time is cut: what lies beyond is one in ten thousand. */
const TAIL = 0.9999

/**
 * A wait whose median is known and which one time in ten is `tail` times as long or longer: lognormal, as waiting
 * times at ports are; a started day counts whole.
 *
 * @param median days, 0 or more; 0 is no wait
 * @param tail over 1; 1 is a wait known for certain
 */
export function waitingDays(median: number, tail: number): DayOdds {
  if (median === 0 || tail <= 1) return exactly(Math.ceil(median))
  const spread = Math.log(tail) / normalQuantile(0.9, 0, 1)
  const most = Math.ceil(median * Math.exp(spread * normalQuantile(TAIL, 0, 1)))
  return byWholeDay(0, most, (day) => (day <= 0 ? 0 : normalCdf(Math.log(day / median) / spread, 0, 1)))
}

/** Chances of whole days from the probability of being done by each; the last day takes what is left. */
function byWholeDay(first: number, last: number, doneBy: (day: number) => number): DayOdds {
  const chances: number[] = []
  let before = 0
  for (let day = first; day <= last; day++) {
    const done = day === last ? 1 : doneBy(day)
    chances.push(done - before)
    before = done
  }
  return { from: first, chances }
}

/** One stretch after another that does not depend on it. Example: 1 or 2 days, then 1 or 2: 2, 3 (half), 4. */
export function andThen(first: DayOdds, second: DayOdds): DayOdds {
  const chances = new Array<number>(first.chances.length + second.chances.length - 1).fill(0)
  first.chances.forEach((p, i) => {
    second.chances.forEach((q, k) => {
      chances[i + k] = (chances[i + k] ?? 0) + p * q
    })
  })
  return { from: first.from + second.from, chances }
}

/** The later of a day and a fixed one: nothing happens before that. */
export function notBefore(odds: DayOdds, day: number): DayOdds {
  if (day <= odds.from) return odds
  const sooner = odds.chances.slice(0, day - odds.from + 1)
  const rest = odds.chances.slice(day - odds.from + 1)
  return { from: day, chances: [sooner.reduce((sum, p) => sum + p, 0), ...rest] }
}

/** The later of two days that do not depend on each other. */
export function theLater(a: DayOdds, b: DayOdds): DayOdds {
  const from = Math.max(a.from, b.from)
  const last = Math.max(a.from + a.chances.length, b.from + b.chances.length) - 1
  return byWholeDay(from, last, (day) => chanceBy(a, day) * chanceBy(b, day))
}

/** The probability that it is the day given or an earlier one. */
export function chanceBy({ from, chances }: DayOdds, day: number): number {
  let sum = 0
  for (let i = 0; i <= Math.min(day - from, chances.length - 1); i++) sum += chances[i] ?? 0
  return Math.min(1, sum)
}

/** Sums of many chances may miss a round figure by their last digits. */
const ROUNDING = 1e-9

/** The first day by which it has happened with at least this probability. */
export function dayWithChance({ from, chances }: DayOdds, share: number): number {
  let sum = 0
  for (const [i, p] of chances.entries()) {
    sum += p
    if (sum >= share - ROUNDING) return from + i
  }
  return from + chances.length - 1
}
