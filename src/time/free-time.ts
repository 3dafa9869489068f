import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { nthWorkingDay, workingDaysUntil } from './day-number.js'

/** Which days a tariff counts: every day, or Monday to Friday without the holidays of the port. */
export const DAY_COUNTS = ['calendar', 'working'] as const
export type DayCount = (typeof DAY_COUNTS)[number]

/** The first day on the clock: the one after the event (discharge, gate-out), or that of the event itself. */
export const CLOCK_STARTS = ['next day', 'same day'] as const
export type ClockStart = (typeof CLOCK_STARTS)[number]

/** What a tariff says about free time. The carriers differ in each of these, and each changes the bill. */
export interface FreeTime<N> {
  readonly freeDays: N
  readonly freeCount: DayCount
  readonly chargedCount: DayCount
  readonly start: ClockStart
  /** Holidays of the port as day numbers; those on a weekend change nothing. */
  readonly holidays: readonly number[]
}

const isWeekday = (day: number): boolean => day % 7 > 1

const weekdays = (holidays: readonly number[]): readonly number[] =>
  [...new Set(holidays)].filter(isWeekday).sort((a, b) => a - b)

/** Working days of the port up to and with a day, from a fixed day far back. */
function portDaysUntil<N extends Num<N>>(m: Arithmetic<N>, day: N, holidays: readonly number[]): N {
  const off = weekdays(holidays).map((holiday) => m.choose(day, m.of(holiday), m.of(1), m.of(0)))
  const all = workingDaysUntil(m, day)
  return off.length === 0 ? all : all.minus(m.sum(off))
}

/** The working day of the port that is the n-th by `portDaysUntil`: each holiday on the way moves it on by one. */
function nthPortDay<N extends Num<N>>(m: Arithmetic<N>, n: N, holidays: readonly number[]): N {
  return nthWorkingDay(
    m,
    weekdays(holidays).reduce(
      (reached, holiday) =>
        reached.plus(m.choose(nthWorkingDay(m, reached), m.of(holiday), m.of(1), m.of(0))),
      n,
    ),
  )
}

/**
 * The last day on which a container costs nothing: where an import container is to be out of the terminal, or the
 * empty one back. Days off after it that a tariff lets pass are not looked for.
 *
 * @param event the day number of the discharge for demurrage, of the gate-out for detention; whole
 * @param terms `freeDays` whole, 0 or more
 * @returns a day number; with no free days, the day before the clock starts
 *
 * Example: discharge Friday 2 May 2025, clock from the next day, 5 working days → Friday 9 May.
 */
export function lastFreeDay<N extends Num<N>>(m: Arithmetic<N>, event: N, terms: FreeTime<N>): N {
  const before = terms.start === 'same day' ? event.minus(m.of(1)) : event
  if (terms.freeCount === 'calendar') return before.plus(terms.freeDays)
  const counted = portDaysUntil(m, before, terms.holidays).plus(terms.freeDays)
  // Without free days the count would fall back to the working day before a weekend.
  return m.max(before, nthPortDay(m, counted, terms.holidays))
}

/**
 * Days charged up to and with the day on which the container leaves or comes back.
 *
 * @param lastFree as `lastFreeDay` gives it
 * @param done the day number of the gate-out, or of the empty container's return; whole
 * @returns whole, 0 or more; never falls as `done` grows
 *
 * Example: last free day Friday 9 May 2025, gate-out Thursday 15 May → 6 calendar or 4 working days.
 */
export function chargedDaysUntil<N extends Num<N>>(
  m: Arithmetic<N>,
  lastFree: N,
  done: N,
  terms: Pick<FreeTime<N>, 'chargedCount' | 'holidays'>,
): N {
  const days =
    terms.chargedCount === 'calendar'
      ? done.minus(lastFree)
      : portDaysUntil(m, done, terms.holidays).minus(portDaysUntil(m, lastFree, terms.holidays))
  return m.max(m.of(0), days)
}
