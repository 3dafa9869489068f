import { beforeAll, describe, expect, it } from 'vitest'
import type { Move } from '../../src/plan/index.js'
import { amount, openDemo, planWith } from './households.js'

let demo: Move
beforeAll(async () => {
  demo = await openDemo('valparaiso-gdynia')
})

describe('quotes on one footing', () => {
  it('adds up as a person would: stated, for the volume, left out, not wanted', () => {
    const plan = planWith(demo, { 'service-level': 'full' })
    for (const q of ['Q1', 'Q2', 'Q3']) {
      const [stated, volume, left, off] = ['stated', 'for-volume', 'left-out', 'not-wanted'].map((part) =>
        amount(plan, `quotes.${q}.${part}`),
      )
      expect(amount(plan, `quotes.${q}.like-for-like`)).toBeCloseTo(
        (stated ?? 0) + (volume ?? 0) + (left ?? 0) - (off ?? 0),
        8,
      )
    }
  })

  it('scales only what goes by volume: by hand, Q1 has 1 450 and 820 quoted for 36 m³', () => {
    const plan = planWith(demo, {})
    const packed = amount(plan, 'volume.packed')
    const byHand = ((1450 + 820) * packed) / 36 - (1450 + 820)
    expect(amount(plan, 'quotes.Q1.for-volume')).toBeCloseTo(byHand, 2)
  })

  it('is not moved by a quote whose volume is the household’s own', () => {
    const packed = planWith(demo, {}).sheet.cells.get('volume.packed')?.value.toString() ?? ''
    expect(amount(planWith(demo, { 'quote.Q1.volume': packed }), 'quotes.Q1.for-volume')).toBe(0)
  })

  it('takes off what the household does itself', () => {
    const diy = planWith(demo, {
      'service-level': 'diy',
      'provider.crating': 'none',
      'provider.survey': 'none',
    })
    expect(amount(diy, 'quotes.Q1.not-wanted')).toBeGreaterThan(0)
  })
})
