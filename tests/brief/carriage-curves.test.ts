import { expect, test } from 'vitest'
import { carriageCurves } from '../../src/analysis/carriage-curves.js'
import { costAt, switches } from '../../src/cost/crossover.js'
import { exact } from '../../src/quantity/exact.js'
import { DEMOS } from '../plan/households.js'
import { moveOf, plansOf } from './household.js'

test.each(DEMOS)(
  '%s: at the household’s own volume each curve costs what the plan says, to the cent',
  async (name) => {
    const move = await moveOf(name)
    for (const plan of plansOf(move)) {
      const packed = plan.sheet.cells.get('volume.packed')?.value ?? exact.of(1)
      const curves = carriageCurves(move, plan, packed.times(2))
      expect(curves.length).toBeGreaterThan(0)
      for (const curve of curves) {
        const planned = plan.sheet.cells.get(`options.${curve.id}.cost`)?.value
        expect(exact.round(costAt(curve, packed), 2).toString(), curve.id).toBe(planned?.toString())
      }
    }
  },
)

test('a switch is where the two ways cost the same, or where the one that is left jumps', async () => {
  const move = await moveOf('valparaiso-gdynia')
  const [plan] = plansOf(move)
  if (!plan) throw new Error('the household has no scenario')
  const curves = carriageCurves(move, plan, exact.of(100))
  const hair = exact.of('0.000001')
  const found = switches(curves)
  expect(found.length).toBeGreaterThan(0)
  for (const { m3, from, to } of found) {
    const [left, taken] = [from, to].map((id) => curves.find((curve) => curve.id === id))
    if (!left || !taken) throw new Error('a switch names a way that has no curve')
    expect(costAt(left, m3.minus(hair)).lte(costAt(taken, m3.minus(hair)))).toBe(true)
    expect(costAt(taken, m3.plus(hair)).lte(costAt(left, m3.plus(hair)))).toBe(true)
  }
})
