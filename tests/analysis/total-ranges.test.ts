import { describe, expect, it } from 'vitest'
import { recommend, totalRanges } from '../../src/analysis/index.js'
import { openDemo, plansOf, planWith } from '../plan/households.js'

const move = await openDemo('student-tromso-wellington')
const plans = plansOf(move)

describe('the ranges beside totals', () => {
  it('rise from P10 to P90, inside the guaranteed bounds, and are the same every time', () => {
    const ranges = totalRanges(move, plans)
    expect(ranges.map(({ scenario }) => scenario)).toEqual(plans.map(({ name }) => name))
    for (const [k, { p10, p50, p90 }] of ranges.entries()) {
      const bounds = plans[k]?.range.cells.get('cost.total')?.value
      expect(p10).toBeLessThanOrEqual(p50)
      expect(p50).toBeLessThanOrEqual(p90)
      expect(bounds?.low.lte(p10 + 1)).toBe(true)
    }
    expect(totalRanges(move, plans)).toEqual(ranges)
  })

  it('are the same for the scenarios beside a recommended one that was added to them', () => {
    const shown = recommend(move, [planWith(move, { cover: 'none', 'loss.chance': '0' }), ...plans]).plans
    const alone = totalRanges(move, plans)
    const beside = totalRanges(move, shown)
    for (const range of alone) expect(beside).toContainEqual(range)
  })
})
