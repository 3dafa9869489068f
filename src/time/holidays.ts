import { dayNumber } from './day-number.js'

/** A public holiday of a country, as port-holidays.csv states it. */
export interface HolidayRule {
  readonly country: string
  /**
   * `05-01` a fixed day; `05-01 observed` the Monday after where it falls on a weekend; `07-04 nearest` the Friday
   * before a Saturday, the Monday after a Sunday; `easter-2` days from Easter Sunday; `1 monday 06` the first Monday
   * of June, `-1 monday 05` the last of May.
   */
  readonly rule: string
  /** First and last year in which it is held; open where not given. */
  readonly from_year?: { toNumber(): number } | undefined
  readonly until_year?: { toNumber(): number } | undefined
}

const WEEKDAYS = ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday'] as const
const FIXED = /^(\d\d)-(\d\d)( observed| nearest)?$/
const FROM_EASTER = /^easter([+-]\d{1,2})$/
const NTH = /^(-1|[1-4]) (monday|tuesday|wednesday|thursday|friday) (\d\d)$/

/** Whether a text is a rule that `holidaysOf` reads. */
export const isHolidayRule = (rule: string): boolean =>
  FIXED.test(rule) || FROM_EASTER.test(rule) || NTH.test(rule)

/**
 * Easter Sunday of a year of the Gregorian calendar, a day number.
 * Source: the anonymous Gregorian computus, as in Meeus, Astronomical Algorithms, chapter 8 (from memory).
 * Example: 2027 → 28 March.
 */
export function easterSunday(year: number): number {
  const a = year % 19
  const [b, c] = [Math.floor(year / 100), year % 100]
  const f = Math.floor((b + 8) / 25)
  const g = Math.floor((b - f + 1) / 3)
  const h = (19 * a + b - Math.floor(b / 4) - g + 15) % 30
  const l = (32 + 2 * (b % 4) + 2 * Math.floor(c / 4) - h - (c % 4)) % 7
  const m = Math.floor((a + 11 * h + 22 * l) / 451)
  const days = h + l - 7 * m + 114
  return dayOf(year, Math.floor(days / 31), (days % 31) + 1)
}

/**
 * The public holidays of a country in the years asked for, as day numbers in order. A country without rows has none:
 * its holidays are not known, and only weekends are left out of its working days. A New Year kept on the Friday before
 * counts with its own year: ask for that one too.
 */
export function holidaysOf(
  rules: readonly HolidayRule[],
  country: string,
  years: readonly number[],
): readonly number[] {
  const days = years.flatMap((year) => {
    const held = rules.filter(
      (rule) =>
        rule.country === country &&
        year >= (rule.from_year?.toNumber() ?? year) &&
        year <= (rule.until_year?.toNumber() ?? year),
    )
    const taken = new Set<number>()
    return held.map(({ rule }) => {
      let day = dayIn(rule, year)
      // Two holidays that fall on one weekend are observed on the Monday and the Tuesday.
      if (rule.endsWith(' observed')) while (isWeekend(day) || taken.has(day)) day++
      if (rule.endsWith(' nearest') && isWeekend(day)) day += weekdayOf(day) === 0 ? 1 : -1
      taken.add(day)
      return day
    })
  })
  return [...new Set(days)].sort((a, b) => a - b)
}

function dayIn(rule: string, year: number): number {
  const fixed = FIXED.exec(rule)
  if (fixed) return dayOf(year, Number(fixed[1]), Number(fixed[2]))
  const moving = FROM_EASTER.exec(rule)
  if (moving) return easterSunday(year) + Number(moving[1])
  const nth = NTH.exec(rule)
  if (!nth) throw new Error(`unknown rule of a holiday "${rule}"`)
  const weekday = WEEKDAYS.indexOf(nth[2] as (typeof WEEKDAYS)[number])
  const month = Number(nth[3])
  const count = Number(nth[1])
  const first = dayOf(year, month, 1)
  const at = first + ((weekday - weekdayOf(first) + 7) % 7)
  if (count > 0) return at + (count - 1) * 7
  return at + (at + 28 < dayOf(year, month + 1, 1) ? 28 : 21)
}

const dayOf = (year: number, month: number, day: number): number =>
  dayNumber(
    `${month > 12 ? year + 1 : year}-${String(month > 12 ? 1 : month).padStart(2, '0')}-${String(day).padStart(2, '0')}`,
  )
/** 0 Sunday to 6 Saturday: day number 1 is Sunday, 31 December 1899. */
const weekdayOf = (day: number): number => (day - 1) % 7
const isWeekend = (day: number): boolean => weekdayOf(day) % 6 === 0
