// Prices of the tables against what the press and carriers print. Each figure stands beside who printed it and when;
// none of them is our own output.
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { parseCsv } from './rows.js'

const table = (name: string) =>
  parseCsv(readFileSync(new URL(`../../data/reference/${name}.csv`, import.meta.url), 'utf8'))
const freight = table('freight')
const services = table('services')

const rangeOf = (row: Readonly<Record<string, string>> | undefined) => {
  if (!row) throw new Error('no such row')
  return { low: Number(row.low), high: Number(row.high) }
}

const INDEX = 'index of spot freight out of Shanghai as a forwarders’ association prints it (secondary)'
const TWO = 'two of 20 feet: the Australian shipping press (secondary)'
const ASIA = 'East Asia|South-East Asia'

test.each([
  // lane, to region, USD for 20 feet, week
  ['Oceania', 1922, 'week 50 of 2024'],
  ['Oceania', 1159, 'week 38 of 2025'],
  ['Oceania', 1745, 'week 46 of 2025'],
  ['Middle East|South Asia|Central Asia', 1507, 'week 50 of 2024'],
  ['Middle East|South Asia|Central Asia', 2085, 'week 24 of 2025'],
  ['Middle East|South Asia|Central Asia', 991, 'week 38 of 2025'],
  ['Africa', 3579, 'southern Africa, week 50 of 2024'],
  ['Africa', 2626, 'southern Africa, week 46 of 2025'],
  ['Africa', 4542, 'east and west Africa, week 50 of 2024'],
  ['Africa', 3645, 'east and west Africa, week 46 of 2025'],
  ['South America|Caribbean and Central America', 4324, 'week 24 of 2025'],
  ['South America|Caribbean and Central America', 2497, 'week 38 of 2025'],
  [ASIA, 725, 'South-East Asia, week 50 of 2024'],
  [ASIA, 531, 'South-East Asia, week 46 of 2025'],
] as const)('freight from East Asia to %s: %d USD for 20 feet, %s', (to, usd, _week) => {
  const lane = freight.filter((r) => r.from_region === ASIA && r.to_region === to)
  const twenty = rangeOf(lane.find((r) => r.id === '22G1'))
  expect(usd, INDEX).toBeGreaterThanOrEqual(twenty.low)
  expect(usd, INDEX).toBeLessThanOrEqual(twenty.high)
  const forty = rangeOf(lane.find((r) => r.id === '42G1'))
  expect(usd * 2, TWO).toBeGreaterThanOrEqual(forty.low)
  expect(usd * 2, TWO).toBeLessThanOrEqual(forty.high)
})

test.each([
  // GBP of August 2021 at 1.31 USD; distances by us
  [345, 'some 45 km from the port'],
  [406, 'some 70 km'],
  [500, 'some 110 km'],
  [1063, 'across the country'],
] as const)(
  'haulage: a carrier’s UK tariff of August 2021 asks %d GBP to a place %s (secondary)',
  (gbp, _place) => {
    for (const id of ['origin-haulage', 'destination-haulage']) {
      const { low, high } = rangeOf(services.find((r) => r.id === id))
      expect(gbp * 1.31).toBeGreaterThanOrEqual(low)
      expect(gbp * 1.31).toBeLessThanOrEqual(high)
    }
  },
)
