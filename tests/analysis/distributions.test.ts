import betaQuantile from '@stdlib/stats-base-dists-beta-quantile'
import { describe, expect, it, test } from 'vitest'
import { normalsBelow, normalsOf } from '../../src/analysis/distributions.js'
import { batchSize } from '../../src/analysis/draws.js'
import {
  drawer,
  meanOf,
  ofRange,
  quantile,
  quantileOf,
  shortfall,
  summary,
  together,
} from '../../src/analysis/index.js'

const one = (f: (p: Float64Array, n: number, into: Float64Array) => void, x: number): number => {
  const into = new Float64Array(1)
  f(Float64Array.of(x), 1, into)
  return into[0] as number
}

test.each([
  // probability, z, source
  [0.5, 0, 'by symmetry'],
  [0.9, 1.2815515655446004, 'Abramowitz and Stegun 1964, table 26.5 (from memory)'],
  [0.95, 1.6448536269514722, 'Abramowitz and Stegun 1964, table 26.5 (from memory)'],
  [0.975, 1.959963984540054, 'Abramowitz and Stegun 1964, table 26.5 (from memory)'],
  [0.999, 3.090232306167813, 'Abramowitz and Stegun 1964, table 26.5 (from memory)'],
  [
    0.00001,
    -4.264890793922825,
    'NIST Engineering Statistics Handbook 1.3.6.7.1 in more digits (from memory)',
  ],
])('the normal value of probability %s is %s: %s', (p, z) => {
  expect(Math.abs(one(normalsOf, p) - z)).toBeLessThan(2e-6)
  expect(Math.abs(one(normalsBelow, z) - p)).toBeLessThan(1e-10)
})

test.each([0, 0.05, 0.3, 0.5, 0.9, 1])(
  'PERT quantiles with the mode at %s are those of the beta distribution of a reference library',
  (mode) => {
    const q = quantileOf({ kind: 'pert', low: 0, likely: mode, high: 1 })
    for (const p of [0.0001, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99, 0.9999]) {
      expect(Math.abs(q(p) - betaQuantile(p, 1 + 4 * mode, 5 - 4 * mode))).toBeLessThan(2e-6)
    }
  },
)

/** Mean and variance of a quantile function over even steps of probability. */
function moments(q: (p: number) => number): readonly [number, number] {
  const n = 200_000
  const xs = Array.from({ length: n }, (_, i) => q((i + 0.5) / n))
  const mean = xs.reduce((a, b) => a + b, 0) / n
  return [mean, xs.reduce((a, b) => a + (b - mean) ** 2, 0) / n]
}

describe('moments in closed form', () => {
  const [a, m, b] = [20, 26, 44]
  it('triangular: mean (a+m+b)/3, variance (a²+m²+b²−am−ab−mb)/18 (Johnson, Kotz and Balakrishnan, from memory)', () => {
    const triangular = ofRange(a, m, b, 'triangular')
    const [mean, variance] = moments(quantileOf(triangular))
    expect(mean).toBeCloseTo((a + m + b) / 3, 5)
    expect(meanOf(triangular)).toBe(30)
    expect(variance).toBeCloseTo((a * a + m * m + b * b - a * m - a * b - m * b) / 18, 3)
  })
  it('PERT: mean (a+4m+b)/6 (Malcolm and others 1959), variance (mean−a)(b−mean)/7 (Vose 2000, from memory)', () => {
    const [mean, variance] = moments(quantileOf(ofRange(a, m, b)))
    expect(mean).toBeCloseTo((a + 4 * m + b) / 6, 4)
    expect(variance).toBeCloseTo(((mean - a) * (b - mean)) / 7, 3)
  })
  it('PERT: 2, 4 and 12 weeks are 5 weeks on average (textbook example, from memory)', () => {
    expect(meanOf(ofRange(2, 4, 12))).toBe(5)
  })
  it('lognormal: half below the median, a tenth above the ninetieth percentile; mean median × exp(σ²/2)', () => {
    const delay = { kind: 'lognormal', median: 4, p90: 12 } as const
    expect(quantileOf(delay)(0.5)).toBeCloseTo(4, 6)
    expect(quantileOf(delay)(0.9)).toBeCloseTo(12, 5)
    const sigma = Math.log(3) / 1.2815515655446004
    expect(meanOf(delay)).toBeCloseTo(4 * Math.exp((sigma * sigma) / 2), 8)
  })
  it('a range out of order is refused with its figures', () => {
    expect(() => ofRange(3, 2, 4)).toThrow('range 3 / 2 / 4')
  })
})

describe('a two-point loss', () => {
  // A loss of 1 000 with a chance of 2 %: mean 20; the worst twentieth is 2 parts loss and 3 parts nothing.
  const column = Float64Array.from({ length: 10_000 }, (_, i) => (i % 50 === 0 ? 1000 : 0))
  it('has mean p × L and an expected shortfall of p ÷ 0.05 × L in the worst 5 %', () => {
    const s = summary(column)
    expect(s.mean).toBeCloseTo(20, 9)
    expect(s.deviation).toBeCloseTo(1000 * Math.sqrt((0.02 * 0.98 * 10_000) / 9_999), 6)
    expect(s.worstTwentieth).toBeCloseTo(400, 9)
    expect([s.p10, s.p50, s.p90]).toEqual([0, 0, 0])
  })
  it('counts a draw that the cut splits in part', () => {
    expect(shortfall(Float64Array.of(1, 2, 3), 0.5)).toBeCloseTo((3 + 0.5 * 2) / 1.5, 12)
  })
})

test.each([
  // numpy 2.4.6: numpy.quantile([...], p), looked up by running it; R gives the same by default (type 7)
  [0.1, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 1.9],
  [0.25, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 3.25],
  [0.5, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 5.5],
  [0.9, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 9.1],
  [0.9, [2, 3, 5, 7, 11, 13, 17], 14.6],
  [0.1, [2, 3, 5, 7, 11, 13, 17], 2.6],
])('the %s quantile of %s is %s, as numpy gives it', (p, xs, x) => {
  expect(quantile(Float64Array.from(xs), p)).toBeCloseTo(x, 12)
})

describe('draws', () => {
  const uniform = (id: string) => ({ id, distribution: { kind: 'uniform', low: 0, high: 1 } as const })
  const columns = (n: number): Float64Array[] => Array.from({ length: n }, () => new Float64Array(batchSize))

  it('are those of xoroshiro128+ as Blackman and Vigna publish it, written out here with big integers', () => {
    const start = 7
    const mask = (1n << 64n) - 1n
    const turn = (x: bigint, k: bigint): bigint => ((x << k) | (x >> (64n - k))) & mask
    let [s0, s1] = [BigInt.asUintN(64, (-1n << 32n) | BigInt(~start >>> 0)), BigInt(start) << 32n]
    const next = (): bigint => {
      const out = (s0 + s1) & mask
      const x = s0 ^ s1
      ;[s0, s1] = [(turn(s0, 24n) ^ x ^ (x << 16n)) & mask, turn(x, 37n)]
      return out
    }
    const [found] = columns(1)
    drawer({ uncertain: [uniform('x')], correlations: [], start })(0, batchSize, [found as Float64Array])
    for (let i = 0; i < 100; i++) expect(found?.[i]).toBe((Number(next() & 0xffff_ffffn) + 0.5) / 2 ** 32)
  })

  it('of a batch do not hang on the batches before', () => {
    const plan = {
      uncertain: [uniform('x'), uniform('y')],
      correlations: together(['x', 'y'], 0.5),
      start: 3,
    }
    const [inOrder, alone] = [columns(2), columns(2)]
    const first = drawer(plan)
    for (const batch of [0, 1, 2, 3]) first(batch, batchSize, inOrder)
    drawer(plan)(3, batchSize, alone)
    expect(alone).toEqual(inOrder)
  })

  it('linked by a Gaussian copula: uniforms of coefficient ρ correlate by 6/π × asin(ρ/2) (Pearson 1907, from memory)', () => {
    const plan = {
      uncertain: ['a', 'b', 'c'].map(uniform),
      correlations: together(['a', 'b'], 0.6),
      start: 11,
    }
    const draw = drawer(plan)
    const into = columns(3)
    let [ab, ac, n] = [0, 0, 0]
    for (let batch = 0; batch < 50; batch++) {
      draw(batch, batchSize, into)
      for (let i = 0; i < batchSize; i++) {
        const [a, b, c] = into.map((column) => (column[i] as number) - 0.5) as [number, number, number]
        ab += 12 * a * b
        ac += 12 * a * c
        n += 1
      }
    }
    expect(ab / n).toBeCloseTo((6 / Math.PI) * Math.asin(0.3), 2)
    expect(Math.abs(ac / n)).toBeLessThan(0.01)
  })

  it('refuse correlations that contradict each other, and ones of figures that are not drawn', () => {
    const uncertain = ['a', 'b', 'c'].map(uniform)
    const link = (first: string, second: string, coefficient: number) => ({ first, second, coefficient })
    const contradiction = [link('a', 'b', 0.9), link('b', 'c', 0.9), link('a', 'c', -0.9)]
    expect(() => drawer({ uncertain, correlations: contradiction, start: 1 })).toThrow(
      'contradict each other',
    )
    expect(() => drawer({ uncertain, correlations: [link('a', 'z', 0.5)], start: 1 })).toThrow(
      '"z" is not drawn',
    )
  })
})
