import fc from 'fast-check'
import { beforeAll, describe, expect, it, test } from 'vitest'
import { Calculator, exploreData, type PageData, turningPoints } from '../../src/explore/index.js'
import { containerNotes } from '../../src/explore/words.js'
import { type Move, type Plan, planOf, planSheet } from '../../src/plan/index.js'
import { Exact, exact } from '../../src/quantity/exact.js'
import { moveOf, plansOf } from '../brief/household.js'
import { DEMOS } from '../plan/households.js'

interface Case {
  readonly move: Move
  readonly plans: readonly Plan[]
  readonly data: PageData
  readonly calculator: Calculator
}
const cases = new Map<string, Case>()
const caseOf = (name: string): Case => {
  const found = cases.get(name)
  if (!found) throw new Error(name)
  return found
}
const households = DEMOS

beforeAll(async () => {
  for (const name of households) {
    const move = await moveOf(name)
    const plans = plansOf(move)
    // Through text, as the page gets it.
    const data = JSON.parse(JSON.stringify(exploreData(move, plans, { folder: name }))) as PageData
    cases.set(name, { move, plans, data, calculator: new Calculator(data) })
  }
})

/** A position of the sliders: some inputs moved, each to a step of its slider; ends and marks more often. */
const positions = (data: PageData): fc.Arbitrary<Map<string, string>> =>
  fc
    .tuple(
      ...data.inputs.map(({ min, max, step, low, likely, high }) => {
        const steps = new Exact(max).minus(min).div(step).toNumber()
        return fc.option(
          fc.oneof(
            {
              weight: 3,
              arbitrary: fc
                .integer({ min: 0, max: Math.round(steps) })
                .map((k) => new Exact(min).plus(new Exact(step).times(k)).toFixed()),
            },
            { weight: 1, arbitrary: fc.constantFrom(min, max, low, likely, high) },
          ),
          { freq: 2 },
        )
      }),
    )
    .map((values) => {
      const moved = new Map<string, string>()
      values.forEach((value, k) => {
        const id = data.inputs[k]?.id
        if (value !== null && id !== undefined) moved.set(id, value)
      })
      return moved
    })

describe('figures of the page', () => {
  test.each(households)(
    'equal the exact arithmetic to the cent at 1,000 random positions of the sliders: %s',
    (name) => {
      const { move, plans, data, calculator } = caseOf(name)
      let turn = 0
      fc.assert(
        fc.property(positions(data), (moved) => {
          turn = (turn + 1) % plans.length
          const plan = plans[turn]
          const figures = calculator.figures(moved)[turn]
          if (!plan || !figures) throw new Error('no such scenario')
          const numbers = new Map(plan.inputs.numbers)
          for (const [id, value] of moved) {
            const row = numbers.get(id)
            if (!row) throw new Error(id)
            numbers.set(id, { ...row, likely: new Exact(value) })
          }
          const { cells } = planSheet(exact, { ...plan.inputs, numbers }, move.household, move.reference)
          for (const [id, value] of figures) {
            const cell = cells.get(id)
            if (!cell) throw new Error(id)
            if (cell.unit === data.currency) {
              expect(new Exact(value).toFixed(), `${id} in ${plan.name}`).toBe(cell.value.toFixed())
            } else {
              expect(Math.abs(value - cell.value.toNumber()), id).toBeLessThan(
                1e-6 * Math.max(1, Math.abs(value)),
              )
            }
          }
        }),
        { numRuns: 1000, seed: 20261125 },
      )
    },
  )

  test.each(households)('are those of the plan while nothing is moved: %s', (name) => {
    const { plans, calculator, data } = caseOf(name)
    calculator.figures(new Map()).forEach((figures, s) => {
      for (const { id } of data.phases)
        expect(new Exact(figures.get(id) ?? 0).toFixed()).toBe(plans[s]?.sheet.cells.get(id)?.value.toFixed())
    })
  })

  it('are those a scenario states itself until the input is moved, which sets it in every scenario', () => {
    const { data, calculator } = caseOf('valparaiso-gdynia')
    expect(data.inputs.find(({ id }) => id === 'delay.days')?.planned).toEqual(['6', '4', '2'])
    const days = calculator
      .figures(new Map([['delay.days', '8']]))
      .map((of) => of.get('time.port.charged-days'))
    // By hand: ashore 29 March, free until 5 April, declared 16 April, 8 days late: released 24 April, whoever plans.
    expect(days).toEqual([19, 19, 19])
  })
})

describe('the note on containers', () => {
  it('says nothing while nothing is moved', () => {
    for (const { data, calculator } of cases.values()) {
      const planned = calculator.figures(new Map())
      expect(containerNotes(data, planned, planned)).toEqual([])
    }
  })

  test.each(households)('is there whenever planning again would take another container: %s', (name) => {
    const { move, plans, data, calculator } = caseOf(name)
    const planned = calculator.figures(new Map())
    fc.assert(
      fc.property(positions(data), (moved) => {
        const notes = containerNotes(data, calculator.figures(moved), planned)
        plans.forEach((plan) => {
          const changes = move.household.scenarios.find((s) => s.name === plan.name)?.changes ?? []
          const again = planOf(move, plan.name, [
            ...changes,
            ...[...moved].map(([id, value]) => ({ id, value })),
          ])
          if (!again.ok) throw new Error(JSON.stringify(again.problems))
          const same = again.value.sheet.choices.get('transport') === plan.sheet.choices.get('transport')
          const told = notes.some(
            ({ text }) =>
              text.includes('the cheapest whole move') && text.includes(`\u201c${plan.name}\u201d`),
          )
          expect(told, plan.name).toBe(!same)
        })
      }),
      { numRuns: 25, seed: 7 },
    )
  })
})

describe('turning points', () => {
  it('are values at which another scenario costs least and a little before which none does', async () => {
    // Under one cover the scenarios are close enough to change places.
    const move = await moveOf('valparaiso-gdynia', (file) =>
      file.file.endsWith('scenarios.csv')
        ? { ...file, text: file.text.replace(/named-narrow|advised/g, 'all-risks') }
        : file,
    )
    const data = exploreData(move, plansOf(move), {
      folder: 'valparaiso-gdynia',
      inputs: ['door.small-trucks.price', 'price.origin-parking', 'survey.room.living-room'],
    })
    const calculator = new Calculator(data)
    const least = (moved: Map<string, string>) => {
      const totals = calculator.figures(moved).map((of) => of.get('cost.total') ?? 0)
      return totals.indexOf(Math.min(...totals))
    }
    const first = least(new Map())
    const points = turningPoints(calculator, new Map())
    expect(points.length).toBeGreaterThan(0)
    for (const { input, at, side, scenario } of points) {
      const step = (Number(input.high) - Number(input.low) || Number(input.max) - Number(input.min)) / 32
      const before = at + (side === 'above' ? -step / 16 : step / 16)
      expect(least(new Map([[input.id, String(at)]])), input.id).toBe(scenario)
      expect(least(new Map([[input.id, String(before)]])), input.id).toBe(first)
      expect(scenario).not.toBe(first)
    }
    expect(caseOf('valparaiso-gdynia').data.inputs.length).toBeGreaterThan(15)
  })
})
