import { describe, expect, it } from 'vitest'
import {
  type CoverOutcome,
  coverAdvice,
  type LossTolerance,
  resultClasses,
} from '../../src/analysis/index.js'

const tolerance: LossTolerance = { amount: 2500, chance: 0.001, loading: 1.5 }
const outcome = (cover: string, certain: number, chance: number, bearable: boolean): CoverOutcome => ({
  cover,
  premium: certain,
  forcedServices: 0,
  certain,
  expectedRetained: 50,
  cost: certain + 75,
  chanceOverTolerance: chance,
  chanceBounds: { low: chance, high: chance },
  rarelyMore: bearable ? 250 : 9000,
  worstTotalLoss: bearable ? 250 : 54_000,
  worstGeneralAverage: 0,
  withinChance: chance <= 0.001,
  withinRuin: bearable || chance > 0.001,
  bearable,
})
const none = outcome('none', 0, 0.04, false)
const total = outcome('total-loss', 500, 0.0005, true)
const all = outcome('all-risks', 2400, 0, true)
const labels = new Map([
  ['all-risks', 'All risks'],
  ['total-loss', 'Total loss only'],
])
const advice = (outcomes: readonly CoverOutcome[], planned?: string) => {
  const { cover, sentence } = coverAdvice(outcomes, tolerance, 'EUR', labels, planned)
  return { cover, sentence: sentence.replaceAll('\u00a0', ' ') }
}

describe('the cover decision in words', () => {
  it('is the least-cost one that can be borne, with its figures', () => {
    const { cover, sentence } = advice([total, all, none])
    expect(cover).toBe('total-loss')
    expect(sentence).toContain('EUR 500 for premium and services it asks for')
    expect(sentence).toContain('in 1 move in 2,000, and you accept 1 move in 1,000')
  })

  it('is no cover for who can bear it, and then warns of general average', () => {
    const { cover, sentence } = advice([{ ...none, bearable: true, chanceOverTolerance: 0.0009 }, total])
    expect(cover).toBe('none')
    expect(sentence).toContain('general average')
  })

  it('is the safest where nothing can be borne, and says so', () => {
    const { cover, sentence } = advice([{ ...all, chanceOverTolerance: 0.002, bearable: false }, none])
    expect(cover).toBe('all-risks')
    expect(sentence).toContain('No cover can be borne: even all risks, the safest,')
    expect(sentence).toContain('licensed broker')
  })

  it('says of the planned cover what it would cost or save, and why it is not the one', () => {
    expect(advice([total, all, none], 'all-risks').sentence).toContain(
      'The plan has all risks, which costs EUR 1,900 more and can be borne as well.',
    )
    expect(advice([total, all, none], 'none').sentence).toContain('in 1 move in 25')
    const ruinous = { ...none, withinChance: true, chanceOverTolerance: 0.0005, withinRuin: false }
    expect(advice([total, ruinous], 'none').sentence).toContain('one loss could cost you EUR 54,000 at once')
    expect(advice([total, all], 'total-loss').sentence).not.toContain('The plan has')
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
