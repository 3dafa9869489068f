import type { Kind, Stance } from './kinds.js'

/**
 * For every length up to the table's end the greatest sum of edges, of what is left to pack, that does not pass it: what
 * a gap of that length can still take.
 *
 * @param table filled in, one number a millimetre
 * @param left how many of each kind are left
 * @param edge which edge of a stance counts
 */
export function reachableSums(
  table: Int32Array,
  kinds: readonly Kind[],
  left: ArrayLike<number>,
  edge: (s: Stance) => number,
): void {
  const size = table.length
  const used = new Int32Array(size)
  const can = new Uint8Array(size)
  can[0] = 1
  for (let k = 0; k < kinds.length; k++) {
    const n = left[k] as number
    if (n === 0) continue
    const lengths = new Set((kinds[k] as Kind).stances.map(edge))
    for (const length of lengths) {
      if (n === 1) {
        for (let at = size - 1; at >= length; at--) if (can[at - length] === 1) can[at] = 1
        continue
      }
      used.fill(0)
      for (let at = length; at < size; at++) {
        if (can[at] === 1 || can[at - length] === 0) continue
        const times = (used[at - length] as number) + 1
        if (times > n) continue
        used[at] = times
        can[at] = 1
      }
    }
  }
  let best = 0
  for (let at = 0; at < size; at++) {
    if (can[at] === 1) best = at
    table[at] = best
  }
}
