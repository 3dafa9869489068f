import type { Spaces } from './free-spaces.js'
import { LeastEdge } from './least-edge.js'
import type { SearchModel } from './model.js'
import { appendSpace, type State, spaceRow, withSpace } from './state.js'

/**
 * The largest free boxes of a hold in which pieces may hang in the air, as some test problems of the literature have it:
 * each box that a block cuts leaves up to six, on its four sides, above and below.
 */
export class FloatingSpaces implements Spaces {
  private readonly flat: LeastEdge
  private readonly tall: LeastEdge
  private fresh = new Int32Array(1024 * spaceRow)
  private freshCount = 0

  constructor({ kinds }: SearchModel) {
    this.flat = new LeastEdge(kinds, (s) => Math.min(s.dx, s.dy))
    this.tall = new LeastEdge(kinds, (s) => s.dz)
  }

  cut(state: State, x0: number, y0: number, x1: number, y1: number, z: number, z1: number): void {
    const { spaces } = state
    const flat = this.flat.of(state.left)
    const tall = this.tall.of(state.left)
    this.freshCount = 0
    let kept = 0
    for (let i = 0; i < state.spaceCount; i++) {
      const at = i * spaceRow
      const a0 = spaces[at] as number
      const b0 = spaces[at + 1] as number
      const a1 = spaces[at + 2] as number
      const b1 = spaces[at + 3] as number
      const base = spaces[at + 4] as number
      const top = spaces[at + 5] as number
      if (a1 - a0 < flat || b1 - b0 < flat || top - base < tall) continue
      if (a0 >= x1 || a1 <= x0 || b0 >= y1 || b1 <= y0 || base >= z1 || top <= z) {
        if (kept !== i) spaces.copyWithin(kept * spaceRow, at, at + spaceRow)
        kept++
        continue
      }
      if (x0 - a0 >= flat) this.addFresh(a0, b0, x0, b1, base, top)
      if (a1 - x1 >= flat) this.addFresh(x1, b0, a1, b1, base, top)
      if (y0 - b0 >= flat) this.addFresh(a0, b0, a1, y0, base, top)
      if (b1 - y1 >= flat) this.addFresh(a0, y1, a1, b1, base, top)
      if (z - base >= tall) this.addFresh(a0, b0, a1, b1, base, z)
      if (top - z1 >= tall) this.addFresh(a0, b0, a1, b1, z1, top)
    }
    state.spaceCount = kept
    for (let f = 0; f < this.freshCount; f++) {
      if (!this.isHeld(state.spaces, kept, f) && !this.isHeldByFresh(f)) this.keep(state, f)
    }
  }

  /** What is above a block is among what its cut leaves. */
  addTop(): void {}

  private addFresh(x0: number, y0: number, x1: number, y1: number, z: number, ceiling: number): void {
    this.fresh = withSpace(this.fresh, this.freshCount, x0, y0, x1, y1, z, ceiling)
    this.freshCount++
  }

  private keep(state: State, f: number): void {
    const [x0, y0, x1, y1, z, top] = this.fresh.subarray(f * spaceRow, (f + 1) * spaceRow)
    appendSpace(state, x0 as number, y0 as number, x1 as number, y1 as number, z as number, top as number)
  }

  /** Whether one of the first rows of a list holds all of a fresh box. */
  private isHeld(rows: Int32Array, count: number, f: number): boolean {
    for (let i = 0; i < count; i++) if (holds(rows, i, this.fresh, f)) return true
    return false
  }

  private isHeldByFresh(f: number): boolean {
    const { fresh } = this
    for (let g = 0; g < this.freshCount; g++) {
      // Of two alike the first is kept.
      if (g !== f && holds(fresh, g, fresh, f) && (g < f || !holds(fresh, f, fresh, g))) return true
    }
    return false
  }
}

function holds(rows: Int32Array, i: number, others: Int32Array, j: number): boolean {
  const a = i * spaceRow
  const b = j * spaceRow
  return (
    (rows[a] as number) <= (others[b] as number) &&
    (rows[a + 1] as number) <= (others[b + 1] as number) &&
    (rows[a + 2] as number) >= (others[b + 2] as number) &&
    (rows[a + 3] as number) >= (others[b + 3] as number) &&
    (rows[a + 4] as number) <= (others[b + 4] as number) &&
    (rows[a + 5] as number) >= (others[b + 5] as number)
  )
}
