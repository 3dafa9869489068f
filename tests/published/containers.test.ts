import { describe, expect, it, test } from 'vitest'
import { roadCargo } from '../../src/cost/road-limits.js'
import { bindingKgPerM3 } from '../../src/stowage/binding-limit.js'
import {
  checkDigit,
  checkSum,
  parseContainerNumber,
  readSizeType,
} from '../../src/stowage/container-number.js'
import {
  containersNeeded,
  grossMassKg,
  nominalM3,
  payloadKg,
  usableM3,
} from '../../src/stowage/usable-space.js'
import { box, type Case, figure, type Of, published } from './cases.js'

describe('container numbers, ISO 6346', () => {
  test.each([
    ['CSQU305438', 6185, 3, "the standard's own example (looked up)"],
    ['ZZZU123456', 5658, 4, 'by hand: 5658 = 514 × 11 + 4'],
    ['ZZZU100000', 538, 0, 'by hand: a remainder of 10 is written 0'],
    ['ABCU123456', 5478, 0, 'a published check-digit page prints 0'],
    [
      'ABCD123456',
      5334,
      0,
      'by hand: weights run from the left; a public page weighs from the right and prints 1',
    ],
  ])('%s weighs %i, check digit %i: %s', (code, sum, digit) => {
    expect([checkSum(code), checkDigit(code)]).toEqual([sum, digit])
  })

  it('reads spaces, hyphens and small letters as papers print them: ISO 6346', () => {
    expect(parseContainerNumber('csqu 305438-3')).toEqual({
      ok: true,
      value: { owner: 'CSQ', category: 'U', serial: '305438', checkDigit: 3 },
    })
  })

  test.each([
    ['CSQU3054384', 'check digit 3, not 4', 'wrong digit'],
    ['CSQU3045383', 'check digit 1, not 3', 'two digits swapped, by hand: 6185 + 128 − 64 is 6249'],
    ['CSQA3054383', 'three owner letters', 'A is no category of a freight container'],
    ['CSQU305438', 'three owner letters', 'no check digit'],
    ['7SQU3054383', 'three owner letters', 'a digit among the owner letters'],
  ])('%s is refused, expecting %s: ISO 6346, %s', (text, expected) => {
    const read = parseContainerNumber(text)
    expect(read).toMatchObject({ ok: false, found: text })
    if (!read.ok) expect(read.expected).toContain(expected)
  })

  it('throws one sentence for a code of another form', () => {
    expect(() => checkDigit('CSQU30543')).toThrow('container number "CSQU30543"')
  })

  test.each([
    ['22G1', 6058, 2591, false, 'general purpose'],
    ['42G1', 12192, 2591, false, 'general purpose'],
    ['45G1', 12192, 2896, false, 'general purpose'],
    ['L5G1', 13716, 2896, false, 'general purpose'],
    ['LEG1', 13716, 2896, true, 'general purpose'],
    ['22U1', 6058, 2591, false, 'open top'],
    ['45R1', 12192, 2896, false, 'refrigerated'],
  ])(
    '%s is %i mm long, %i high, wide %s, %s: ISO 6346 annexes D and E (looked up)',
    (code, l, h, wide, kind) => {
      expect(readSizeType(code)).toMatchObject({ ok: true, value: { lengthMm: l, heightMm: h, wide, kind } })
    },
  )

  test.each(['4310', '22X1', '99G1', 'Z5G1', '45G', ''])(
    '%s is no size and type code: ISO 6346:1995',
    (code) => {
      expect(readSizeType(code).ok).toBe(false)
    },
  )

  test.each(['22G1', '42G1', '45G1', 'L5G1'])(
    '%s of containers.csv has the outside its code says: ISO 668',
    (id) => {
      const read = readSizeType(id)
      expect(read.ok && [read.value.lengthMm, read.value.heightMm].map(String)).toEqual([
        box(id, 'outside_length_mm'),
        box(id, 'outside_height_mm'),
      ])
    },
  )
})

const insideOf = (id: string, kind: 'inside' | 'min_inside') => ({
  lengthMm: box(id, `${kind}_length_mm`),
  widthMm: box(id, `${kind}_width_mm`),
  heightMm: box(id, `${kind}_height_mm`),
})
const capacities = (
  [
    ['22G1', 'inside', '33.20'],
    ['42G1', 'inside', '67.72'],
    ['45G1', 'inside', '76.35'],
    ['L5G1', 'inside', '86.02'],
    ['22G1', 'min_inside', '32.12'],
    ['42G1', 'min_inside', '65.70'],
    ['45G1', 'min_inside', '74.22'],
    ['L5G1', 'min_inside', '83.77'],
  ] as const
).map(
  ([id, kind, gives]): Case => ({
    title: `${kind === 'inside' ? 'usual' : 'least'} inside of ${id}`,
    gives,
    source: kind === 'inside' ? 'by hand from published equipment data' : 'by hand from ISO 1496-1 minima',
    by: (m, of) => {
      const { lengthMm, widthMm, heightMm } = insideOf(id, kind)
      return nominalM3(m, { lengthMm: of(lengthMm), widthMm: of(widthMm), heightMm: of(heightMm) })
    },
  }),
)

const highCube = <N>(of: Of<N>) => ({ lengthMm: of(12032), widthMm: of(2352), heightMm: of(2698) })
const midsizeCar = <N>(of: Of<N>, deckShare: string) => ({
  lengthMm: of(4750),
  heightMm: of(1450),
  endClearanceMm: of(150),
  topClearanceMm: of(50),
  deckShare: of(deckShare),
})

published('volume and payload of containers', [
  ...capacities,
  {
    title: 'high cube over standard, by inside product',
    gives: '1.1275',
    source: 'by hand: 2 698 ÷ 2 393; the rounded volumes 76.35 and 67.72 make 1.1274',
    by: (m, of) => {
      const width = { lengthMm: of(12032), widthMm: of(2352) }
      return nominalM3(m, { ...width, heightMm: of(2698) }).div(
        nominalM3(m, { ...width, heightMm: of(2393) }),
      )
    },
  },
  {
    title: 'high cube over standard, by quoted capacity',
    gives: '1.1285',
    source: 'published equipment data, 76.4 and 67.7 m³; common practice says 12 to 15 % more',
    by: (_, of) => of(box('45G1', 'capacity_m3')).div(of(box('42G1', 'capacity_m3'))),
  },
  ...(
    [
      ['22G1', '28180'],
      ['42G1', '26730'],
      ['45G1', '26540'],
      ['L5G1', '25660'],
    ] as const
  ).map(
    ([id, gives]): Case => ({
      title: `payload of ${id} by its plate`,
      gives,
      source: 'published equipment data: 30 480 kg less tare',
      by: (m, of) => payloadKg(m, of(box(id, 'max_gross_kg')), of(box(id, 'tare_kg')), of(99_999)),
    }),
  ),
  {
    title: 'payload of a high cube on US roads, kg',
    gives: '19958',
    source: 'published container inspection page: 44 000 lb',
    by: (m, of) => payloadKg(m, of(30480), of(3940), of('44000').times(of('0.45359237'))),
    never: { 26540: 'the plate allows more than the road' },
  },
  {
    title: 'verified gross mass of 3 940 + 6 200 + 1 480 + 320 kg',
    gives: '11940',
    source: 'SOLAS VI/2 method 2 (looked up): tare, goods, car, dunnage',
    by: (_, of) => grossMassKg(of(3940), of(6200), of(1480), of(320)),
    never: { 11620: 'dunnage left out', 8000: 'tare left out' },
  },
  {
    title: 'the same over the plate of 30 480 kg',
    gives: '0.3917',
    source: 'by hand: 11 940 ÷ 30 480',
    by: (_, of) => grossMassKg(of(3940), of(6200), of(1480), of(320)).div(of(30480)),
  },
  {
    title: 'usable space of a high cube quoted at 76.4 m³ and stowed to 0.85',
    gives: '64.94',
    source: 'by hand; a published planning note prints 87 to 91 % usable',
    by: (m, of) =>
      usableM3(m, { lengthMm: of(76400), widthMm: of(1000), heightMm: of(1000) }, of('0.85'), []),
    never: { '55.20': 'broken stowage counted twice', '56.47': '15 % added to the goods besides' },
  },
  {
    title: 'usable space of a high cube beside a car of 4 750 mm with 150 mm at each end, stowed to 0.7',
    gives: '31.01',
    source: 'by hand: 6.982 × 2.352 × 2.698 × 0.7; clearance and share common practice, no source',
    by: (m, of) => usableM3(m, highCube(of), of('0.7'), [midsizeCar(of, '0')]),
    never: {
      '32.35': 'clearances forgotten',
      '31.68': 'clearance at one end only',
      '44.31': 'no broken stowage',
    },
  },
  {
    title: 'usable space there with a deck over the car used to 0.5',
    gives: '37.71',
    source: 'by hand: 31.01 + 4.75 × 2.352 × 1.198 × 0.5',
    by: (m, of) => usableM3(m, highCube(of), of('0.7'), [midsizeCar(of, '0.5')]),
    never: { '37.99': 'no clearance above the car', '44.40': 'the space above used in full' },
  },
  {
    title: 'density from which mass binds there',
    gives: '307.3',
    source: 'by hand: 19 958 ÷ 64.94',
    by: (_, of) => bindingKgPerM3(of('19958'), of('64.94')),
  },
  {
    title: 'containers for 70 m³, 48 beside the car and 65 after',
    gives: '2',
    source: 'by hand',
    by: (m, of) => containersNeeded(m, of(70), of(48), of(65), of(9000), of(19958)),
  },
  {
    title: 'containers for 20 m³ of tools at 45 000 kg',
    gives: '3',
    source: 'by hand: 45 000 over 19 958 is 2.25',
    by: (m, of) => containersNeeded(m, of(20), of(64), of(64), of(45000), of(19958)),
    never: { 1: 'volume alone' },
  },
])

it('15 t on 6 m may go in either box, 16 t on 4 m only in the 20 foot: published line loads', () => {
  const limits = ['22G1', '42G1'].map((id) => Number(box(id, 'line_load_kg_per_m')))
  expect(limits.map((limit) => limit >= 2500)).toEqual([true, true])
  expect(limits.map((limit) => limit >= 4000)).toEqual([true, false])
})

published('road limits', [
  {
    title: 'cargo under 80 000 lb with 34 500 lb of tractor and chassis and a high cube',
    gives: '36814',
    source: '23 CFR 658.17 gross limit, the rest common practice, by hand: tare 8 686 lb',
    by: (m, of) =>
      roadCargo(
        m,
        of(figure('road-limit.us.gross')),
        of(figure('road-limit.us.tractor-and-chassis')),
        of(8686),
      ),
  },
  {
    title: 'cargo under 44 000 kg with 14 500 kg of tractor and chassis and a high cube',
    gives: '25560',
    source: 'Directive 96/53/EC as amended (from memory), by hand',
    by: (m, of) => roadCargo(m, of(figure('road-limit.eu.gross')), of(14500), of(box('45G1', 'tare_kg'))),
  },
])
