import type { IsoDate } from '../tables/fields.js'

/**
 * How laws count months and days. Dates are ISO texts, because such texts sort as the days do and a thousand lines
 * against two dozen jurisdictions are compared, not parsed.
 *
 * The way of counting is that of Regulation (EEC, Euratom) 1182/71 art. 3, which civil codes share: the day of
 * the event is not counted, and a period of months ends with the day of the same number, or with the last day of
 * a month that has no such day.
 */
const two = (n: number) => (n < 10 ? `0${n}` : `${n}`)
const iso = (year: number, month: number, day: number): IsoDate =>
  `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}`
const yearOf = (date: IsoDate) => Number(date.slice(0, 4))
const monthOf = (date: IsoDate) => Number(date.slice(5, 7))
const dayOf = (date: IsoDate) => Number(date.slice(8, 10))
const isLeapYear = (year: number) => (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0

function daysInMonth(year: number, month: number): number {
  if (month === 2) return isLeapYear(year) ? 29 : 28
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31
}

const MS_PER_DAY = 86_400_000
const epochDay = (date: IsoDate) => Date.UTC(yearOf(date), monthOf(date) - 1, dayOf(date)) / MS_PER_DAY

/**
 * The day on which a period of months that began with an event on `date` is complete.
 * `months` may be negative, for a period counted back.
 * Example: 31 August plus 6 months is 28 February, or the 29th in a leap year.
 * Source: Regulation (EEC, Euratom) 1182/71 art. 3(2)(c).
 */
export function addMonths(date: IsoDate, months: number): IsoDate {
  const counted = yearOf(date) * 12 + monthOf(date) - 1 + months
  const year = Math.floor(counted / 12)
  const month = counted - year * 12 + 1
  return iso(year, month, Math.min(dayOf(date), daysInMonth(year, month)))
}

/** The day `days` after `date` (before it, if negative). */
export function addDays(date: IsoDate, days: number): IsoDate {
  return new Date((epochDay(date) + days) * MS_PER_DAY).toISOString().slice(0, 10)
}

/** Days from one date to another, negative if the second is earlier. */
export const daysBetween = (from: IsoDate, to: IsoDate): number => epochDay(to) - epochDay(from)

/**
 * Whole months completed between two dates, 0 or more; 0 if the second is earlier.
 * Example: 31 January to 28 February 2027 is one month; 29 February 2028 to 28 February 2029 is twelve.
 */
export function wholeMonthsBetween(from: IsoDate, to: IsoDate): number {
  if (to < from) return 0
  const rough = (yearOf(to) - yearOf(from)) * 12 + monthOf(to) - monthOf(from)
  return Math.max(0, addMonths(from, rough) <= to ? rough : rough - 1)
}

/**
 * The latest day on which something may have begun for `months` to be complete on `date`.
 * It is not the date counted back: a period that began on 31 December is complete on 30 June.
 */
export function latestStart(date: IsoDate, months: number): IsoDate {
  const back = addMonths(date, -months)
  const year = yearOf(back)
  const month = monthOf(back)
  const endsMonth = dayOf(date) === daysInMonth(yearOf(date), monthOf(date))
  return endsMonth ? iso(year, month, daysInMonth(year, month)) : back
}

/** Monday is 1, Sunday 7, as ISO 8601 numbers them. */
export const weekday = (date: IsoDate): number => ((((epochDay(date) + 3) % 7) + 7) % 7) + 1

/**
 * The day itself, or the next working day if it falls on a Saturday, Sunday or one of `holidays`.
 * Source: Regulation (EEC, Euratom) 1182/71 art. 3(4).
 */
export function rollToWorkingDay(date: IsoDate, holidays: ReadonlySet<IsoDate> = new Set()): IsoDate {
  let day = date
  while (weekday(day) > 5 || holidays.has(day)) day = addDays(day, 1)
  return day
}

export type PeriodUnit = 'day' | 'month' | 'year'

/** The last day of a period counted from an event, rolled to a working day where the law rolls it. */
export function periodEnd(event: IsoDate, length: number, unit: PeriodUnit, roll = false): IsoDate {
  const end =
    unit === 'day' ? addDays(event, length) : addMonths(event, unit === 'year' ? length * 12 : length)
  return roll && length > 0 ? rollToWorkingDay(end) : end
}

/**
 * Whole months in several periods together, and the days left over: each period's own whole months, then its days,
 * thirty of which make a month. For laws that add up use which need not be continuous (19 CFR 148.52).
 */
export function totalMonths(periods: readonly { readonly from: IsoDate; readonly until: IsoDate }[]): number {
  let months = 0
  let days = 0
  for (const { from, until } of periods) {
    const whole = wholeMonthsBetween(from, until)
    months += whole
    days += Math.max(0, daysBetween(addMonths(from, whole), until))
  }
  return months + Math.floor(days / 30)
}

/** A time the law asks for: at least so many months, or more than so many. */
interface Asked {
  readonly months: number
  readonly over: boolean
}

/** The first day on which a time that began on `from` is long enough; the day after, where more than it is asked. */
export function reachedOn(from: IsoDate, { months, over }: Asked): IsoDate {
  const complete = addMonths(from, months)
  return over ? addDays(complete, 1) : complete
}

/** The latest day on which a time may have begun that must be long enough on `date`. */
export function latestBeginning(date: IsoDate, { months, over }: Asked): IsoDate {
  return latestStart(over ? addDays(date, -1) : date, months)
}
