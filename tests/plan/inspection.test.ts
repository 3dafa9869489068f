import { describe, expect, it } from 'vitest'
import { openTradeMove, planAt, type TradeMove, usd } from '../trade/moves.js'

const base: TradeMove = {
  name: 'Norway to the United States',
  home: '20-foot',
  from: 'NO',
  to: 'US',
  exchange: { NOK: '0.099', EUR: '1.16' },
}
const at = (change: Partial<TradeMove>) =>
  planAt(openTradeMove({ ...base, ...change }), { transport: '22G1' })
const likely = (plan: ReturnType<typeof at>, id: string) => plan.inputs.numbers.get(id)?.likely.toNumber()

describe('where inspection is the rule', () => {
  // Australian agriculture department: all consignments of personal effects are subject to biosecurity intervention
  // (looked up 2026-11-26); New Zealand: full containers go to an approved facility (a forwarder's notice, secondary).
  it.each([
    ['AU', { AUD: '0.65' }],
    ['NZ', { NZD: '0.57' }],
  ] as const)('%s plans its cost and its days; elsewhere it is a chance of one in twenty', (to, money) => {
    const there = at({ to, exchange: { ...base.exchange, ...money } })
    const elsewhere = at({})
    expect([likely(there, 'inspection.probability'), likely(elsewhere, 'inspection.probability')]).toEqual([
      1, 0.05,
    ])
    expect(usd(there, 'cost.destination.biosecurity')).toBeGreaterThan(0)
    expect(usd(there, 'cost.destination.inspection')).toBe(0)
    const door = (plan: ReturnType<typeof at>) =>
      Number(plan.sheet.cells.get('time.on.delivery')?.value) -
      Number(plan.sheet.cells.get('time.on.release')?.value)
    expect(door(there) - door(elsewhere)).toBe(likely(there, 'time.biosecurity-days'))
    expect(likely(elsewhere, 'time.biosecurity-days')).toBeUndefined()
  })

  it('a container from Colombia is searched for drugs before it leaves, as a line of the origin', () => {
    const from = at({ from: 'CO', exchange: { COP: '0.00025', EUR: '1.16' } })
    expect(usd(from, 'cost.origin.drug-inspection')).toBe(250)
    expect(usd(at({}), 'cost.origin.drug-inspection')).toBe(0)
  })
})
