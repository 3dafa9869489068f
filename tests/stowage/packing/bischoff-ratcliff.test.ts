import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { pack, validate } from '../../../src/stowage/packing/index.js'
import { asHold, asPieces, type Problem, problem } from '../../bench/packing/bischoff-ratcliff.js'

const samples = join(import.meta.dirname, 'br-samples')

/** A problem as the OR-Library's `thpack` files print it. */
function printed(p: Problem): string[] {
  return [
    `${p.number} ${p.start}`,
    p.container.join(' '),
    String(p.types.length),
    ...p.types.map((t, i) => {
      const edges = t.edges.map((edge, e) => `${edge} ${t.upright[e] === true ? 1 : 0}`)
      return `${i + 1} ${edges.join(' ')} ${t.quantity}`
    }),
  ]
}

describe('random test problems of Bischoff and Ratcliff, Omega 23 (1995) 377-390', () => {
  for (const file of readdirSync(samples).filter((name) => name.endsWith('.txt'))) {
    const set = Number(/^set-(\d+)-/.exec(file)?.[1])
    it(`the generator makes the first problems of set ${set} as the OR-Library distributes them`, () => {
      const lines = readFileSync(join(samples, file), 'utf8').trim().split('\n')
      const made = [1, 2, 3].flatMap((number) => printed(problem(set, number)))
      expect(['3', ...made]).toEqual(lines.map((line) => line.trim()))
    })
  }

  it.each([1, 2, 3, 4, 5, 6, 7])(
    'set %i: a short search with full support fills nine tenths, and every plan is sound',
    (set) => {
      const shares = [1, 2, 3].map((number) => {
        const p = problem(set, number)
        const hold = asHold(p)
        const pieces = asPieces(p)
        const plan = pack(hold, pieces, { work: 20_000, from: 'corners' })
        expect(validate(hold, pieces, plan)).toEqual([])
        return plan.volumeShare
      })
      expect(shares.reduce((sum, s) => sum + s, 0) / 3).toBeGreaterThan(0.9)
    },
  )
})
