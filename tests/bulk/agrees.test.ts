import type { Decimal } from 'decimal.js'
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { expect, it } from 'vitest'
import { Columns, compile } from '../../src/bulk/index.js'
import { Exact, exact, recorded } from '../../src/quantity/index.js'
import { type Below, blueprint, build, edgeValue } from './random-plans.js'

const dice = (start: number): Below => {
  const generator = xoroshiro128plus(start)
  return (n) => (generator.next() >>> 0) % n
}

it('over 120,000 random plans, edges over-represented, every rounded result is the exact one', () => {
  const below = dice(20_261_125)
  const perShape = 40
  let plans = 0
  let settled = 0
  const wrong: string[] = []
  for (let shape = 0; plans < 120_000; shape++) {
    const plan = blueprint(below)
    const outputs = build(recorded, plan, (_id, row) => recorded.input(row))
    const columns = new Columns(compile(outputs, plan.inputs))
    const inputs = new Map(
      plan.inputs.map((id) => [id, Float64Array.from({ length: perShape }, () => edgeValue(below))]),
    )
    const results = columns.evaluate(inputs)
    for (let k = 0; k < perShape; k++) {
      const expected: Map<string, Decimal> = build(exact, plan, (id) => new Exact(inputs.get(id)?.[k] ?? 0))
      for (const [id, value] of expected) {
        const found = results.get(id)?.[k]
        if (found !== value.toNumber() && !(Number.isNaN(found) && value.isNaN())) {
          const given = plan.inputs.map((name) => inputs.get(name)?.[k]).join(' ')
          wrong.push(
            `shape ${shape}, ${id}: found ${found}, exact ${value}; inputs ${given}; ${JSON.stringify(plan)}`,
          )
        }
      }
      plans += 1
    }
    settled += columns.settled
  }
  expect(wrong.slice(0, 3)).toEqual([])
  // The edges were met, or this test would show nothing.
  expect(settled).toBeGreaterThan(10_000)
}, 300_000)
