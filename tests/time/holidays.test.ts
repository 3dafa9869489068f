import { beforeAll, describe, expect, it, test } from 'vitest'
import type { Move } from '../../src/plan/index.js'
import { dayNumber, easterSunday, holidaysOf, isHolidayRule, isoDay } from '../../src/time/index.js'
import { amount, openDemo, planWith } from '../plan/households.js'

let move: Move
beforeAll(async () => {
  move = await openDemo('valparaiso-gdynia')
})

// Dates of Easter as church calendars and almanacs print them (from memory); 2038 is the latest of this century.
test.each(['2024-03-31', '2025-04-20', '2026-04-05', '2027-03-28', '2028-04-16', '2038-04-25'])(
  'Easter Sunday is %s',
  (day) => expect(isoDay(easterSunday(Number(day.slice(0, 4))))).toBe(day),
)

describe('public holidays of a port', () => {
  const inYear = (country: string, year: number) =>
    holidaysOf(move.reference.portHolidays, country, [year]).map(isoDay)

  it('are those of a published list of Poland for 2024 (secondary), Sundays left out', () => {
    expect(inYear('PL', 2024)).toEqual([
      '2024-01-01',
      '2024-01-06',
      '2024-04-01',
      '2024-05-01',
      '2024-05-03',
      '2024-05-30',
      '2024-08-15',
      '2024-11-01',
      '2024-11-11',
      '2024-12-25',
      '2024-12-26',
    ])
  })

  it('change with the law: Christmas Eve is one in Poland from 2025', () => {
    expect(inYear('PL', 2025)).toContain('2025-12-24')
    expect(inYear('PL', 2024)).not.toContain('2024-12-24')
  })

  it('move off a weekend where they are observed: England’s Christmas of 2021 and 2022 (from memory)', () => {
    // 25 December 2021 was a Saturday: Monday 27 and Tuesday 28; in 2022 a Sunday: Monday 26 and Tuesday 27.
    expect(inYear('GB', 2021).slice(-2)).toEqual(['2021-12-27', '2021-12-28'])
    expect(inYear('GB', 2022).slice(-2)).toEqual(['2022-12-26', '2022-12-27'])
  })

  it.each([
    // Observed days as the federal personnel office lists them, by 5 USC 6103(b) and Executive Order 11582 (from memory).
    [2021, '2021-07-05', '2021-07-04', 'Independence Day on a Sunday: Monday'],
    [2021, '2021-12-24', '2021-12-25', 'Christmas on a Saturday: Friday'],
    [2022, '2021-12-31', '2022-01-01', 'New Year on a Saturday: Friday, in the old year'],
    [2022, '2022-06-20', '2022-06-19', 'Juneteenth on a Sunday: Monday'],
    [2023, '2023-11-10', '2023-11-11', 'Veterans Day on a Saturday: Friday'],
    [2026, '2026-07-03', '2026-07-04', 'Independence Day on a Saturday: Friday'],
    [2025, '2025-07-04', '2025-07-07', 'Independence Day on a Friday stays'],
  ])('are kept on the nearest weekday in the United States, %i: %s', (year, kept, not) => {
    expect(inYear('US', year)).toContain(kept)
    expect(inYear('US', year)).not.toContain(not)
  })

  it('fall on the weekday of the month that the law names: United States 2026 (from memory)', () => {
    expect(inYear('US', 2026)).toEqual(
      expect.arrayContaining(['2026-01-19', '2026-02-16', '2026-05-25', '2026-09-07', '2026-11-26']),
    )
  })

  it('are none where no row tells of a country', () => {
    expect(inYear('AQ', 2027)).toEqual([])
  })

  it('are written as rules that can be read, for countries that the tables know', () => {
    const { portHolidays, countries } = move.reference
    const known = new Set(countries.map(({ code }) => code))
    expect(portHolidays.filter(({ rule }) => !isHolidayRule(rule)).map(({ id }) => id)).toEqual([])
    expect(portHolidays.filter(({ country }) => !known.has(country)).map(({ id }) => id)).toEqual([])
  })
})

it('days charged by working days leave the port’s holiday out: by hand', () => {
  // Ashore Easter Monday 29 March 2027, seven free working days from Tuesday: Wednesday 7 April. Declared 10 May, four
  // days late: 8 and 9 April, three weeks of five, 3 to 7 May without Constitution Day, 10 to 14 May.
  const plan = planWith(move, {
    transport: '45G1',
    'port.free-count': 'working',
    'port.charged-count': 'working',
    'import-on': '2027-05-10',
  })
  expect(amount(plan, 'time.on.last-free-day')).toBe(dayNumber('2027-04-07'))
  expect(amount(plan, 'time.port.charged-days')).toBe(2 + 15 + 4 + 5)
})
