import { LeastEdge } from './least-edge.js'
import type { SearchModel } from './model.js'
import { appendSpace, dropSpace, type State, spaceRow, withSpace } from './state.js'

/** The free spaces of a hold, kept up to date as blocks are placed. */
export interface Spaces {
  /** Cuts a placed block out of the free spaces. */
  cut(state: State, x0: number, y0: number, x1: number, y1: number, z: number, z1: number): void
  /** Adds the top of a placed block. */
  addTop(state: State, x0: number, y0: number, x1: number, y1: number, z: number, ceiling: number): void
}

/** The largest free rectangles over floor, decks and tops. */
export class FreeSpaces implements Spaces {
  private readonly model: SearchModel
  private readonly flat: LeastEdge
  private readonly tall: LeastEdge
  private fresh = new Int32Array(1024 * spaceRow)
  private freshCount = 0

  constructor(model: SearchModel) {
    this.model = model
    this.flat = new LeastEdge(model.kinds, (s) => Math.min(s.dx, s.dy))
    this.tall = new LeastEdge(model.kinds, (s) => s.dz)
  }

  /**
   * Cuts a placed block out of the free spaces. With every base fully supported, goods never hang over a free space: two
   * spaces meet in volume only when their bases are at the same height, so that this is a matter of rectangles. Where
   * goods may hang over, the room beneath is given up, and a block that grows past a base cuts that one too.
   */
  cut(state: State, x0: number, y0: number, x1: number, y1: number, z: number, z1: number): void {
    const { spaces } = state
    const hangs = this.model.overhangMm > 0
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
      const small = a1 - a0 < flat || b1 - b0 < flat || top - base < tall
      if (small) continue
      const meets = hangs ? base < z1 && top > z : base === z
      if (!meets || a0 >= x1 || a1 <= x0 || b0 >= y1 || b1 <= y0) {
        if (kept !== i) spaces.copyWithin(kept * spaceRow, at, at + spaceRow)
        kept++
        continue
      }
      if (x0 - a0 >= flat) this.addFresh(a0, b0, x0, b1, base, top)
      if (a1 - x1 >= flat) this.addFresh(x1, b0, a1, b1, base, top)
      if (y0 - b0 >= flat) this.addFresh(a0, b0, a1, y0, base, top)
      if (b1 - y1 >= flat) this.addFresh(a0, y1, a1, b1, base, top)
    }
    state.spaceCount = kept
    for (let f = 0; f < this.freshCount; f++) this.keepFresh(state, f, kept)
  }

  private addFresh(x0: number, y0: number, x1: number, y1: number, z: number, ceiling: number): void {
    this.fresh = withSpace(this.fresh, this.freshCount, x0, y0, x1, y1, z, ceiling)
    this.freshCount++
  }

  private keepFresh(state: State, f: number, kept: number): void {
    const { fresh } = this
    const at = f * spaceRow
    const x0 = fresh[at] as number
    const y0 = fresh[at + 1] as number
    const x1 = fresh[at + 2] as number
    const y1 = fresh[at + 3] as number
    const z = fresh[at + 4] as number
    const top = fresh[at + 5] as number
    const { spaces } = state
    for (let i = 0; i < kept; i++) {
      const o = i * spaceRow
      if (
        (spaces[o + 4] as number) === z &&
        (spaces[o] as number) <= x0 &&
        (spaces[o + 1] as number) <= y0 &&
        (spaces[o + 2] as number) >= x1 &&
        (spaces[o + 3] as number) >= y1 &&
        (spaces[o + 5] as number) >= top
      )
        return
    }
    for (let g = 0; g < this.freshCount; g++) {
      if (g === f) continue
      const o = g * spaceRow
      if (
        (fresh[o + 4] as number) === z &&
        (fresh[o] as number) <= x0 &&
        (fresh[o + 1] as number) <= y0 &&
        (fresh[o + 2] as number) >= x1 &&
        (fresh[o + 3] as number) >= y1
      ) {
        const same = fresh[o] === x0 && fresh[o + 1] === y0 && fresh[o + 2] === x1 && fresh[o + 3] === y1
        if (!same || g < f) return
      }
    }
    appendSpace(state, x0, y0, x1, y1, z, top)
  }

  /** Adds the top of a placed block, joined with free tops of the same height. */
  addTop(state: State, x0: number, y0: number, x1: number, y1: number, z: number, ceiling: number): void {
    const tall = this.tall.of(state.left)
    if (ceiling - z < tall) return
    if (!this.model.mergeTops) {
      const flat = this.flat.of(state.left)
      if (x1 - x0 >= flat && y1 - y0 >= flat) appendSpace(state, x0, y0, x1, y1, z, ceiling)
      return
    }
    const { overhangMm, lengthMm, widthMm } = this.model
    if (overhangMm === 0 || state.loads === undefined) {
      mergeTop(state, x0, y0, x1, y1, z, ceiling)
      return
    }
    const [a0, b0, a1, b1] = state.loads.widened(x0, y0, x1, y1, z, overhangMm)
    mergeTop(
      state,
      Math.max(0, a0),
      Math.max(0, b0),
      Math.min(lengthMm, a1),
      Math.min(widthMm, b1),
      z,
      ceiling,
    )
  }
}

function spaceHolds(state: State, i: number, x0: number, y0: number, x1: number, y1: number): boolean {
  const { spaces } = state
  const o = i * spaceRow
  return (
    (spaces[o] as number) <= x0 &&
    (spaces[o + 1] as number) <= y0 &&
    (spaces[o + 2] as number) >= x1 &&
    (spaces[o + 3] as number) >= y1
  )
}

// A new top may touch free tops of the same height: then rectangles reach across both. Every pair of rectangles that
// meet gives at most two that reach across; repeated until nothing new comes up, all largest rectangles are found.
function mergeTop(
  state: State,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  z: number,
  ceiling: number,
): void {
  const queue = [x0, y0, x1, y1]
  while (queue.length > 0) {
    const b1 = queue.pop() as number
    const a1 = queue.pop() as number
    const b0 = queue.pop() as number
    const a0 = queue.pop() as number
    let held = false
    for (let i = 0; i < state.spaceCount && !held; i++) {
      held = state.spaces[i * spaceRow + 4] === z && spaceHolds(state, i, a0, b0, a1, b1)
    }
    if (held) continue
    for (let i = state.spaceCount - 1; i >= 0; i--) {
      const at = i * spaceRow
      const { spaces } = state
      if (spaces[at + 4] !== z) continue
      const c0 = spaces[at] as number
      const d0 = spaces[at + 1] as number
      const c1 = spaces[at + 2] as number
      const d1 = spaces[at + 3] as number
      if (c0 >= a0 && d0 >= b0 && c1 <= a1 && d1 <= b1) {
        dropSpace(state, i)
        continue
      }
      const yFrom = Math.max(b0, d0)
      const yTo = Math.min(b1, d1)
      const xFrom = Math.max(a0, c0)
      const xTo = Math.min(a1, c1)
      if (xFrom <= xTo && yFrom < yTo) {
        const left = Math.min(a0, c0)
        const right = Math.max(a1, c1)
        const wider = right - left > a1 - a0 && right - left > c1 - c0
        if (wider) queue.push(left, yFrom, right, yTo)
      }
      if (yFrom <= yTo && xFrom < xTo) {
        const near = Math.min(b0, d0)
        const far = Math.max(b1, d1)
        const deeper = far - near > b1 - b0 && far - near > d1 - d0
        if (deeper) queue.push(xFrom, near, xTo, far)
      }
    }
    appendSpace(state, a0, b0, a1, b1, z, ceiling)
  }
}
