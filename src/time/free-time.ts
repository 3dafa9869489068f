import { Temporal } from 'temporal-polyfill'

/** Which days a tariff counts: every day, or Monday to Friday without the holidays of the port. */
export type DayCount = 'calendar' | 'working'

/** The first day on the clock: that of the event itself, or the one after it. */
export type ClockStart = 'same day' | 'next day'

/** What a tariff says about free time. The carriers differ in each of these, and each changes the bill. */
export interface FreeTime {
  readonly freeDays: number
  readonly freeCount: DayCount
  readonly chargedCount: DayCount
  readonly start: ClockStart
  /** Holidays of the port, which are no working days. */
  readonly holidays: readonly Temporal.PlainDate[]
}

const SATURDAY = 6

function counts(day: Temporal.PlainDate, count: DayCount, holidays: readonly Temporal.PlainDate[]): boolean {
  if (count === 'calendar') return true
  return day.dayOfWeek < SATURDAY && !holidays.some((holiday) => holiday.equals(day))
}

/**
 * The last day on which a container costs nothing: where an import container is to be out of the terminal, or the
 * empty one back. Days off after it that a tariff lets pass are not looked for.
 *
 * @param event the discharge for demurrage, the gate-out for detention
 * @param terms `freeDays` a whole number, 0 or more
 * @returns with no free days, the day before the clock starts
 *
 * Example: discharge Friday 2 May 2025, clock from the next day, 5 working days → Friday 9 May.
 */
export function lastFreeDay(event: Temporal.PlainDate, terms: FreeTime): Temporal.PlainDate {
  if (!Number.isInteger(terms.freeDays) || terms.freeDays < 0) {
    throw new RangeError(`free days: found ${terms.freeDays}, expected a whole number, 0 or more`)
  }
  let day = terms.start === 'same day' ? event.subtract({ days: 1 }) : event
  for (let left = terms.freeDays; left > 0; ) {
    day = day.add({ days: 1 })
    if (counts(day, terms.freeCount, terms.holidays)) left -= 1
  }
  return day
}

/**
 * Days charged up to and with the day on which the container leaves or comes back.
 *
 * @param done the day of gate-out, or of the empty container's return
 * @returns a whole number, 0 or more
 *
 * Example: the terms above, gate-out Thursday 15 May → 6 calendar or 4 working days.
 */
export function chargedDaysUntil(
  event: Temporal.PlainDate,
  done: Temporal.PlainDate,
  terms: FreeTime,
): number {
  let charged = 0
  let day = lastFreeDay(event, terms)
  while (Temporal.PlainDate.compare(day, done) < 0) {
    day = day.add({ days: 1 })
    if (counts(day, terms.chargedCount, terms.holidays)) charged += 1
  }
  return charged
}
