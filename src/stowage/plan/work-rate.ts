import { type Hold, HoldSearch, type LoadRules, type Piece } from '../packing/index.js'

/** Work over which the rate is taken, once the first look is done. */
const sample = 3000

/** Rate where the pieces are so few that the search is done before it can be measured, blocks per ms. */
const usualRate = 20

/**
 * How many blocks this machine moves into place per millisecond with these very pieces, measured by a clock: turns
 * seconds into work, the budget that is the same everywhere.
 *
 * @param now a clock in milliseconds
 */
export function workPerMs(now: () => number, hold: Hold, pieces: readonly Piece[], rules: LoadRules): number {
  const search = new HoldSearch(hold, pieces, {
    rules,
    seed: 1,
    from: 'front',
    widest: 1,
    ceilingMm: hold.heightMm,
  })
  const begun = now()
  const stop = (): boolean => now() - begun > 2000
  search.advance({ work: 1, stop })
  const [workBefore, from] = [search.workUsed, now()]
  search.advance({ work: workBefore + sample, stop: () => false })
  const [work, ms] = [search.workUsed - workBefore, now() - from]
  return work <= 0 || ms <= 0 ? usualRate : work / ms
}
