import { chargeableUnits, chargeableWeightKg } from '../../src/cost/chargeable.js'
import { costPerM3 } from '../../src/cost/unit-cost.js'
import { boxM3 } from '../../src/volume/line-volume.js'
import { type Case, figure, published } from './cases.js'

// pieces, cm × cm × cm, kg together, row of m³ a kilogram, step kg, kg charged, source
const weights: readonly Case[] = (
  [
    ['8', '60', '40', '20', '45', 'air', '0.5', '64.0', 'IATA 6 000 cm³ a kilogram (from memory), by hand'],
    ['1', '150', '100', '110', '130', 'air', '0.5', '275.0', 'the same rule, by hand'],
    ['1', '50', '50', '50', '80', 'air', '0.5', '80.0', 'the same rule, by hand: 20.83 of volume'],
    [
      '1',
      '30',
      '45',
      '65',
      '14',
      'air',
      '0.5',
      '15.0',
      'a forwarder’s published fact sheet: 14.625 charged as 15',
    ],
    ['3', '120', '60', '90', '120', 'air', '0.5', '324.0', 'a published forwarder’s example, 1.944 m³'],
    [
      '1',
      '41',
      '51',
      '61',
      '12',
      'air',
      '0.001',
      '21.259',
      'a published answer prints 127 551 ÷ 6 000 as 21',
    ],
    [
      '1',
      '60',
      '40',
      '40',
      '12',
      'courier',
      '0.1',
      '19.2',
      'parcel trade 5 000 cm³ (common practice), by hand',
    ],
    ['1', '60', '40', '40', '12', 'air', '0.1', '16.0', 'the same parcel by air, by hand'],
    ['1', '75', '60', '100', '50', 'air', '0.5', '75.0', 'by hand: exactly on a step'],
    ['1', '40', '40', '40', '5', 'air', '1', '11', 'a published courier page: 10.7 kg charged as 11'],
    ['1', '30', '30', '30', '11', 'air', '1', '11', 'the same page: 4.5 kg of volume, so 11 kg of mass'],
    [
      '1',
      '200',
      '100',
      '100',
      '300',
      'rail',
      '0.5',
      '667.0',
      'freight trade 3 000 cm³: 666.67 up to the half kilogram',
    ],
  ] as const
).map(([pieces, l, w, h, kg, mode, step, gives, source]) => ({
  title: `${pieces} of ${l} × ${w} × ${h} cm and ${kg} kg by ${mode}, kg charged`,
  gives,
  source,
  by: (m, of) =>
    chargeableWeightKg(
      m,
      boxM3(m, of(l), of(w), of(h)).times(of(pieces)),
      of(kg),
      of(figure(`${mode}.m3-per-kg`)),
      of(step),
    ),
  ...(l === '75' && { never: { '75.5': '0.45 m³ times 167 kg/m³ is 75.15, a step too dear' } }),
  ...(pieces === '3' && { never: { '325.0': '1.944 m³ times 167 kg/m³ is 324.65, a step too dear' } }),
}))
published('chargeable weight', weights)

// m³, kg, kg that count as a m³, least units, price a unit, charge, source
const measures: readonly Case[] = (
  [
    ['6.4', '1150', '1000', '1', '95', '608.00', 'weight or measure (common practice), by hand: 6.4 units'],
    ['2.2', '2900', '1000', '1', '95', '275.50', 'by hand: 2.9 t decide'],
    ['0.7', '300', '1000', '1', '95', '95.00', 'by hand: the least unit'],
    [
      '10',
      '1000',
      '1000',
      '1',
      '100',
      '1000.00',
      'a published freight glossary: by measure 1 000, by weight 100',
    ],
    ['22', '2100', '1000', '1', '75', '1650.00', 'a published how-to: 12 pallets, 22 m³ and 2 100 kg'],
    ['1', '600', '500', '1', '1', '1.20', 'a forwarder’s published page: 500 kg count as a m³'],
    ['1', '600', '333', '1', '1', '1.80', 'European road terms: 333 kg count as a m³, by hand 600 ÷ 333'],
  ] as const
).map(([m3, kg, per, least, price, gives, source]) => ({
  title: `${m3} m³ and ${kg} kg at ${price} a unit of ${per} kg, least ${least}`,
  gives,
  source,
  by: (m, of) => chargeableUnits(m, of(m3), of(kg), of(per), of(least)).times(of(price)),
  ...(m3 === '2.2' && { never: { '209.00': 'measure alone' } }),
  ...(m3 === '0.7' && { never: { '66.50': 'below the least unit' } }),
}))
published('weight or measure', [
  ...measures,
  {
    title: '2 m³ and 500 kg by European road, kg charged',
    gives: '666',
    source: 'published road terms, 1 m³ is 333 kg',
    by: (m, of) =>
      chargeableUnits(m, of(2), of(500), of(figure('road.kg-per-m3')), of(0)).times(
        of(figure('road.kg-per-m3')),
      ),
  },
])

published('price of a cubic metre', [
  ...(
    [
      ['2800', '33.2', '99.22'],
      ['4600', '67.7', '79.94'],
      ['4750', '76.4', '73.14'],
    ] as const
  ).map(
    ([price, m3, gives]): Case => ({
      title: `${price} over ${m3} m³ usable to 0.85`,
      gives,
      source: 'by hand from published capacities',
      by: (_, of) => costPerM3(of(price), of(m3).times(of('0.85'))),
    }),
  ),
  ...(
    [
      ['2800', '112.00'],
      ['4600', '184.00'],
      ['4750', '190.00'],
    ] as const
  ).map(
    ([price, gives]): Case => ({
      title: `${price} with 25 m³ loaded`,
      gives,
      source: 'by hand: a container is billed whole',
      by: (_, of) => costPerM3(of(price), of(25)),
    }),
  ),
  {
    title: 'most a full high cube is worth beside a 40 foot box at 4 600',
    gives: '5191',
    source: 'by hand: 4 600 × 76.4 ÷ 67.7',
    by: (_, of) => of(4600).times(of('76.4')).div(of('67.7')),
  },
])
