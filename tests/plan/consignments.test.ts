import { describe, expect, it } from 'vitest'
import { customsAdvice } from '../../src/analysis/index.js'
import { openMove } from '../../src/plan/open.js'
import { amount, plansOf, planWith } from './households.js'
import { type Given, writtenHousehold } from './written-household.js'

const opened = (given: Given) => openMove(writtenHousehold(given))

const crate = (change: { readonly consignment: string; readonly condition?: string }) =>
  `A-1,Loft,Camera case,1,0.3,12,2000,3000,2022-05-01,${change.condition ?? 'good'},${change.consignment},camera,crated,ship,`

describe('a second consignment', () => {
  it('takes no room in the container, and costs its own carriage', async () => {
    const without = plansOf(await opened({ lines: [] }))[0]
    const apart = plansOf(
      await opened({
        lines: [crate({ consignment: 'air' })],
        consignments: ['air,air,2027-03-20,640,45,80,'],
      }),
    )[0]
    if (!without || !apart) throw new Error('no plan')
    expect(amount(apart, 'volume.net')).toBe(amount(without, 'volume.net'))
    expect(amount(apart, 'cost.crossing.consignment.air')).toBe(765)
    expect(amount(apart, 'cost.crossing.total') - amount(without, 'cost.crossing.total')).toBeCloseTo(765, 6)
    expect(amount(apart, 'cost.total') - amount(without, 'cost.total')).toBeCloseTo(765, 6)
  })

  // Norway: value, freight and insurance to the border, 25 % VAT on them (Norwegian Customs, looked up 2026-11-26;
  // the rate secondary); new things are not relieved: form RD0030 (looked up).
  it('has its own freight in its own customs value', async () => {
    const plan = plansOf(
      await opened({
        lines: [crate({ consignment: 'air', condition: 'new' })],
        consignments: ['air,air,2027-03-20,640,45,80,'],
      }),
    )[0]
    if (!plan) throw new Error('no plan')
    // 20,000 NOK of goods, 6,850 of freight and cover; what brings it to the door from there is outside.
    expect(amount(plan, 'duty.entry.camera.dutiable')).toBe(26_850)
    expect(amount(plan, 'cost.customs.total')).toBe(671.3)
  })

  it('is judged on its own day: a late one misses the window that the container keeps', async () => {
    const late = plansOf(
      await opened({ lines: [crate({ consignment: 'late' })], consignments: ['late,sea,2028-03-07,300,,,'] }),
    )[0]
    if (!late) throw new Error('no plan')
    const verdicts = Object.fromEntries(
      late.sheet.customs.assessments.map(({ line, verdict }) => [line.id, verdict]),
    )
    // Twelve months after arriving on 6 March 2027, to be extended on application: form RD0030 (looked up).
    expect(verdicts).toEqual({ 'L-1': 'qualifies', 'L-2': 'qualifies', 'A-1': 'discretionary' })
  })

  // 750,000 rupees free once in all: Baggage Rules 2026 (looked up 2026-11-25).
  it('shares relief that is given once, the earlier consignment first', async () => {
    const india = {
      facts: { destination_country: 'IN' },
      exchange: ['INR,USD,0.01,2026-11-20,invented'],
      people: 'A,returning,yes,2010-01-01,2027-03-03,2027-03-06,48',
      lines: ['A-1,Loft,Camera case,1,0.3,12,7000,9000,2022-05-01,good,air,camera,crated,ship,'],
    }
    const plan = plansOf(await opened({ ...india, consignments: ['air,air,2027-03-20,0,,,'] }))[0]
    if (!plan) throw new Error('no plan')
    const entries = ['camera', 'furniture', 'kitchenware'].map((name) =>
      amount(plan, `duty.entry.${name}.duty`),
    )
    const taken = entries.map((duty) => duty > 0)
    // 700,000 of the 750,000 go with the first one, so the container, worth 200,000 and its freight, pays.
    expect(taken).toEqual([false, true, true])
  })

  it('can be left, and then costs nothing', async () => {
    const move = await opened({
      lines: [crate({ consignment: 'air' })],
      consignments: ['air,air,2027-03-20,640,45,80,'],
    })
    const plan = planWith(move, { 'take.A-1': 'leave' })
    expect(amount(plan, 'cost.crossing.consignment.air')).toBe(0)
    const dearer = planWith(move, { 'consignment.air.freight': '1000' })
    expect(amount(dearer, 'cost.crossing.consignment.air')).toBe(1125)
  })

  it('stands in the list for customs and in the advice with its share of its own freight', async () => {
    const move = await opened({
      lines: [crate({ consignment: 'air', condition: 'new' })],
      consignments: ['air,air,2027-03-20,640,45,80,'],
    })
    const plan = plansOf(move)[0]
    if (!plan) throw new Error('no plan')
    const advice = customsAdvice(move, plan)
    expect(advice.list.lines.map(({ line }) => line)).toContain('A-1')
    expect(advice.whatIf?.total.toFixed(0)).toBe('6713')
    expect(advice.shipOrLeave.find(({ id }) => id === 'A-1')?.freight.toFixed(2)).toBe('640.00')
  })

  it.each([
    [crate({ consignment: 'ail' }), 'consignment: found "ail"'],
    [crate({ consignment: 'air' }).replace(',ship,', ',carry,'), 'take: found "carry"'],
    [`${crate({ consignment: 'air' })}2027-05-01`, 'import_on: found "2027-05-01"'],
  ])('%s is refused: %s', async (line, message) => {
    const opening = opened({ lines: [line], consignments: ['air,air,2027-03-20,640,45,80,'] })
    await expect(opening).rejects.toThrow()
    await opening.catch((error: { problems?: unknown; message: string }) => {
      const text = `${error.message} ${JSON.stringify(error.problems)}`
      const [column = '', found = ''] = message.split(': found ')
      expect(text).toContain(column)
      expect(text).toContain(found.replaceAll('"', ''))
    })
  })
})
