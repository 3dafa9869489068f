import { describe, expect, it } from 'vitest'
import { batchSize, drawer } from '../../src/analysis/draws.js'
import {
  outputId,
  rankCorrelations,
  recordScenarios,
  simulationPlan,
  simulationSobol,
  sobolIndices,
} from '../../src/analysis/index.js'
import { openDemo, plansOf } from '../plan/households.js'

const uniforms = (figures: number, batch: number, low: number, high: number): Float64Array[] => {
  const columns = Array.from({ length: figures }, () => new Float64Array(batchSize))
  const distribution = { kind: 'uniform', low, high } as const
  drawer({
    uncertain: columns.map((_, k) => ({ id: `x${k}`, distribution })),
    correlations: [],
    start: 7,
  })(batch, batchSize, columns)
  return columns
}

describe('Sobol indices', () => {
  it('of the Ishigami function are those in closed form (Ishigami and Homma 1990; Saltelli et al. 2000)', () => {
    // sin x1 + 7 sin² x2 + 0.1 x3⁴ sin x1 between −π and π.
    const [a, b] = [7, 0.1]
    const ishigami = ([x, y, z]: readonly Float64Array[], count: number) =>
      Float64Array.from({ length: count }, (_, i) => {
        const s = Math.sin(x?.[i] ?? 0)
        return s + a * Math.sin(y?.[i] ?? 0) ** 2 + b * (z?.[i] ?? 0) ** 4 * s
      })
    const first = 0.5 * (1 + (b * Math.PI ** 4) / 5) ** 2
    const second = a ** 2 / 8
    const cross = b ** 2 * Math.PI ** 8 * (1 / 18 - 1 / 50)
    const variance = first + second + cross
    const found = sobolIndices(
      ishigami,
      uniforms(3, 0, -Math.PI, Math.PI),
      uniforms(3, 1, -Math.PI, Math.PI),
      batchSize,
    )
    const closed = [
      [first / variance, (first + cross) / variance],
      [second / variance, second / variance],
      [0, cross / variance],
    ]
    expect(closed[0]?.[0]).toBeCloseTo(0.3139, 4)
    for (const [k, { firstOrder, total }] of found.entries()) {
      expect(Math.abs(firstOrder - (closed[k]?.[0] ?? 9)), `first order of x${k + 1}`).toBeLessThan(0.04)
      expect(Math.abs(total - (closed[k]?.[1] ?? 9)), `total of x${k + 1}`).toBeLessThan(0.04)
    }
  })

  it('of a sum are the shares of its variance, first order and total alike, and of a constant zero', () => {
    const sum = ([x, y]: readonly Float64Array[], count: number) =>
      Float64Array.from({ length: count }, (_, i) => (x?.[i] ?? 0) + 2 * (y?.[i] ?? 0))
    const found = sobolIndices(sum, uniforms(2, 0, 0, 1), uniforms(2, 1, 0, 1), batchSize)
    for (const [k, share] of [0.2, 0.8].entries()) {
      expect(Math.abs((found[k]?.firstOrder ?? 9) - share)).toBeLessThan(0.03)
      expect(Math.abs((found[k]?.total ?? 9) - share)).toBeLessThan(0.03)
    }
    const flat = sobolIndices(
      (_, count) => new Float64Array(count).fill(3),
      uniforms(2, 0, 0, 1),
      uniforms(2, 1, 0, 1),
      100,
    )
    expect(flat).toEqual([
      { firstOrder: 0, total: 0 },
      { firstOrder: 0, total: 0 },
    ])
  })
})

describe('what drives the total of a household', () => {
  it('first-order indices add up to about one or less, totals are no less than they; ranks agree on the strongest', async () => {
    const move = await openDemo('student-tromso-wellington')
    const scenarios = recordScenarios(move, plansOf(move)).slice(0, 1)
    const plan = simulationPlan(move, scenarios, ['cost.total'])
    const output = outputId(scenarios[0]?.name ?? '', 'cost.total')
    const ids = plan.draws.uncertain.map(({ id }) => id)
    const indices = simulationSobol(plan, output, ids, 2048)
    expect(indices.reduce((sum, { firstOrder }) => sum + Math.max(0, firstOrder), 0)).toBeLessThan(1.6)
    for (const { id, firstOrder, total } of indices) expect(firstOrder, id).toBeLessThan(total + 0.1)
    const ranks = rankCorrelations(plan, output, 2048)
    for (const { correlation } of ranks) expect(Math.abs(correlation)).toBeLessThanOrEqual(1 + 1e-12)
    const strongest = indices.toSorted((a, b) => b.total - a.total).slice(0, 5)
    expect(strongest.map(({ id }) => id)).toContain(ranks[0]?.id)
  })

  it('examines or does not, and moves exchange rates around the dated one', async () => {
    const move = await openDemo('valparaiso-gdynia')
    const plan = simulationPlan(move, recordScenarios(move, plansOf(move)).slice(0, 1), ['cost.total'])
    const kinds = new Map(plan.draws.uncertain.map(({ id, distribution }) => [id, distribution.kind]))
    expect(kinds.get('inspection.probability')).toBe('chance')
    expect(kinds.get('exchange.USD')).toBe('lognormal')
    expect([...kinds.keys()].filter((id) => id.startsWith('survey.room.')).length).toBeGreaterThan(3)
    const linked = plan.draws.correlations.map(({ first, second }) => [first, second])
    expect(linked.flat()).toContain('cost.origin.wage')
    for (const [a = '', b = ''] of linked) {
      // A terminal's tariff does not follow wages.
      expect(/terminal/.test(`${a} ${b}`) && /wage/.test(`${a} ${b}`)).toBe(false)
    }
  })
})
