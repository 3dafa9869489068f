import { describe, expect, it, test } from 'vitest'
import { exact } from '../../src/quantity/index.js'
import {
  type ClockStart,
  chargedDays,
  chargedDaysUntil,
  type DayCount,
  dayCharges,
  dayNumber,
  isoDay,
  lastFreeDay,
} from '../../src/time/index.js'
import { type Case, published, tariff } from './cases.js'

const uk = 'an ocean carrier’s UK export tariff, October 2013 to December 2014'
const glossary = 'a freight glossary’s example of banded demurrage'
const tiered: readonly Case[] = (
  [
    [
      'uk-export-2014.demurrage.42G1',
      '18',
      '7',
      '635',
      uk,
      { 880: 'every day at the last price', 1195: 'free days charged' },
    ],
    [
      'uk-export-2014.detention.42G1',
      '12',
      '4',
      '300',
      uk,
      { 384: 'every day at the last price', 225: 'the demurrage tariff taken for detention' },
    ],
    [
      'uk-export-2014.demurrage.22G1',
      '9',
      '7',
      '50',
      uk,
      { 265: 'free days charged', 90: 'every day at the last price' },
    ],
    ['uk-export-2014.demurrage.L5G1', '15', '7', '500', uk, { 640: 'every day at the last price' }],
    ['uk-export-2014.demurrage.42G1', '7', '7', '0', uk, { 45: 'the last free day charged' }],
    [
      'uk-export-2014.demurrage.42G1',
      '8',
      '7',
      '45',
      uk,
      { 80: 'steps counted from the start of the clock' },
    ],
    ['uk-export-2014.demurrage.42G1', '14', '7', '315', uk, {}],
    ['uk-export-2014.demurrage.42G1', '15', '7', '395', uk, {}],
    ['glossary.demurrage.42G1', '10', '7', '300', glossary, {}],
    ['glossary.demurrage.42G1', '17', '7', '2050', glossary, { 2500: 'every day at the second price' }],
    ['glossary.demurrage.42G1', '19', '7', '2750', glossary, { 4200: 'every day at the last price' }],
  ] as const
).map(([id, days, free, gives, source, never]) => ({
  title: `${days} days, ${free} free, by ${id}`,
  gives,
  source,
  by: (m, of) => dayCharges(m, chargedDays(m, of(days), of(free)), tariff(id, of)),
  never,
}))
published('demurrage and detention', [...tiered])

const day = (text: string) => exact.of(dayNumber(text))
const terms = (freeDays: number, freeCount: DayCount, chargedCount: DayCount, start: ClockStart) => ({
  freeDays: exact.of(freeDays),
  freeCount,
  chargedCount,
  start,
  holidays: [] as number[],
})
type Terms = ReturnType<typeof terms>
const lastFree = (event: string, given: Terms) => isoDay(lastFreeDay(exact, day(event), given).toNumber())
const charged = (event: string, out: string, given: Terms) =>
  chargedDaysUntil(exact, lastFreeDay(exact, day(event), given), day(out), given).toNumber()

describe('free time, counted by hand on a calendar', () => {
  test.each<[string, number, DayCount, ClockStart, string, string]>([
    ['2025-05-02', 5, 'working', 'next day', '2025-05-09', 'Friday discharge, Friday a week on'],
    ['2025-05-02', 5, 'calendar', 'next day', '2025-05-07', 'five days of any kind'],
    ['2025-05-02', 5, 'working', 'same day', '2025-05-08', 'the Friday itself counts'],
    ['2025-05-02', 5, 'calendar', 'same day', '2025-05-06', 'the Friday itself counts'],
    ['2025-05-03', 1, 'working', 'same day', '2025-05-05', 'a Saturday discharge waits for Monday'],
    ['2025-05-02', 0, 'calendar', 'next day', '2025-05-02', 'no free time: charged from the next day'],
    ['2025-05-02', 0, 'calendar', 'same day', '2025-05-01', 'no free time: charged from the day itself'],
    ['2024-02-27', 3, 'calendar', 'next day', '2024-03-01', 'over a leap day'],
  ])('%s with %i %s days from the %s: last free day %s (%s)', (event, free, count, start, last) => {
    expect(lastFree(event, terms(free, count, count, start))).toBe(last)
  })

  test.each<[DayCount, DayCount, string, number, string]>([
    ['working', 'calendar', '2025-05-15', 6, 'Saturday 10 to Thursday 15'],
    ['working', 'working', '2025-05-15', 4, 'Monday 12 to Thursday 15'],
    ['calendar', 'calendar', '2025-05-15', 8, 'free time already over on Wednesday 7'],
    ['working', 'calendar', '2025-05-09', 0, 'out on the last free day'],
    ['working', 'calendar', '2025-05-10', 1, 'out a day late'],
  ])('free in %s, charged in %s days, out on %s: %i charged (%s)', (free, count, out, days) => {
    expect(charged('2025-05-02', out, terms(5, free, count, 'next day'))).toBe(days)
  })

  it('lets a holiday of the port pass: Monday 5 May 2025 off moves the last free day to Monday 12', () => {
    const withHoliday = {
      ...terms(5, 'working', 'calendar', 'next day'),
      holidays: [dayNumber('2025-05-05')],
    }
    expect(lastFree('2025-05-02', withHoliday)).toBe('2025-05-12')
    expect(charged('2025-05-02', '2025-05-15', withHoliday)).toBe(3)
  })
})
