import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import {
  coverOutcomes,
  retained,
  retainedLoss,
  safetySteps,
  type TransitLoss,
} from '../../src/insurance/index.js'
import { exact } from '../../src/quantity/index.js'

/** One cover that answers for damage and total loss by fire; nothing else happens unless a test says so. */
const fireOnly = (over: Partial<TransitLoss> = {}): TransitLoss => ({
  covers: ['fire'],
  damage: {
    chance: 0,
    median: 0.02,
    oneInHundred: 0.2,
    perils: [{ peril: 'fire', share: 1, answers: [true] }],
  },
  totalLoss: { chance: 0, perils: [{ peril: 'fire', share: 1, answers: [true] }] },
  generalAverage: { chance: 0, low: 0.1, likely: 0.2, high: 0.54, answers: [false] },
  ...over,
})
const goods = { valueAtRisk: 50_000, sumInsured: 50_000, average: 'after average' as const }
const none = { ...goods, place: -1, deductible: 0 }

describe('a retained loss, against closed forms', () => {
  it('mean of a lognormal loss: exp(μ + σ²/2), Johnson, Kotz and Balakrishnan 1994 ch. 14 (from memory)', () => {
    // Far below the cut at 1, so that the cut does not matter: median 0.01, one in a hundred 0.02.
    const loss = fireOnly({
      damage: { chance: 1, median: 0.01, oneInHundred: 0.02, perils: [] },
    })
    const sigma = Math.log(2) / 2.3263478740408408
    expect(retainedLoss(loss, none).expected).toBeCloseTo(500 * Math.exp(sigma ** 2 / 2), 6)
  })

  it('one damage in a hundred exceeds the stated share, half exceed the median: by definition', () => {
    const left = retainedLoss(fireOnly({ damage: { ...fireOnly().damage, chance: 1 } }), none)
    expect(left.chanceOver(0.2 * 50_000).high).toBeCloseTo(0.01, 9)
    expect(left.chanceOver(0.02 * 50_000).low).toBeCloseTo(0.5, 9)
    expect(left.exceededWith(0.01)).toBeCloseTo(10_000, 1)
  })

  it('two independent events: 1 − (1 − p)(1 − q) that anything is left', () => {
    const loss = fireOnly({
      totalLoss: { chance: 0.01, perils: [] },
      generalAverage: { chance: 0.02, low: 0.1, likely: 0.1, high: 0.1, answers: [false] },
    })
    const { low, high } = retainedLoss(loss, none).chanceOver(0)
    expect(low).toBeCloseTo(1 - 0.99 * 0.98, 14)
    expect(high).toBeCloseTo(1 - 0.99 * 0.98, 14)
    // Both at once: everything lost, and a tenth owed on top.
    expect(retainedLoss(loss, none).chanceOver(50_000).high).toBeCloseTo(0.01 * 0.02, 14)
  })

  it('a total loss under average: what is not insured stays (Marine Insurance Act 1906 s. 81)', () => {
    const loss = fireOnly({ totalLoss: { chance: 0.01, perils: fireOnly().totalLoss.perils } })
    const left = retainedLoss(loss, { ...goods, sumInsured: 30_000, place: 0, deductible: 500 })
    expect(left.worstTotalLoss).toBeCloseTo(20_500, 9)
    expect(left.expected).toBeCloseTo(205, 9)
  })

  it('bounds hold and close in as the lattice gets finer', () => {
    const loss = fireOnly({ generalAverage: { ...fireOnly().generalAverage, chance: 0.001 } })
    const left = retainedLoss(loss, none)
    // PERT 0.1 / 0.2 / 0.54 is a beta distribution with 1 + 4 × 0.1/0.44 and 5 − 4 × 0.1/0.44 on that range; no damage here.
    for (const amount of [4000, 9000, 12_000, 20_000, 28_000]) {
      const [rough, fine] = [left.chanceOver(amount, 64), left.chanceOver(amount, 8192)]
      expect(rough.low).toBeLessThanOrEqual(fine.low + 1e-15)
      expect(rough.high).toBeGreaterThanOrEqual(fine.high - 1e-15)
      expect(fine.high - fine.low).toBeLessThan((2.5 * 0.001) / 8192)
    }
  })
})

describe('a retained loss, for every cover', () => {
  const share = fc.double({ min: 0, max: 1, noNaN: true })
  it('of one damage is what the claim formula leaves, whatever the deductible and the sum insured', () => {
    fc.assert(
      fc.property(
        share,
        fc.integer({ min: 0, max: 60_000 }),
        fc.integer({ min: 0, max: 3000 }),
        fc.constantFrom('after average' as const, 'before average' as const),
        (lost, sumInsured, deductible, average) => {
          fc.pre(lost > 1e-6)
          // A damage of one size: median and one in a hundred the same.
          const loss = fireOnly({
            damage: { ...fireOnly().damage, chance: 1, median: lost, oneInHundred: lost },
          })
          const left = retainedLoss(loss, { valueAtRisk: 50_000, sumInsured, average, place: 0, deductible })
          const formula = retained(
            exact,
            {
              loss: exact.of(50_000).times(lost),
              contribution: exact.of(0),
              sumInsured: exact.of(sumInsured),
              valueAtRisk: exact.of(50_000),
            },
            { answers: exact.of(1), paysGeneralAverage: false, deductible: exact.of(deductible) },
            average,
          )
          expect(left.expected).toBeCloseTo(formula.toNumber(), 6)
        },
      ),
    )
  })

  it('a greater amount is exceeded no oftener', () => {
    const loss = fireOnly({
      damage: { ...fireOnly().damage, chance: 0.2 },
      totalLoss: { chance: 0.001, perils: [] },
      generalAverage: { ...fireOnly().generalAverage, chance: 0.001 },
    })
    const left = retainedLoss(loss, { ...goods, sumInsured: 40_000, place: 0, deductible: 250 })
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 80_000 }), fc.integer({ min: 0, max: 20_000 }), (x, more) => {
        expect(left.chanceOver(x + more).high).toBeLessThanOrEqual(left.chanceOver(x).high + 1e-15)
      }),
      { numRuns: 40 },
    )
  })
})

describe('the cover decision', () => {
  const loss: TransitLoss = {
    covers: ['wide', 'total'],
    damage: {
      chance: 0.2,
      median: 0.02,
      oneInHundred: 0.2,
      perils: [{ peril: 'breakage', share: 1, answers: [true, false] }],
    },
    totalLoss: { chance: 0.001, perils: [{ peril: 'fire', share: 1, answers: [true, true] }] },
    generalAverage: { chance: 0.0005, low: 0.1, likely: 0.2, high: 0.5, answers: [true, false] },
  }
  const offers = [
    { cover: 'wide', premium: 2000, forcedServices: 600, deductible: 250 },
    { cover: 'total', premium: 500, forcedServices: 0, deductible: 0 },
  ]
  const decide = (amount: number, chance: number, ruin?: number) =>
    coverOutcomes(loss, goods, offers, {
      amount,
      chance,
      loading: 1.5,
      ...(ruin === undefined ? {} : { ruin }),
    })[0]?.cover

  test.each<[number, number, number | undefined, string, string]>([
    // could bear, accepted chance, would ruin, cover, why
    [
      60_000,
      0.001,
      undefined,
      'none',
      'by hand: everything lost is 50,000, and both at once is 1 in 2 million',
    ],
    [
      45_000,
      0.0009,
      undefined,
      'total',
      'by hand: everything lost happens in 1 move in 1,000, which is too often',
    ],
    [2500, 0.001, undefined, 'wide', 'by hand: one damage in a few is over 2,500'],
    [45_000, 0.0009, 20_000, 'wide', 'by hand: general average of half the value is 25,000'],
    [45_000, 0.0009, 25_000, 'total', 'by hand: exactly what would ruin is borne'],
  ])('tolerance %s at %s, ruin %s: %s (%s)', (amount, chance, ruin, cover) => {
    expect(decide(amount, chance, ruin)).toBe(cover)
  })

  it('is the safest where none can be borne', () => {
    expect(decide(10, 0)).toBe('wide')
  })

  it('each step of safety costs more and leaves less chance; a dearer and less safe cover is no step', () => {
    const outcomes = coverOutcomes(
      loss,
      goods,
      [...offers, { cover: 'dear', premium: 9000, forcedServices: 0, deductible: 0 }],
      { amount: 2500, chance: 0.001, loading: 1.5 },
    )
    const steps = safetySteps(outcomes)
    expect(steps.map(({ cover }) => cover)).toEqual(['none', 'total', 'wide'])
    for (const [k, step] of steps.entries()) {
      const before = steps[k - 1]
      if (!before) continue
      expect(step.chance).toBeLessThan(before.chance)
      expect(step.price).toBeCloseTo(step.cost - before.cost, 9)
    }
  })
})
