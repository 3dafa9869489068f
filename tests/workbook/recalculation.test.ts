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
  console.warn('NOT PROVEN HERE: LibreOffice is not installed, its recalculation is skipped')

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

const oracles: [string, boolean, (bytes: Uint8Array) => Recalculated | Promise<Recalculated>][] = [
  ['a spreadsheet engine', true, (bytes) => recalculatedByEngine(readBook(bytes))],
  [
    'LibreOffice Calc',
    officeInstalled,
    (bytes) =>
      recalculatedByOffice(
        bytes,
        readBook(bytes).sheets.map((s) => s.name),
      ),
  ],
]

describe.each(oracles)('recalculated by %s', (_, present, recalculate) => {
  it.runIf(present)('every cell of every scenario is the model’s as written, and Check says so', async () => {
    const grids = await recalculate(workbook(scenarios))
    const model = [smallPlan(exact, smallInputs()), smallPlan(exact, smallInputs(scenario))]
    expect(differences(grids, model)).toEqual([])
    expect(grids.get('Check')?.[1]?.[2]).toBe(
      `All ${model.flatMap((m) => [...m.values()]).filter((c) => c.kind === 'derived').length} figures agree with the model`,
    )
  })

  it.runIf(present)(
    'every cell is the model’s after more than 30 inputs are changed, in all scenarios',
    async () => {
      expect(moved).toBeGreaterThan(30)
      const grids = await recalculate(workbook(scenarios, { inputValues }))
      // A scenario's own values stay its own; the rest follows the first column.
      const model = [
        smallPlan(exact, smallInputs(changed)),
        smallPlan(
          exact,
          smallInputs({
            ...changed,
            'price.hour': changed['price.hour'] ?? 0,
            tie: changed.tie ?? 0,
            'line.K-1.quantity': 9,
          }),
        ),
      ]
      expect(differences(grids, model)).toEqual([])
      expect(Number(grids.get('Check')?.[2]?.[2])).toBe(moved)
      expect(grids.get('Check')?.[1]?.[2]).toBe(
        `Live: ${moved} inputs changed, figures no longer those of the model`,
      )
    },
  )

  it.runIf(present)('a value typed into one scenario leaves the others alone', async () => {
    const grids = await recalculate(
      workbook(scenarios, { inputValues: [{ id: 'vat', value: '0.07', scenario: '=Other' }], protect: true }),
    )
    const model = [
      smallPlan(exact, smallInputs()),
      smallPlan(exact, smallInputs({ ...scenario, vat: '0.07' })),
    ]
    expect(differences(grids, model)).toEqual([])
  })
})
