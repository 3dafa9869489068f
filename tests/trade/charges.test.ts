// A removals estimator's list of charges that a bill forgets (common practice, no source): each has its row, is counted
// by what the trade counts it by, and says where it is from.
import { readFileSync } from 'node:fs'
import { expect, it, test } from 'vitest'
import { parseCsv } from './rows.js'

const rowsOf = (name: string) =>
  parseCsv(readFileSync(new URL(`../../data/reference/${name}.csv`, import.meta.url), 'utf8'))
const services = rowsOf('services')
const figures = rowsOf('figures')

test.each([
  ['loading and lashing a vehicle', 'vehicle-loading', 'each'],
  ['a deck over it', 'vehicle-deck', 'each'],
  ['class 9 surcharge', 'vehicle-dangerous-goods', 'each'],
  ['biosecurity where it is the rule', 'biosecurity', 'container'],
  ['tax on services at the origin', 'origin-services-tax', 'percentage'],
  ['tax on services at the destination', 'destination-services-tax', 'percentage'],
  ['importer security filing', 'importer-security-filing', 'consignment'],
  ['bond for it', 'importer-bond', 'consignment'],
  ['emissions', 'emissions-surcharge', 'teu'],
  ['peak season', 'peak-surcharge', 'container'],
  ['canal, war risk and congestion', 'route-surcharges', 'container'],
  ['chassis', 'chassis', 'container-day'],
  ['second delivery', 'redelivery', 'event'],
  ['weekend work', 'weekend-delivery', 'fixed'],
  ['tolls', 'tolls', 'container'],
  ['seal', 'seal', 'container'],
  ['weighing', 'weighing', 'container'],
  ['release and entry fees', 'delivery-order', 'consignment'],
  ['the agent’s charge on money laid out', 'disbursement', 'percentage'],
  ['the forwarder’s charge on a single box', 'forwarding', 'container'],
])('%s is the row %s of services.csv, counted by %s', (_what, id, driver) => {
  const row = services.find((r) => r.id === id)
  expect(row?.driver).toBe(driver)
  expect(row?.source).not.toBe('')
  expect(Number(row?.high)).toBeGreaterThan(0)
})

it('a filing that is late names its deadline and its penalty', () => {
  const filing = services.find((r) => r.id === 'importer-security-filing')
  // 19 CFR 149.2 and 149.5: 24 hours before loading; 5,000 USD liquidated damages (brokers' notes).
  expect(`${filing?.meaning} ${filing?.note}`).toMatch(/24 hours before.*5000 USD/)
})

it('a shared load that waits in the port pays by volume and month, and waits for its fill', () => {
  expect(services.find((r) => r.id === 'demurrage')?.groupage_driver).toBe('m3-month')
  expect(Number(figures.find((r) => r.id === 'groupage.wait-days')?.likely)).toBeGreaterThan(0)
})

it('premium tax has its rows by country', () => {
  expect(figures.filter((r) => r.id?.startsWith('tax.premium.')).length).toBeGreaterThanOrEqual(2)
})
