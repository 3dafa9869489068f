import type { Box } from './types.js'

/** Boxes that move as one: a piece has one, a car its outline and deck. */
export type Loaded = readonly Box[]

/**
 * A loading order: everything after what carries it, and before what would stand in its straight way from the door.
 * Among those that may come next, the one whose face towards the door is nearest the front wall comes first, the lower of
 * two: so that least stands between a person and the place of what follows.
 *
 * @param things boxes of each thing, in the hold's co-ordinates
 * @param levelMm height that blankets may fill between what carries and what is carried
 * @returns `order`: indices of things; `stuck`: indices for which no order exists (each waits for another)
 */
export function loadingOrder(
  things: readonly Loaded[],
  levelMm = 0,
): {
  readonly order: readonly number[]
  readonly stuck: readonly number[]
} {
  const n = things.length
  const after: number[][] = Array.from({ length: n }, () => [])
  const waits = new Int32Array(n)
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      if (mustPrecede(things[i] as Loaded, things[j] as Loaded, levelMm)) {
        after[i]?.push(j)
        waits[j] = (waits[j] as number) + 1
      }
      if (mustPrecede(things[j] as Loaded, things[i] as Loaded, levelMm)) {
        after[j]?.push(i)
        waits[i] = (waits[i] as number) + 1
      }
    }
  }
  const rankOf = frontFirstRank(things)
  const ready = new Heap(n, rankOf)
  for (let i = 0; i < n; i++) if (waits[i] === 0) ready.push(i)
  const order: number[] = []
  for (let next = ready.pop(); next !== undefined; next = ready.pop()) {
    order.push(next)
    for (const later of after[next] ?? []) {
      waits[later] = (waits[later] as number) - 1
      if (waits[later] === 0) ready.push(later)
    }
  }
  const stuck: number[] = []
  for (let i = 0; i < n; i++) if ((waits[i] as number) > 0) stuck.push(i)
  return { order, stuck }
}

function mustPrecede(first: Loaded, then: Loaded, levelMm: number): boolean {
  for (const a of first) {
    for (const b of then) {
      const acrossMeets = a.y < b.y + b.dy && b.y < a.y + a.dy
      if (!acrossMeets) continue
      const gap = b.z - a.z - a.dz
      const carries = gap >= 0 && gap <= Math.max(0, levelMm - 1) && a.x < b.x + b.dx && b.x < a.x + a.dx
      const shutIn = b.x >= a.x + a.dx && a.z < b.z + b.dz && b.z < a.z + a.dz
      if (carries || shutIn) return true
    }
  }
  return false
}

function frontFirstRank(things: readonly Loaded[]): Int32Array {
  const corner = things.map((boxes) => ({
    x: Math.max(...boxes.map((b) => b.x + b.dx)),
    z: Math.min(...boxes.map((b) => b.z)),
    y: Math.min(...boxes.map((b) => b.y)),
  }))
  const sorted = corner.map((c, i) => ({ c, i }))
  sorted.sort((a, b) => a.c.x - b.c.x || a.c.z - b.c.z || a.c.y - b.c.y || a.i - b.i)
  const rank = new Int32Array(things.length)
  sorted.forEach(({ i }, at) => {
    rank[i] = at
  })
  return rank
}

class Heap {
  private readonly at: Int32Array
  private size = 0
  private readonly rank: Int32Array

  constructor(capacity: number, rank: Int32Array) {
    this.at = new Int32Array(capacity)
    this.rank = rank
  }

  push(i: number): void {
    let p = this.size++
    while (p > 0) {
      const up = (p - 1) >> 1
      if (this.of(this.at[up] as number) <= this.of(i)) break
      this.at[p] = this.at[up] as number
      p = up
    }
    this.at[p] = i
  }

  pop(): number | undefined {
    if (this.size === 0) return undefined
    const first = this.at[0] as number
    const last = this.at[--this.size] as number
    let p = 0
    for (;;) {
      let down = 2 * p + 1
      if (down >= this.size) break
      if (down + 1 < this.size && this.of(this.at[down + 1] as number) < this.of(this.at[down] as number))
        down++
      if (this.of(this.at[down] as number) >= this.of(last)) break
      this.at[p] = this.at[down] as number
      p = down
    }
    if (this.size > 0) this.at[p] = last
    return first
  }

  private of(i: number): number {
    return this.rank[i] as number
  }
}
