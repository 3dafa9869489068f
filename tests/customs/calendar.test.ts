import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, it, test } from 'vitest'
import {
  addDays,
  addMonths,
  daysBetween,
  latestStart,
  periodEnd,
  rollToWorkingDay,
  totalMonths,
  weekday,
  wholeMonthsBetween,
} from '../../src/customs/index.js'

describe('months as the law counts them', () => {
  test.each([
    [
      '2025-08-31',
      6,
      '2026-02-28',
      'no 31 February: the last day of the month, Regulation 1182/71 art. 3(2)(c)',
    ],
    ['2027-08-31', 6, '2028-02-29', 'the same in a leap year, Regulation 1182/71 art. 3(2)(c)'],
    ['2024-02-29', 12, '2025-02-28', '29 February and a year, Regulation 1182/71 art. 3(2)(c)'],
    ['2024-02-29', 48, '2028-02-29', '29 February and four years, Regulation 1182/71 art. 3(2)(c)'],
    ['2026-01-10', 6, '2026-07-10', 'the day of the same number, Regulation 1182/71 art. 3(2)(c)'],
    [
      '2026-01-31',
      1,
      '2026-02-28',
      'corresponding-date rule as Dodds v Walker [1981] 1 WLR 1027 has it (from memory)',
    ],
    [
      '1978-09-30',
      4,
      '1979-01-30',
      'notice of 30 September, four months, expired 30 January: Dodds v Walker [1981] 1 WLR 1027 (from memory)',
    ],
    ['2026-03-31', -1, '2026-02-28', 'counted back over a short month, by hand'],
  ])('%s and %i months is %s: %s', (from, months, expected) => {
    expect(addMonths(from, months)).toBe(expected)
  })

  test.each([
    ['2024-02-29', '2025-02-28', 12, 'a year from a leap day ends on 28 February'],
    ['2025-02-28', '2026-02-27', 11, 'a day short of a year'],
    ['2025-12-31', '2026-06-30', 6, 'the last day stands for the 31st'],
    ['2026-01-31', '2026-02-27', 0, 'a day short of a month'],
    ['2026-05-01', '2026-04-01', 0, 'an end before the beginning'],
  ])('%s to %s is %i whole months (%s): Regulation 1182/71 art. 3', (from, to, months) => {
    expect(wholeMonthsBetween(from, to)).toBe(months)
  })

  test.each([
    ['2026-06-30', 6, '2025-12-31', 'the 31st reaches six months on 30 June'],
    ['2027-02-28', 6, '2026-08-31', 'so do the 28th to the 31st on 28 February'],
    ['2028-02-28', 6, '2027-08-28', 'but not in a leap year'],
    ['2026-07-10', 6, '2026-01-10', 'in the middle of a month'],
  ])('for %s and %i months the latest start is %s (%s): by hand', (date, months, start) => {
    expect(latestStart(date, months)).toBe(start)
  })

  test.each([
    ['2026-03-15', '2026-03-16', 'Sunday to Monday'],
    ['2026-03-14', '2026-03-16', 'Saturday to Monday'],
    ['2026-03-16', '2026-03-16', 'Monday stays'],
  ])('%s rolls to %s (%s): Regulation 1182/71 art. 3(4)', (date, rolled) => {
    expect(rollToWorkingDay(date)).toBe(rolled)
  })

  it('rolls over Good Friday and Easter Monday of 2026 where they are holidays: Regulation 1182/71 art. 3(4)', () => {
    expect(rollToWorkingDay('2026-04-03', new Set(['2026-04-03', '2026-04-06']))).toBe('2026-04-07')
  })

  it('60 days from 5 March 2026 end on 4 May: RA 10863 s. 800(f), counted in days', () => {
    expect(periodEnd('2026-03-05', 60, 'day')).toBe('2026-05-04')
  })

  it('adds up separate stays, thirty days to a month: 19 CFR 148.52, use need not be continuous', () => {
    const stays = [
      { from: '2012-01-01', until: '2012-06-16' },
      { from: '2019-01-01', until: '2019-06-16' },
    ]
    expect(totalMonths(stays)).toBe(11)
  })
})

const day = fc
  .integer({ min: 0, max: 40_000 })
  .map((n) => Temporal.PlainDate.from('1980-01-01').add({ days: n }).toString())
const months = fc.integer({ min: 0, max: 240 })

describe('against the calendar of the Temporal standard', () => {
  it('adds months as PlainDate.add constrains them', () => {
    fc.assert(
      fc.property(day, fc.integer({ min: -240, max: 240 }), (d, n) => {
        expect(addMonths(d, n)).toBe(Temporal.PlainDate.from(d).add({ months: n }).toString())
      }),
    )
  })
  it('adds and counts days, and knows the day of the week', () => {
    fc.assert(
      fc.property(day, fc.integer({ min: -3000, max: 3000 }), (d, n) => {
        const later = addDays(d, n)
        expect(later).toBe(Temporal.PlainDate.from(d).add({ days: n }).toString())
        expect(daysBetween(d, later)).toBe(n)
        expect(weekday(d)).toBe(Temporal.PlainDate.from(d).dayOfWeek)
      }),
    )
  })
  it('a start no later than the latest one is complete, and no other', () => {
    fc.assert(
      fc.property(day, day, months, (start, end, n) => {
        expect(start <= latestStart(end, n)).toBe(addMonths(start, n) <= end)
      }),
    )
  })
  it('as many whole months as are complete', () => {
    fc.assert(
      fc.property(day, months, (d, n) => {
        expect(wholeMonthsBetween(d, addMonths(d, n))).toBeGreaterThanOrEqual(n)
        expect(wholeMonthsBetween(d, addDays(addMonths(d, n + 1), -1))).toBeLessThanOrEqual(n)
      }),
    )
  })
})
