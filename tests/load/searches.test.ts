import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { bestLoad, SEARCHES, searchThreads } from '../../src/cli/load-searches.js'
import {
  isBestSearch,
  isBetterSearch,
  type LoadResult,
  type LoadSearch,
  loadOf,
} from '../../src/load/index.js'
import { packageRoot } from '../../src/plan/open.js'
import { openDemo, plansOf } from '../plan/households.js'

const opened = async (
  household: 'student-tromso-wellington' | 'valparaiso-gdynia' = 'student-tromso-wellington',
) => {
  const move = await openDemo(household)
  const [plan] = plansOf(move)
  if (plan === undefined) throw new Error('no plan')
  return { move, plan, pieces: loadOf(move, plan).pieces }
}
const task = (scenario: string, household = 'student-tromso-wellington', container = '22G1') => ({
  ...{ folder: join(packageRoot, 'data/households', household), set: [], scenario, container },
  stop: new SharedArrayBuffer(8),
})

test('a machine has as many threads as cores, and never more than there are searches', () => {
  expect([1, 2, 3, 4, 64].map((cores) => searchThreads(cores))).toEqual([1, 2, 3, SEARCHES, SEARCHES])
})

test('on one core and on three the same load plan comes out, in threads of their own', async () => {
  if (!existsSync(join(packageRoot, 'dist', '.built'))) {
    console.warn('SKIPPED: the package is not built, so that there are no threads')
    return
  }
  const { bestLoad: built } = (await import(join(packageRoot, 'dist/cli/load-searches.js'))) as {
    bestLoad: typeof bestLoad
  }
  // A container that does not take everything, so that all searches are made and compared.
  const { plan, pieces } = await opened('valparaiso-gdynia')
  const on = (threads: number): Promise<LoadResult> =>
    built(task(plan.name, 'valparaiso-gdynia', '42G1'), pieces, { seed: 3, work: 12_000, threads }, () => {})
  const [one, three] = [await on(1), await on(3)]
  expect(one.first.plan.leftOut.length).toBeGreaterThan(0)
  expect(three.first.plan.placements).toEqual(one.first.plan.placements)
  expect(three.workUsed).toBe(one.workUsed)
}, 240_000)

test('a search that nothing can beat is the last; of equal ones the first counts', async () => {
  const { plan, pieces } = await opened()
  const at = (left: number, proven: boolean): LoadSearch => ({
    work: 1,
    tries: [
      { candidate: { hold: {}, stands: [] }, tried: !proven, ...(proven ? { impossible: 'too small' } : {}) },
      {
        candidate: { hold: {}, stands: [] },
        tried: true,
        found: { plan: { leftOut: pieces.slice(0, left).map(({ id }) => ({ pieceId: id })) } },
      },
    ] as unknown as LoadSearch['tries'],
  })
  expect(isBestSearch(at(0, true))).toBe(true)
  expect(isBestSearch(at(0, false))).toBe(false)
  expect(isBestSearch(at(1, true))).toBe(false)
  expect(isBetterSearch(pieces, at(0, true), at(1, true))).toBe(true)
  expect(isBetterSearch(pieces, at(1, true), at(2, true))).toBe(true)
  expect(isBetterSearch(pieces, at(0, true), at(0, true))).toBe(false)
  expect(plan.name).not.toBe('')
})

test('a search that was stopped at once still ends with a plan', async () => {
  const { plan, pieces } = await opened()
  const stopped = task(plan.name)
  Atomics.store(new Int32Array(stopped.stop), 0, 1)
  const result = await bestLoad(stopped, pieces, { seed: 1, work: 1500, threads: 2 }, () => {})
  expect(result.first.plan.placements.length).toBeGreaterThan(0)
}, 60_000)
