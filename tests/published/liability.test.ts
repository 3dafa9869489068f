import { carrierLimit } from '../../src/insurance/carrier-liability.js'
import { removalLimit } from '../../src/insurance/removal-liability.js'
import { type Case, figure, published } from './cases.js'

const seaRules = 'Hague-Visby Rules art. IV(5)(a) (looked up)'
// Row prefix of figures.csv for the package and the kilogram, packages, kg, in dollars?, limit, source, traps
const limits: readonly Case[] = (
  [
    [
      'liability.sea.package',
      'liability.sea.kg',
      '150',
      '5400',
      '100000.50',
      seaRules,
      { '10800.00': 'the lower of the two' },
    ],
    [
      'liability.sea.package',
      'liability.sea.kg',
      '1',
      '5400',
      '10800.00',
      `${seaRules}: packages not listed, the container is one`,
      { '100000.50': 'packages counted that the bill of lading does not list' },
    ],
    [
      'liability.sea.package',
      'liability.sea.kg',
      '1',
      '18',
      '666.67',
      `${seaRules}: one carton`,
      { '36.00': 'by mass' },
    ],
    [
      'liability.sea.package',
      'liability.sea.kg',
      '1',
      '333',
      '666.67',
      `${seaRules}: just below where mass decides`,
      {},
    ],
    ['liability.sea.package', 'liability.sea.kg', '1', '334', '668.00', `${seaRules}: just above`, {}],
    [
      'liability.sea-us.package',
      '',
      '150',
      '5400',
      '75000.00',
      'US Carriage of Goods by Sea Act 1936 (from memory)',
      {},
    ],
    [
      'liability.sea-us.package',
      '',
      '1',
      '5400',
      '500.00',
      'US Carriage of Goods by Sea Act 1936 (from memory): not listed',
      {},
    ],
    [
      'liability.sea-hamburg.package',
      'liability.sea-hamburg.kg',
      '1',
      '400',
      '1000.00',
      'Hamburg Rules art. 6 (from memory)',
      {},
    ],
    ['', 'liability.road.kg', '0', '200', '1666.00', 'CMR art. 23 (looked up): 8.33 a kilogram', {}],
    ['', 'liability.rail.kg', '0', '200', '3400.00', 'CIM art. 30 (from memory): 17 a kilogram', {}],
  ] as const
).map(([pack, kg, packages, mass, gives, source, never]) => ({
  title: `limit for ${packages} packages and ${mass} kg by ${pack || kg}`,
  gives,
  source,
  by: (m, of) =>
    carrierLimit(m, of(packages), of(mass), {
      perPackage: of(pack === '' ? 0 : figure(pack)),
      perKg: of(kg === '' ? 0 : figure(kg)),
    }),
  never,
}))

const air: readonly Case[] = (
  [
    ['2005-06-30', '1020.00'],
    ['2012-06-30', '1140.00'],
    ['2019-12-27', '1140.00'],
    ['2019-12-28', '1320.00'],
    ['2022-06-30', '1320.00'],
    ['2024-12-27', '1320.00'],
    ['2024-12-28', '1560.00'],
    ['2025-06-30', '1560.00'],
  ] as const
).map(([day, gives]) => ({
  title: `limit for 60 kg by air on ${day}`,
  gives,
  source: 'Montreal Convention 1999 art. 22(3) and its reviews (three law-firm notes)',
  by: (m, of) =>
    carrierLimit(m, of(0), of(60), { perPackage: of(0), perKg: of(figure('liability.air.kg', day)) }),
}))

const dollars = 'at 1.31 USD for an SDR (law-firm notes of November 2024)'
published('what a carrier owes without insurance', [
  ...limits,
  ...air,
  {
    title: '100 000.50 SDR in dollars, unrounded',
    gives: '131000.655',
    source: `by hand ${dollars}`,
    by: (_, of) => of('100000.50').times(of(figure('liability.sdr-rate'))),
  },
  {
    title: 'the same to the cent, half-even',
    gives: '131000.66',
    source: `by hand ${dollars}`,
    by: (m, of) => m.round(of('100000.50').times(of(figure('liability.sdr-rate'))), 2),
  },
  {
    title: '10 800 SDR in dollars',
    gives: '14148.00',
    source: `by hand ${dollars}`,
    by: (_, of) => of(10800).times(of(figure('liability.sdr-rate'))),
  },
  {
    title: '1 666 SDR in dollars',
    gives: '2182.46',
    source: `by hand ${dollars}`,
    by: (_, of) => of(1666).times(of(figure('liability.sdr-rate'))),
  },
  {
    title: 'limit of a German removal of 40 m³',
    gives: '24800.00',
    source: 'HGB section 451e (looked up): 620 EUR a m³ of loading space',
    by: (_, of) => removalLimit(of(40), of(figure('liability.removal-de.m3'))),
  },
  {
    title: 'released value of a 5 lb laptop worth 1 500',
    gives: '3.00',
    source: '49 CFR 375.201: 0.60 USD a pound of the article (looked up)',
    by: (m, of) =>
      carrierLimit(m, of(0), of(5), { perPackage: of(0), perKg: of(figure('liability.released-value')) }),
    never: { '1500.00': 'its worth' },
  },
  {
    title: 'least full value of a shipment of 7 000 lb',
    gives: '42000.00',
    source: 'US interstate moves, 6 USD a pound (from memory; a city relocation page repeats it)',
    by: (m, of) =>
      carrierLimit(m, of(0), of(7000), {
        perPackage: of(0),
        perKg: of(figure('liability.full-value-minimum')),
      }),
  },
])
