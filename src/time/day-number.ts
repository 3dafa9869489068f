import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * 1 January 1970 as a day number. Days are counted as spreadsheets count them, from 30 December 1899, so that a date
 * of the plan is a date in a workbook too (ECMA-376 part 1, 18.17.4.1; OpenDocument v1.2 part 2, 4.11.7: null date).
 */
const UNIX_EPOCH = 25_569
const MS_A_DAY = 86_400_000

/** A day of the calendar, year-month-day, as a number. Example: 2027-02-24 → 46442. */
export const dayNumber = (iso: string): number => Date.parse(`${iso}T00:00:00Z`) / MS_A_DAY + UNIX_EPOCH

/**
 * The day of a number, year-month-day: part of a day belongs to the day it falls on. Example: 46442.5 → 2027-02-24.
 */
export const isoDay = (day: number): string =>
  new Date((Math.floor(day) - UNIX_EPOCH) * MS_A_DAY).toISOString().slice(0, 10)

/**
 * The day of a cell, year-month-day. A day that the carriage taken does not have (an empty container's return, where
 * no container is taken) counts as 0 and is none.
 */
export const dayIn = (day: { toNumber(): number } | undefined): string | undefined => {
  const number = day?.toNumber() ?? 0
  return number > 0 ? isoDay(number) : undefined
}

/**
 * Monday to Friday up to and with a day, counted from Monday 1 January 1900.
 *
 * @param day a whole day number, 2 or more
 * @returns never falls as days go by; the difference of two is the working days between them
 */
export const workingDaysUntil = <N extends Num<N>>(m: Arithmetic<N>, day: N): N =>
  // Mondays so far, Tuesdays so far, …: each a count that only rises, so that ranges stay tight.
  m.sum([1, 2, 3, 4, 5].map((weekday) => m.ceil(day.minus(m.of(weekday)).div(m.of(7)))))

/** The day that is the n-th from Monday to Friday since 1 January 1900: `workingDaysUntil` turned round. */
export const nthWorkingDay = <N extends Num<N>>(m: Arithmetic<N>, n: N): N =>
  n.plus(m.ceil(n.div(m.of(5))).times(m.of(2))).minus(m.of(1))
