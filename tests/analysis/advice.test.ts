import { describe, expect, it } from 'vitest'
import { type CoverOutcome, coverAdvice, resultClasses } from '../../src/analysis/index.js'

const outcome = (
  cover: string,
  certain: number,
  kept: number,
  worst: number,
  tolerance: number,
): CoverOutcome => ({
  cover,
  certain,
  expectedRetained: kept,
  expectedCost: certain + kept,
  worstRetained: worst,
  worstCost: certain + worst,
  mostRetained: 9000,
  chanceOverTolerance: worst > tolerance ? 0.03 : 0,
  withinTolerance: worst <= tolerance,
})
const labels = new Map([
  ['all-risks', 'All risks'],
  ['total-loss', 'Total loss only'],
])
const at = (tolerance: number) =>
  [
    outcome('none', 0, 300, 3000, tolerance),
    outcome('total-loss', 500, 250, 1900, tolerance),
    outcome('all-risks', 2400, 50, 230, tolerance),
  ].toSorted(
    (a, b) => Number(b.withinTolerance) - Number(a.withinTolerance) || a.expectedCost - b.expectedCost,
  )
const advice = (tolerance: number, planned?: string) =>
  coverAdvice(at(tolerance), tolerance, 'EUR', labels, planned)

describe('the cover decision in words', () => {
  it('is the cheapest that can be borne, with its figures', () => {
    expect(advice(2500).cover).toBe('total-loss')
    expect(advice(2500).sentence.replaceAll('\u00a0', ' ')).toContain(
      'EUR 750 on average (EUR 500 for premium and services it forces, EUR 250 of damage that you still bear)',
    )
  })

  it('is no cover for who can bear it, and then warns of general average', () => {
    expect(advice(5000).cover).toBe('none')
    expect(advice(5000).sentence).toContain('general average')
  })

  it('is what leaves least where nothing can be borne, and says so', () => {
    expect(advice(100).cover).toBe('all-risks')
    expect(advice(100).sentence).toContain('No choice keeps')
    expect(advice(100).sentence).toContain('In 3 moves of 100 you would bear more')
    expect(advice(100).sentence).toMatch(/up to EUR\s9,000 in these draws/)
  })

  it('says what the planned cover would cost more', () => {
    expect(advice(2500, 'all-risks').sentence.replaceAll('\u00a0', ' ')).toContain(
      'EUR 1,700 more on average',
    )
    expect(advice(2500, 'total-loss').sentence).not.toContain('The plan has')
  })
})

describe('classes of results', () => {
  it('are of one round width, hold every draw, and the last holds the tail', () => {
    const column = Float64Array.from({ length: 1000 }, (_, i) => (i === 999 ? 1e6 : i))
    const classes = resultClasses(column, 10)
    expect(classes).toHaveLength(10)
    expect(classes.map(({ from }) => from)).toEqual([0, 100, 200, 300, 400, 500, 600, 700, 800, 900])
    expect(classes.map(({ share }) => share)).toEqual(Array(10).fill(0.1))
  })

  it('is one class where all draws are alike', () => {
    expect(resultClasses(new Float64Array(5).fill(7))).toEqual([{ from: 7, until: 8, share: 1 }])
  })
})
