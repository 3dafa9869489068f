import type { Kind, Stance } from './kinds.js'

/** The least edge of any piece still to be packed: a space that is smaller takes nothing. */
export class LeastEdge {
  private readonly mm: Int32Array
  private readonly order: Int32Array

  constructor(kinds: readonly Kind[], edge: (stance: Stance) => number) {
    this.mm = Int32Array.from(kinds, (kind) => Math.min(...kind.stances.map(edge)))
    this.order = Int32Array.from(kinds, (_, k) => k).sort(
      (a, b) => (this.mm[a] as number) - (this.mm[b] as number),
    )
  }

  of(left: Int32Array): number {
    for (let i = 0; i < this.order.length; i++) {
      const k = this.order[i] as number
      if ((left[k] as number) > 0) return this.mm[k] as number
    }
    return 1 << 30
  }
}
