import { beforeAll, describe, expect, it } from 'vitest'
import { customsAdvice } from '../../src/analysis/index.js'
import { numberedCartons } from '../../src/load/index.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { exact } from '../../src/quantity/index.js'
import { amount, openDemo, plansOf, planWith } from './households.js'

let move: Move
let plan: Plan

beforeAll(async () => {
  move = await openDemo('valparaiso-gdynia')
  plan = plansOf(move)[1] as Plan
})

describe('what a household can do about customs', () => {
  it('lists what the plan ships: the masses and the values of list and plan agree', () => {
    const { list } = customsAdvice(move, plan)
    expect(list.massKg.toNumber()).toBeCloseTo(amount(plan, 'mass.goods') + amount(plan, 'mass.vehicles'), 6)
    const inHousehold = list.totals.map(({ currency, value }) =>
      currency === 'EUR'
        ? value
        : value.times(move.household.exchange.find((x) => x.from === currency && x.to === 'EUR')?.rate ?? 0),
    )
    expect(exact.sum(inHousehold).toDecimalPlaces(2).toNumber()).toBe(amount(plan, 'value.declared'))
  })

  it('names the cartons of the load plan', () => {
    const cartons = numberedCartons(move, plan)
    const marks = (line: string) =>
      cartons.filter((c) => c.contents.some((in_) => in_.line === line)).map((c) => c.number)
    const { list } = customsAdvice(move, plan, ({ line }) => marks(line).join(' ') || undefined)
    const known = new Set(cartons.map((c) => c.number))
    const named = list.lines.flatMap((line) => line.package.split(' ')).filter((mark) => /^C-\d+$/.test(mark))
    expect(named.length).toBeGreaterThan(100)
    expect(named.every((mark) => known.has(mark))).toBe(true)
    expect(new Set(named).size).toBe(known.size)
  })

  it('saves what it says: importing without the charged lines charges nothing', () => {
    const { whatIf } = customsAdvice(move, plan)
    if (!whatIf) throw new Error('not determined')
    const left = Object.fromEntries(whatIf.nilWithout.map((line) => [`take.${line}`, 'leave']))
    expect(amount(planWith(move, { ...left, 'service-level': 'part' }), 'cost.customs.total')).toBe(0)
  })

  it('weighs shipping a charged thing against leaving it', () => {
    const { shipOrLeave } = customsAdvice(move, plan)
    expect(shipOrLeave.length).toBeGreaterThan(3)
    for (const s of shipOrLeave) {
      expect(s.shipping.eq(s.charges.plus(s.freight))).toBe(true)
      if (!s.replacing || s.advice === 'stop') continue
      const cheaper = s.open.length > 0 ? 'not determined' : 'ship'
      expect(s.advice).toBe(s.shipping.gt(s.replacing) ? 'leave' : cheaper)
    }
  })
})
