import { kgFromLb, kgPerM3FromLbPerFt3, m3FromFt3 } from '../../src/quantity/index.js'
import { cartonCount } from '../../src/volume/cartons.js'
import { boxM3, packedM3 } from '../../src/volume/line-volume.js'
import { type Case, figure, published } from './cases.js'

published('cubic feet and pounds', [
  {
    title: '1 000 ft³ in m³',
    gives: '28.316847',
    source: 'international yard and pound agreement of 1959',
    by: (m, of) => m3FromFt3(m, of(1000)),
    never: { '28.169': 'divided by 35.5, as some public pages do' },
  },
  {
    title: '7 000 lb in kg',
    gives: '3175.15',
    source: 'international yard and pound agreement of 1959',
    by: (m, of) => kgFromLb(m, of(7000)),
  },
  {
    title: '7 lb/ft³ in kg/m³',
    gives: '112.13',
    source: 'US Federal Travel Regulation, 41 CFR part 302-7 (figure from memory, repeated by tariffs)',
    by: (m, of) => kgPerM3FromLbPerFt3(m, of(figure('density.household'))),
    never: { '247.20': 'pounds for each m³, not kilograms' },
  },
  {
    title: '6.5 lb/ft³ in kg/m³',
    gives: '104.12',
    source: 'a published US agent tariff’s greatest density; by hand 6.5 × 16.018463',
    by: (m, of) => kgPerM3FromLbPerFt3(m, of(figure('density.household.tariff-maximum'))),
  },
  {
    title: 'professional gear estimated at 1 000 lb, packed',
    gives: '1100',
    source: '41 CFR 302-7.4: 110 % of the estimate',
    by: (_, of) => of(1000).times(of(figure('professional-gear.packing-factor'))),
  },
])

// Inches as carton guides print them, cubic feet by hand: inches over 1728.
const cartons: readonly Case[] = (
  [
    ['book carton', '16.375', '12.625', '12.625', '1.510'],
    ['medium carton', '18.125', '18', '16', '3.021'],
    ['large carton', '24', '18', '18', '4.500'],
    ['extra large carton', '24', '18', '24', '6.000'],
    ['dish carton', '18', '18', '28', '5.250'],
    ['electronics carton', '22.5', '21.5', '21.5', '6.019'],
    ['file carton', '15', '12.5', '10.5', '1.139'],
    ['standing wardrobe', '24', '20', '47.375', '13.160'],
  ] as const
).map(([what, length, width, height, gives]) => ({
  title: `${what} of ${length} × ${width} × ${height} in, ft³`,
  gives,
  source: 'published carton guide',
  by: (m, of) => {
    const cm = (inches: string) => of(inches).times(of('2.54'))
    return boxM3(m, cm(length), cm(width), cm(height)).div(m3FromFt3(m, of(1)))
  },
}))
published('cartons by their sides', cartons)

published('packed volume and carton count', [
  {
    title: 'a table of 120 × 60 × 75 cm, m³',
    gives: '0.54',
    source: 'by hand',
    by: (m, of) => boxM3(m, of(120), of(60), of(75)),
  },
  {
    title: 'shared load of 5 m³ crated at 1.15',
    gives: '5.75',
    source: 'a forwarder’s published page on shared containers: 15 to 25 % more',
    by: (_, of) => packedM3(of(5), of('1.15')),
  },
  {
    title: 'the same at 1.25',
    gives: '6.25',
    source: 'the same page',
    by: (_, of) => packedM3(of(5), of('1.25')),
  },
  {
    title: 'cartons for 0.30 m³ and 40 kg, 3 ft³ each filled to 0.85, limit 65 lb',
    gives: '5',
    source: 'by hand: 0.30 ÷ 0.0722 is 4.15',
    by: (m, of) =>
      cartonCount(m, of('0.30'), of(40), {
        outerM3: m3FromFt3(m, of(3)),
        fill: of('0.85'),
        contentLimitKg: kgFromLb(m, of(65)),
      }),
    never: { 4: 'rounded down' },
  },
  {
    title: 'cartons for 0.30 m³ of books at 450 kg/m³, 1.5 ft³ each, limit 65 lb of content',
    gives: '9',
    source:
      'box maker’s certificate table 65 lb for 200 lb/in² board: by hand 0.3 ÷ 0.0361 is 8.3, 135 ÷ 29.5 is 4.6',
    by: (m, of) =>
      cartonCount(m, of('0.30'), of(135), {
        outerM3: m3FromFt3(m, of('1.5')),
        fill: of('0.85'),
        contentLimitKg: kgFromLb(m, of(65)),
      }),
  },
  {
    title: 'the same books in 4.5 ft³ cartons: mass decides',
    gives: '5',
    source: 'by hand: 0.3 ÷ 0.1083 is 2.8, 135 ÷ 29.5 is 4.6',
    by: (m, of) =>
      cartonCount(m, of('0.30'), of(135), {
        outerM3: m3FromFt3(m, of('4.5')),
        fill: of('0.85'),
        contentLimitKg: kgFromLb(m, of(65)),
      }),
    never: { 3: 'volume alone: cartons too heavy to lift' },
  },
])
