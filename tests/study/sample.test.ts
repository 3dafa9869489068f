import { spawnSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'
import { permutation } from '../../src/study/permutation.js'
import { latinHypercube, sobolSample } from '../../src/study/sample.js'
import { SOBOL_DIMENSIONS, sobolDimension } from '../../src/study/sobol.js'
import { pythonWith } from '../python.js'

const range = (count: number): number[] => Array.from({ length: count }, (_, k) => k)
const share = (x: number): number => x / 2 ** 32

describe('an order by index', () => {
  it('has every place once, whatever the count', () => {
    for (const count of [1, 2, 3, 4, 5, 16, 17, 63, 64, 65, 1000, 4096, 70_001]) {
      for (const key of [0, 1, 987_654_321]) {
        const places = range(count).map(permutation(count, key))
        expect(new Set(places).size, `${count} with ${key}`).toBe(count)
        expect(Math.max(...places)).toBe(count - 1)
      }
    }
  })

  it.each([3, 7, 20])('of %i puts each first about equally often', (count) => {
    const tries = 400 * count
    const seen = new Array<number>(count).fill(0)
    for (let key = 0; key < tries; key++) {
      const first = permutation(count, key)(0)
      seen[first] = (seen[first] ?? 0) + 1
    }
    // Pearson's chi-squared; its mean is count − 1 and its variance twice that: six deviations.
    const chi = seen.reduce((sum, n) => sum + (n - 400) ** 2 / 400, 0)
    expect(chi).toBeLessThan(count - 1 + 6 * Math.sqrt(2 * (count - 1)))
  })
})

describe('a Latin hypercube', () => {
  const a = { id: 'a', low: 0, high: 1 }
  const b = { id: 'b', low: -3, high: 11 }
  const n = 257
  const column = (id: string, seed: number, ...ranges: (typeof a)[]): number[] =>
    range(n).map((k) => latinHypercube(ranges, n, seed).get(id)?.(k) ?? Number.NaN)

  it('draws once from each stratum of each range (McKay, Beckman and Conover 1979, from memory)', () => {
    const strata = (values: number[], low: number, width: number): number[] =>
      values.map((v) => Math.floor(((v - low) / width) * n))
    const ofA = strata(column('a', 5, a, b), 0, 1)
    const ofB = strata(column('b', 5, a, b), -3, 14)
    expect([...ofA].sort((x, y) => x - y)).toEqual(range(n))
    expect([...ofB].sort((x, y) => x - y)).toEqual(range(n))
    expect(ofA).not.toEqual(ofB)
  })

  it('is the same for a seed, another for another, and keeps a range when others come after it', () => {
    expect(column('a', 5, a)).toEqual(column('a', 5, a, b))
    expect(column('a', 5, a)).not.toEqual(column('a', 6, a))
  })

  it('has columns that go together no more than chance would have it', () => {
    const ranges = range(8).map((k) => ({ id: String(k), low: 0, high: 1 }))
    const count = 4000
    for (const seed of [1, 2, 3]) {
      const sample = latinHypercube(ranges, count, seed)
      const columns = ranges.map(({ id }) => range(count).map((k) => (sample.get(id)?.(k) ?? 0) - 0.5))
      for (const x of columns) {
        for (const y of columns) {
          if (x === y) continue
          const r = x.reduce((sum, v, k) => sum + v * (y[k] ?? 0), 0) / count / (1 / 12)
          // The correlation of two independent orders has the deviation 1/√(n − 1); 168 pairs, five deviations.
          expect(Math.abs(r)).toBeLessThan(5 / Math.sqrt(count - 1))
        }
      }
      // Where in its stratum a point lies is even too.
      const inside = columns[0]?.map((v) => ((v + 0.5) * count) % 1) ?? []
      const mean = inside.reduce((sum, v) => sum + v, 0) / count
      expect(Math.abs(mean - 0.5)).toBeLessThan(5 / Math.sqrt(12 * count))
    }
  })
})

describe('a Sobol sequence', () => {
  it('begins as published (S. Joe and F. Y. Kuo, notes to new-joe-kuo-6, three dimensions, from memory)', () => {
    const points = range(10).map((i) => [0, 1, 2].map((d) => share(sobolDimension(d)(i))))
    expect(points).toEqual([
      [0, 0, 0],
      [0.5, 0.5, 0.5],
      [0.75, 0.25, 0.25],
      [0.25, 0.75, 0.75],
      [0.375, 0.375, 0.625],
      [0.875, 0.875, 0.125],
      [0.625, 0.125, 0.875],
      [0.125, 0.625, 0.375],
      [0.1875, 0.3125, 0.9375],
      [0.6875, 0.8125, 0.4375],
    ])
  })

  it('has in every dimension, shifted or not, one of the first 2ᵏ points in each 2ᵏ-th of the range', () => {
    const ranges = range(SOBOL_DIMENSIONS).map((k) => ({ id: String(k), low: 0, high: 1 }))
    const shifted = sobolSample(ranges, 11)
    for (const d of range(SOBOL_DIMENSIONS)) {
      const plain = sobolDimension(d)
      for (const n of [2, 16, 1024, 4096]) {
        expect(new Set(range(n).map((i) => Math.floor(share(plain(i)) * n))).size).toBe(n)
        expect(new Set(range(n).map((i) => Math.floor((shifted.get(String(d))?.(i) ?? 0) * n))).size).toBe(n)
      }
    }
  })

  it('integrates a smooth function of six inputs far better than chance would', () => {
    // ∫ Π (1 + (x − ½)/2) dx is 1 in any number of dimensions; drawn at random the error is some 0.36/√n.
    const ranges = range(6).map((k) => ({ id: String(k), low: 0, high: 1 }))
    const n = 4096
    for (const seed of [1, 2, 3, 4, 5]) {
      const columns = [...sobolSample(ranges, seed).values()]
      const mean =
        range(n).reduce((sum, i) => sum + columns.reduce((p, at) => p * (1 + (at(i) - 0.5) / 2), 1), 0) / n
      expect(Math.abs(mean - 1)).toBeLessThan(0.36 / Math.sqrt(n) / 5)
    }
  })

  const script = `
import json
from scipy.stats import qmc
points = qmc.Sobol(d=${SOBOL_DIMENSIONS}, scramble=False, bits=32).random(1024)
print(json.dumps(points.tolist()))`
  const python = pythonWith('scipy')
  if (python === undefined)
    console.warn('SKIPPED: no Python with SciPy; its Sobol points are not compared here')

  it.skipIf(python === undefined)('is SciPy’s in every dimension of the table', () => {
    const scipy = spawnSync(python ?? '', ['-c', script], { encoding: 'utf8', maxBuffer: 2 ** 26 })
    const theirs: number[][] = JSON.parse(scipy.stdout)
    const ours = range(1024).map((i) => range(SOBOL_DIMENSIONS).map((d) => share(sobolDimension(d)(i))))
    expect(ours).toEqual(theirs)
  })
})
