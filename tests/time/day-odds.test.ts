import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { ofRange, quantileOf } from '../../src/analysis/distributions.js'
import {
  andThen,
  chanceBy,
  type DayOdds,
  dayWithChance,
  exactly,
  notBefore,
  pertDays,
  theLater,
  waitingDays,
} from '../../src/time/index.js'

const die: DayOdds = { from: 1, chances: Array.from({ length: 6 }, () => 1 / 6) }
const sum = (odds: DayOdds) => odds.chances.reduce((a, b) => a + b, 0)
const range = fc
  .tuple(fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 40 }))
  .map((days) => days.sort((a, b) => a - b) as [number, number, number])

describe('one stretch after another', () => {
  test.each([
    [2, 1 / 36],
    [7, 6 / 36],
    [12, 1 / 36],
  ])('two dice show %i with the chance every primer of probability gives', (total, chance) => {
    const two = andThen(die, die)
    expect(chanceBy(two, total) - chanceBy(two, total - 1)).toBeCloseTo(chance, 12)
  })

  test('the higher of two dice is at most 4 in 16 of 36 throws', () => {
    expect(chanceBy(theLater(die, die), 4)).toBeCloseTo(16 / 36, 12)
  })

  test('a die that shows at least 3: 3 in half of the throws', () => {
    expect(chanceBy(notBefore(die, 3), 3)).toBeCloseTo(0.5, 12)
    expect(notBefore(die, 3).from).toBe(3)
  })

  test('nine throws in ten show 5 or less and a little more, so that the day with 90 % is the sixth', () => {
    expect(dayWithChance(die, 0.9)).toBe(6)
    expect(dayWithChance(die, 5 / 6)).toBe(5)
    expect(dayWithChance(exactly(9), 0.9)).toBe(9)
  })

  it('adds up to one, and more of anything is never sooner', () => {
    fc.assert(
      fc.property(range, range, fc.integer({ min: 0, max: 90 }), ([a, b, c], [d, e, f], day) => {
        const both = andThen(pertDays(a, b, c), pertDays(d, e, f))
        expect(sum(both)).toBeCloseTo(1, 9)
        expect(chanceBy(both, day)).toBeLessThanOrEqual(chanceBy(pertDays(a, b, c), day) + 1e-9)
        expect(chanceBy(notBefore(both, day), day)).toBeCloseTo(chanceBy(both, day), 9)
      }),
    )
  })
})

describe('days from a range', () => {
  it('have the mean that PERT promises, (low + 4 × likely + high) ÷ 6, and half a day for rounding up', () => {
    const odds = pertDays(14, 30, 50)
    const mean = odds.chances.reduce((total, p, i) => total + p * (odds.from + i), 0)
    expect(mean).toBeCloseTo((14 + 4 * 30 + 50) / 6 + 0.5, 1)
  })

  it('agree with the curve that simulation draws from', () => {
    for (const p of [0.1, 0.5, 0.9, 0.97]) {
      expect(dayWithChance(pertDays(14, 30, 50), p)).toBe(Math.ceil(quantileOf(ofRange(14, 30, 50))(p)))
    }
    const wait = quantileOf({ kind: 'lognormal', median: 4, p90: 12 })
    for (const p of [0.1, 0.5, 0.9, 0.97])
      expect(dayWithChance(waitingDays(4, 3), p)).toBe(Math.ceil(wait(p)))
  })

  it('are one day where low and high are one, and refuse what does not rise', () => {
    expect(pertDays(3, 3, 3)).toEqual(exactly(3))
    expect(() => pertDays(5, 3, 9)).toThrow('days 5 / 3 / 9: give low, likely and high in rising order')
  })
})
