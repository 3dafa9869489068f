import type { Decimal } from 'decimal.js'
import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, it, test } from 'vitest'
import { exact } from '../../src/quantity/index.js'
import {
  type ClockStart,
  chargedDaysUntil,
  consignmentDates,
  type DayCount,
  dayNumber,
  isoDay,
  lastFreeDay,
  nthWorkingDay,
  workingDaysUntil,
} from '../../src/time/index.js'

const number = (day: Temporal.PlainDate) => dayNumber(day.toString())
const someDay = fc
  .integer({ min: 0, max: 20_000 })
  .map((n) => Temporal.PlainDate.from('2000-01-01').add({ days: n }))
const few = fc.integer({ min: 0, max: 21 })

describe('a day as a number', () => {
  test.each([
    ['1899-12-30', 0, 'OpenDocument 1.2 part 2, table:null-date; ECMA-376 part 1, 18.17.4.1'],
    ['1900-03-01', 61, 'spreadsheets of both formats agree from this day on'],
    ['1970-01-01', 25_569, 'the day computers count from, as both formats write it'],
    ['2000-02-29', 36_585, 'leap day of a century, by hand: 60 after 1 January, 36526'],
    ['2027-02-24', 46_442, 'by hand: 46023 is 1 January 2026, 365 and 54 days on'],
  ])('%s is %i (%s)', (iso, day) => {
    expect(dayNumber(iso)).toBe(day)
    expect(isoDay(day)).toBe(iso)
    expect(isoDay(day + 0.75)).toBe(iso)
  })

  it('counts on as Temporal does', () => {
    fc.assert(
      fc.property(someDay, fc.integer({ min: -4000, max: 4000 }), (day, days) => {
        expect(isoDay(number(day) + days)).toBe(day.add({ days }).toString())
      }),
    )
  })
})

/** Free time by walking the calendar a day at a time: slower, and nothing like the formulas. */
function walked(
  event: Temporal.PlainDate,
  done: Temporal.PlainDate,
  terms: { freeDays: number; freeCount: DayCount; chargedCount: DayCount; start: ClockStart },
  holidays: readonly Temporal.PlainDate[],
) {
  const counts = (day: Temporal.PlainDate, how: DayCount) =>
    how === 'calendar' || (day.dayOfWeek < 6 && !holidays.some((h) => h.equals(day)))
  let last = terms.start === 'same day' ? event.subtract({ days: 1 }) : event
  for (let left = terms.freeDays; left > 0; ) {
    last = last.add({ days: 1 })
    if (counts(last, terms.freeCount)) left -= 1
  }
  let charged = 0
  for (
    let day = last.add({ days: 1 });
    Temporal.PlainDate.compare(day, done) <= 0;
    day = day.add({ days: 1 })
  )
    if (counts(day, terms.chargedCount)) charged += 1
  return { last: last.toString(), charged }
}

describe('free time', () => {
  const count = fc.constantFrom<DayCount>('calendar', 'working')
  const start = fc.constantFrom<ClockStart>('same day', 'next day')

  it('is what a walk over the calendar gives, weekends and holidays of the port among it', () => {
    fc.assert(
      fc.property(
        someDay,
        few,
        few,
        count,
        count,
        start,
        fc.array(few, { maxLength: 8 }),
        (event, freeDays, stay, freeCount, chargedCount, from, offs) => {
          const done = event.add({ days: stay })
          const holidays = offs.map((off) => event.add({ days: off }))
          const terms = { freeDays, freeCount, chargedCount, start: from }
          const given = { ...terms, freeDays: exact.of(freeDays), holidays: holidays.map(number) }
          const last = lastFreeDay(exact, exact.of(number(event)), given)
          const charged = chargedDaysUntil(exact, last, exact.of(number(done)), given)
          const { last: day, charged: days } = walked(event, done, terms, holidays)
          expect([isoDay(last.toNumber()), charged.toNumber()]).toEqual([day, days])
        },
      ),
      { numRuns: 500 },
    )
  })

  it('a later return is never charged fewer days, and working days never outnumber calendar days', () => {
    fc.assert(
      fc.property(someDay, few, few, few, (event, free, stay, more) => {
        const days = (until: number, chargedCount: DayCount) =>
          chargedDaysUntil(exact, exact.of(number(event) + free), exact.of(number(event) + until), {
            chargedCount,
            holidays: [],
          }).toNumber()
        expect(days(stay + more, 'calendar')).toBeGreaterThanOrEqual(days(stay, 'calendar'))
        expect(days(stay, 'working')).toBeLessThanOrEqual(days(stay, 'calendar'))
      }),
    )
  })

  it('the n-th working day is the first on which n are over', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40_000 }), (n) => {
        const day = nthWorkingDay(exact, exact.of(n))
        expect(workingDaysUntil(exact, day).toNumber()).toBe(n)
        expect(workingDaysUntil(exact, day.minus(1)).toNumber()).toBe(n - 1)
      }),
    )
  })
})

describe('the calendar of a consignment', () => {
  const of = (n: number) => exact.of(n)
  const free = (freeDays: number) => ({
    freeDays: of(freeDays),
    freeCount: 'calendar' as const,
    chargedCount: 'calendar' as const,
    start: 'next day' as const,
    holidays: [],
  })
  const stretches = {
    toPort: of(1),
    fill: of(0),
    closing: of(2),
    crossing: of(30),
    clearance: of(3),
    delay: of(0),
    delivery: of(3),
    emptyReturn: of(1),
  }
  const dates = (declared: string, changed: Partial<typeof stretches & { inspection: Decimal }> = {}) =>
    consignmentDates(
      exact,
      of(dayNumber('2027-02-24')),
      of(dayNumber(declared)),
      { ...stretches, ...changed },
      {
        port: free(7),
        away: free(4),
      },
    )
  const on = (day: { toNumber(): number }) => isoDay(day.toNumber())

  test('loaded 24 February 2027, declared seven weeks later: by hand on a wall calendar', () => {
    const found = dates('2027-04-16')
    expect({
      cutOff: on(found.cutOff),
      sailing: on(found.sailing),
      discharge: on(found.discharge),
      clearance: on(found.clearance),
      release: on(found.release),
      delivery: on(found.delivery),
      lastFreeDay: on(found.lastFreeDay),
      demurrageDays: found.demurrageDays.toNumber(),
      emptyBack: on(found.emptyBack),
      detentionDays: found.detentionDays.toNumber(),
    }).toEqual({
      cutOff: '2027-02-25',
      sailing: '2027-02-27',
      discharge: '2027-03-29',
      clearance: '2027-04-01',
      release: '2027-04-16',
      delivery: '2027-04-19',
      lastFreeDay: '2027-04-05',
      demurrageDays: 11,
      emptyBack: '2027-04-20',
      detentionDays: 0,
    })
  })

  it('charges nothing where the import is declared in time', () => {
    expect(dates('2027-03-29').demurrageDays.toNumber()).toBe(0)
  })

  it('an inspection at a depot holds up the door, and neither the port nor the empty container', () => {
    const [before, after] = [dates('2027-04-16'), dates('2027-04-16', { inspection: of(5) })]
    expect(after.delivery.minus(before.delivery).toNumber()).toBe(5)
    expect([after.release, after.demurrageDays, after.emptyBack, after.detentionDays].map(String)).toEqual(
      [before.release, before.demurrageDays, before.emptyBack, before.detentionDays].map(String),
    )
  })

  it('a delay comes on top, whether customs or the declaration is the later', () => {
    for (const declared of ['2027-03-01', '2027-04-16']) {
      const late = dates(declared, { delay: of(6) })
      expect(late.release.minus(dates(declared).release).toNumber()).toBe(6)
    }
  })

  it('counts a started day whole', () => {
    expect(on(dates('2027-03-01', { crossing: exact.of('29.2') }).discharge)).toBe('2027-03-29')
  })
})
