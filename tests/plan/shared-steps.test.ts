// What plans share may never show: each comes out as if it had been the only one made.
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { LayeredMap } from '../../src/plan/inputs/layered.js'
import type { Change } from '../../src/plan/inputs.js'
import { type Move, planOf, recordedSheet } from '../../src/plan/move.js'
import { householdFolder, openMove } from '../../src/plan/open.js'
import type { Sheet } from '../../src/plan/plan.js'

/** Everything of a sheet that somebody may read, in its order. */
const written = ({ cells, choices }: Sheet<{ toString(): string }>) => ({
  cells: [...cells.values()].map(({ value, ...cell }) => ({ ...cell, value: value.toString() })),
  choices: [...choices],
})

function planned(move: Move, changes: readonly Change[]) {
  const plan = planOf(move, 'x', changes)
  if (!plan.ok) throw new Error(plan.problems.map(({ fix }) => fix).join(' '))
  return plan.value
}

const sheetOf = (move: Move, changes: readonly Change[]) => {
  const plan = planned(move, changes)
  const recordedCells = new Map(
    [...recordedSheet(move, plan).cells].map(([id, cell]) => [id, { ...cell, value: cell.value.value }]),
  )
  return {
    exact: written(plan.sheet),
    recorded: [...recordedCells].map(([id, { value }]) => `${id} ${value}`),
    lines: plan.shipment.lines.map((line) => JSON.stringify(line)),
    stops: plan.sheet.customs.stops,
    assessments: JSON.stringify(plan.sheet.customs.assessments),
  }
}

describe('plans of one household, made one after another', () => {
  it('come out as each does alone', async () => {
    const folder = householdFolder('student-tromso-wellington')
    const shared = await openMove(folder)
    const [first, second] = shared.household.inventory
      .filter(({ take, value }) => take === 'ship' && value !== undefined)
      .map(({ line }) => line)
    const currency = shared.household.exchange[0]?.from ?? ''
    const sets: Change[][] = [
      [],
      [{ id: `line.${first}.quantity`, value: '7' }],
      [{ id: `line.${first}.quantity`, value: '8' }],
      [
        { id: `line.${first}.quantity`, value: '7' },
        { id: 'cover', value: 'none' },
      ],
      [{ id: `take.${second}`, value: 'leave' }],
      [{ id: `line.${second}.value`, value: '1234.56' }],
      [{ id: 'volume.carton-fill', value: '0.5' }],
      [{ id: `exchange.${currency}`, value: '2' }],
      [{ id: 'import-on', value: '2027-12-24' }],
      [{ id: 'survey.room.bedroom', value: '1.2' }].filter(({ id }) => shared.inputs.numbers.has(id)),
      [],
    ]
    for (const changes of sets)
      expect(sheetOf(shared, changes), JSON.stringify(changes)).toEqual(
        sheetOf(await openMove(folder), changes),
      )
    // A change that reaches a line is seen in the sheet, and not only in the first plan.
    const quantity = (n: string) =>
      planned(shared, [{ id: `line.${first}.quantity`, value: n }]).sheet.cells.get('volume.net')?.value
    expect(quantity('7')?.eq(quantity('8') ?? 0)).toBe(false)
  }, 60_000)
})

describe('a map with entries on top of another', () => {
  it('is in every way the copy with the same entries set', () => {
    const entries = fc.array(fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer()))
    fc.assert(
      fc.property(entries, entries, (below, above) => {
        const copy = new Map(below)
        for (const [key, value] of above) copy.set(key, value)
        const layered = new LayeredMap(new Map(below), new Map(above))
        expect([...layered]).toEqual([...copy])
        expect([...layered.keys()]).toEqual([...copy.keys()])
        expect([...layered.values()]).toEqual([...copy.values()])
        expect(layered.size).toBe(copy.size)
        for (let key = 0; key < 10; key += 1)
          expect([layered.has(key), layered.get(key)]).toEqual([copy.has(key), copy.get(key)])
      }),
      { seed: 1 },
    )
  })
})
