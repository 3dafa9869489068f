import { beforeAll, expect, it, test } from 'vitest'
import { readsAsDangerous } from '../../src/analysis/warnings/goods.js'
import { warnings } from '../../src/analysis/warnings.js'
import type { Move } from '../../src/plan/index.js'
import { moveOf, planWith } from './household.js'

let move: Move
beforeAll(async () => {
  move = await moveOf('valparaiso-gdynia')
})

const of = (changes: readonly (readonly [string, string])[]) =>
  warnings(
    move,
    planWith(
      move,
      changes.map(([id, value]) => ({ id, value })),
    ),
  )

test.each([
  // severity, words of the warning, changes that call it
  ['stop', 'cannot travel this way', [['transport', 'groupage']]],
  [
    'stop',
    'of what the container may carry',
    [
      ['transport', '45G1+groupage'],
      ['container.45G1.max-gross', '7000'],
    ],
  ],
  ['care', 'cannot be released on the day set', [['import-on', '2027-03-01']]],
  ['note', 'ahead of the ship this saves days', [['import-on', '2027-03-27']]],
  [
    'stop',
    'before 25 November 2026, the day this plan is made for',
    [
      ['load-on', '2026-11-20'],
      ['import-on', '2027-01-20'],
    ],
  ],
  ['care', 'should have been booked', [['load-on', '2026-11-30']]],
  ['care', 'Packing would have to start', [['load-on', '2026-11-26']]],
  ['care', 'up the stairs to floor 1 of the new home', []],
  ['care', 'down the stairs from floor 4 of the old home', [['origin.floor', '4']]],
  ['care', 'after transit cover stops', [['import-on', '2027-06-20']]],
  ['care', 'the last free day is', []],
  ['care', 'longer at the port than is free', [['delay.days', '20']]],
  [
    'care',
    'asks for packing and unpacking by professionals',
    [
      ['cover', 'all-risks'],
      ['service-level', 'diy'],
    ],
  ],
  ['care', 'stowing counts as packing', [['service-level', 'diy']]],
  ['care', 'of the replacement value is insured', [['insured.share', '0.6']]],
  ['care', 'below the value declared to customs', [['insured.share', '0.1']]],
  ['note', 'measure different things', [['insured.share', '1']]],
  ['care', 'Nothing is insured', [['cover', 'none']]],
  ['note', 'deductible of', [['loss.tolerance', '50']]],
  ['care', 'Plant, animal or species law', []],
  ['care', 'a vehicle with fuel and a battery', []],
  ['note', 'measured by their outer box only', []],
] as const)('%s: "…%s…" when %j', (severity, words, changes) => {
  const found = of(changes).filter((w) => w.text.includes(words))
  expect(found.map((w) => w.severity)).toEqual([severity])
})

test.each([
  [
    'longer at the port than is free',
    [
      ['import-on', '2027-03-29'],
      ['delay.days', '1'],
    ],
  ],
  ['before 25 November 2026', []],
  [
    'by professionals, and this plan',
    [
      ['cover', 'all-risks'],
      ['service-level', 'full'],
    ],
  ],
  ['stowing counts as packing', [['service-level', 'full']]],
  ['of the replacement value is insured', [['insured.share', '1']]],
  ['a vehicle with fuel', [['take.V-01', 'leave']]],
] as const)('no "…%s…" when %j', (words, changes) => {
  expect(of(changes).filter((w) => w.text.includes(words))).toEqual([])
})

it('puts the gravest first and names only cells that the plan or its inputs have', () => {
  const plan = planWith(move, [{ id: 'transport', value: 'groupage' }])
  const found = warnings(move, plan)
  const rank = { stop: 0, care: 1, note: 2 }
  expect(found.map((w) => rank[w.severity])).toEqual(found.map((w) => rank[w.severity]).sort())
  for (const id of found.flatMap((w) => w.cells)) {
    expect(plan.sheet.cells.has(id) || plan.inputs.numbers.has(id), id).toBe(true)
  }
})

it('names one line measured by its box as one', async () => {
  const one = await moveOf('student-tromso-wellington', (file) => {
    if (!file.file.endsWith('inventory.csv')) return file
    const [header = ''] = file.text.split('\n')
    const row = (cells: Record<string, string>) =>
      header
        .split(',')
        .map((column) => cells[column] ?? '')
        .join(',')
    const box = {
      line: 'B-1',
      room: 'Loft',
      item: 'Box',
      quantity: '1',
      class: 'other',
      packing: 'none',
      value: '5',
    }
    const sides = { length_cm: '40', width_cm: '40', height_cm: '40', mass_kg: '5' }
    return { ...file, text: `${header}\n${row({ ...box, ...sides })}\n` }
  })
  const told = warnings(one, planWith(one, [])).filter(({ text }) => text.includes('outer box only'))
  expect(told.map(({ text }) => text)).toEqual([
    "Line B-1 is measured by its outer box only. A box holds air beside a chair's legs, so it reads a little large.",
  ])
})

it('says that a carriage wins by a price of the tables while others have been offered', async () => {
  const offers = await moveOf('valparaiso-gdynia', (file) =>
    file.file.endsWith('/rates.csv') || file.file === 'rates.csv'
      ? { ...file, text: file.text.replace(/^price\.freight\.L5G1.*\n/m, '') }
      : file,
  )
  const told = (transport: string) =>
    warnings(offers, planWith(offers, [{ id: 'transport', value: transport }])).filter(({ text }) =>
      text.includes('only because nobody was asked'),
    )
  expect(told('L5G1').map(({ severity, text }) => [severity, text])).toEqual([
    [
      'care',
      expect.stringMatching(
        /of the tables \(45 foot high cube\); your own prices are for 20 foot standard, .*Shared container/i,
      ),
    ],
  ])
  expect(told('45G1')).toEqual([])
})

it('says nothing of a piano on stairs where there are none, a lift, or an outside lift that is bought', () => {
  const stairs = (...changes: [string, string][]) =>
    of(changes).filter(({ text }) => text.includes('the stairs'))
  expect(stairs()).toHaveLength(2)
  expect(stairs(['origin.lift', 'yes'], ['destination.floor', '0'])).toEqual([])
  expect(stairs(['provider.hoist', 'mover'])).toEqual([])
  expect(stairs(['take.L-05', 'leave'])).toEqual([])
})

test.each([
  // in the languages of the papers; words that also mean a picture, a pan or a jug alone call nothing
  ['12 latas de pintura', true],
  ['Bicicleta eléctrica (batería de litio)', true],
  ['Garrafa de camping', true],
  ['Pots de peinture, bleu', true],
  ['Gasflasche für den Grill', true],
  ['Spraydose mit Lack', true],
  ['Pintura al óleo', false],
  ['Batería de cocina', false],
  ['Garrafa de vidrio', false],
  ['Peinture à l’huile', false],
])('%s: read as dangerous goods: %s', (item, hazard) => {
  expect(readsAsDangerous(item)).toBe(hazard)
})
