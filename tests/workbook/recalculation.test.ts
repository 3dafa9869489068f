import type { Decimal } from 'decimal.js'
import { describe, expect, it } from 'vitest'
import { exact } from '../../src/quantity/exact.js'
import { workbook } from '../../src/workbook/index.js'
import {
  differences,
  officeInstalled,
  type Recalculated,
  recalculatedByEngine,
  recalculatedByOffice,
} from './oracles.js'
import { readBook } from './read-book.js'
import { smallInputs, smallPlan, smallSheet } from './small-plan.js'

if (!officeInstalled)
  console.warn('SKIPPED: LibreOffice is not installed; its recalculation of the workbook is not proven here')

// Thirty and more inputs at once: lines, prices, steps that move over an edge, ties that go the other way.
const changed: Record<string, Decimal.Value> = {
  'origin.carry-m': '125',
  'origin.carry-free': '25',
  'price.hour': '39.985',
  'price.m3': '201.05',
  'exchange.NOK': '0.0861',
  rate: '0.031',
  'air.m3-per-kg': '0.0045',
  tax1: '0.15',
  TAX1_: '0.15',
  vat: '0.23',
  tie: '0.375',
  ...Object.fromEntries(
    Array.from({ length: 24 }, (_, i) => [`line.K-${i * 5}.quantity`, 1 + ((i * 3) % 7)]),
  ),
  ...Object.fromEntries(Array.from({ length: 12 }, (_, i) => [`line.K-${i * 9}.volume`, `${(i + 1) / 16}`])),
}
const inputValues = Object.entries(changed).map(([id, value]) => ({ id, value }))
const asWritten = smallInputs().numbers
const moved = inputValues.filter(({ id, value }) => !asWritten.get(id)?.likely.eq(value)).length
const scenario = { 'price.hour': '55.5', 'line.K-1.quantity': 9, tie: '0.135' }
const scenarios = [
  { name: 'Base', sheet: smallSheet() },
  { name: '=Other', sheet: smallSheet(scenario) },
]

const rounds = [
  {
    title: 'as written',
    bytes: workbook(scenarios),
    model: [smallPlan(exact, smallInputs()), smallPlan(exact, smallInputs(scenario))],
    verdict: /^All (\d+) figures agree with the model$/,
    changed: 0,
  },
  {
    // A later scenario follows the first one where it has no value of its own.
    title: 'after more than 30 inputs are changed in every scenario',
    bytes: workbook(scenarios, { inputValues }),
    model: [changed, { ...scenario, ...changed }].map((inputs) => smallPlan(exact, smallInputs(inputs))),
    verdict: `Live: ${moved} inputs changed, figures no longer those of the model`,
    changed: moved,
  },
  {
    title: 'after a value is typed into one scenario, which leaves the other alone',
    bytes: workbook(scenarios, {
      inputValues: [{ id: 'vat', value: '0.07', scenario: '=Other' }],
      protect: true,
    }),
    model: [smallPlan(exact, smallInputs()), smallPlan(exact, smallInputs({ ...scenario, vat: '0.07' }))],
    verdict: 'Live: 1 inputs changed, figures no longer those of the model',
    changed: 1,
  },
]

function agrees(grids: Recalculated | undefined, { model, verdict, changed }: (typeof rounds)[number]): void {
  expect(differences(grids ?? new Map(), model)).toEqual([])
  expect(grids?.get('Check')?.[1]?.[2]).toMatch(verdict)
  expect(Number(grids?.get('Check')?.[2]?.[2])).toBe(changed)
}

describe('every cell of every scenario is the model’s', () => {
  it('in a plan whose changed inputs are more than 30', () => {
    expect(moved).toBeGreaterThan(30)
  })

  it.each(rounds)('$title, by a spreadsheet engine', (round) => {
    agrees(recalculatedByEngine(readBook(round.bytes)), round)
  })

  it.runIf(officeInstalled)(
    'all three, by LibreOffice Calc',
    async () => {
      const grids = await recalculatedByOffice(rounds.map((round) => round.bytes))
      rounds.forEach((round, i) => {
        agrees(grids[i], round)
      })
    },
    180_000,
  )
})
