import type { Decimal } from 'decimal.js'
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { describe, expect, it } from 'vitest'
import { Columns, compile, held } from '../../src/bulk/index.js'
import { Exact, exact, recorded } from '../../src/quantity/index.js'
import { type Below, blueprint, build, edgeValue } from './random-plans.js'

const dice = (start: number): Below => {
  const generator = xoroshiro128plus(start)
  return (n) => (generator.next() >>> 0) % n
}

/** Zero has no sign here. */
const plain = (x = Number.NaN): number => x + 0

describe('all inputs held but one', () => {
  it('over 4,000 random plans, edges over-represented, the rest gives the exact results', () => {
    const below = dice(20_261_126)
    for (let shape = 0; shape < 4_000; shape++) {
      const plan = blueprint(below)
      const program = compile(
        build(recorded, plan, (_id, row) => recorded.input(row)),
        plan.inputs,
      )
      const values = new Map(plan.inputs.map((id) => [id, edgeValue(below)]))
      const free = plan.inputs[below(plan.inputs.length)] as string
      const column = Float64Array.from({ length: 8 }, () => edgeValue(below))
      const rest = held(program, values)([free])
      expect(rest.inputs).toEqual([free])
      const found = new Columns(rest).evaluate(new Map([[free, column]]))
      // The whole program with the others the same in every scenario: ties there are many.
      const whole = new Columns(program).evaluate(
        new Map(
          plan.inputs.map((id) => [id, id === free ? column : new Float64Array(8).fill(values.get(id) ?? 0)]),
        ),
      )
      for (const [k, x] of column.entries()) {
        const expected: Map<string, Decimal> = build(
          exact,
          plan,
          (id) => new Exact(id === free ? x : (values.get(id) ?? 0)),
        )
        for (const [id, value] of expected) {
          const given = `shape ${shape}, ${id}: ${JSON.stringify([plan, Object.fromEntries(values), free, x])}`
          expect(plain(found.get(id)?.[k]), given).toBe(plain(value.toNumber()))
          expect(plain(whole.get(id)?.[k]), given).toBe(plain(value.toNumber()))
        }
      }
    }
  })

  it('an input without a value to hold it at is named', () => {
    const plan = blueprint(dice(1))
    const program = compile(
      build(recorded, plan, (_id, row) => recorded.input(row)),
      plan.inputs,
    )
    expect(() => held(program, new Map())).toThrow(`no value at which the input "${plan.inputs[0]}" is held`)
  })
})
