import { FloatingSpaces } from './floating-spaces.js'
import { FreeSpaces, type Spaces } from './free-spaces.js'
import type { SearchModel } from './model.js'
import { reachableSums } from './reachable-sums.js'
import { StandingRules } from './standing.js'
import { atFront, atLeft, dropSpace, type State, spaceRow } from './state.js'

/** The moves of the search on one model, with the scratch memory they share. */
export class Placer {
  private readonly model: SearchModel
  /** Reachable sums of edges up to each length, for each axis: what a remaining gap can still take. */
  private readonly fillX: Int32Array
  private readonly fillY: Int32Array
  private readonly fillZ: Int32Array
  private readonly free: Spaces
  private readonly standing: StandingRules
  /** Result of the last choice: blocks, best first, and the corner they go to. */
  readonly chosen: Int32Array
  private readonly chosenScore: Float64Array
  chosenCount = 0
  private readonly singleFirstNeeded: boolean
  private readonly grouped: boolean
  private readonly blockLate: Uint8Array
  private readonly blockGroup: string[]
  /** Blocks placed since the start, the measure of work. */
  work = 0
  /** How good each block is before its space is looked at, and all blocks, best first. */
  private rank: Float64Array
  private readonly order: Int32Array
  /** What counts when the next space is chosen: distance from the front wall, height, distance from a side wall. */
  spaceKey: readonly [along: number, up: number, across: number] = [2, 1, 1]
  /** Power of the room a block leaves usable, in halves: 2 is the square, 4 the fourth power. */
  roomPower = 4

  constructor(model: SearchModel, widest: number) {
    this.model = model
    const { kinds, blocks } = model
    this.fillX = new Int32Array(model.lengthMm + 1)
    this.fillY = new Int32Array(model.widthMm + 1)
    this.fillZ = new Int32Array(model.heightMm + 1)
    this.free = model.floats ? new FloatingSpaces(model) : new FreeSpaces(model)
    this.standing = new StandingRules(model)
    this.chosen = new Int32Array(widest)
    this.chosenScore = new Float64Array(widest)
    this.singleFirstNeeded = kinds.some((k) => k.firstNeeded) && kinds.some((k) => !k.firstNeeded)
    this.grouped = kinds.some((k) => k.group !== '')
    this.blockLate = new Uint8Array(blocks.count)
    this.blockGroup = []
    for (let b = 0; b < blocks.count; b++) {
      const kind = kinds[blocks.useKind[blocks.useStart[b] as number] as number]
      this.blockLate[b] = kind?.firstNeeded === true ? 1 : 0
      this.blockGroup.push(kind?.group ?? '')
    }
    this.rank = blocks.rank
    this.order = Int32Array.from({ length: blocks.count }, (_, b) => b)
    this.measureGaps(kinds.map((k) => k.pieces.length))
  }

  /** Scores each kind anew: what is hard to place is placed earlier. 1 for every kind is the score of the model. */
  favour(factors: Float64Array): void {
    const { blocks } = this.model
    const rank = new Float64Array(blocks.count)
    for (let b = 0; b < blocks.count; b++) {
      rank[b] =
        (blocks.rank[b] as number) *
        (factors[blocks.useKind[blocks.useStart[b] as number] as number] as number)
    }
    this.rank = rank
    this.order.sort((p, q) => (rank[q] as number) - (rank[p] as number) || p - q)
  }

  /** An empty hold with all blocks in the order of the present scores. */
  restart(state: State, empty: State): void {
    state.copyFrom(empty)
    state.usable.set(this.order)
    state.usableCount = this.order.length
  }

  /** Brings the table of reachable sums up to date with what is left to pack. */
  measureGaps(left: ArrayLike<number>): void {
    const { kinds } = this.model
    reachableSums(this.fillX, kinds, left, (s) => s.dx)
    reachableSums(this.fillY, kinds, left, (s) => s.dy)
    reachableSums(this.fillZ, kinds, left, (s) => s.dz)
  }

  /**
   * Finds the next space, nearest to a corner of the hold, and the `width` best blocks for it.
   * Spaces that take nothing are dropped. Returns the space's row, or −1 when nothing fits anywhere.
   */
  choose(state: State, width: number): number {
    for (;;) {
      const s = this.nextSpace(state)
      if (s < 0) return -1
      this.rankBlocks(state, s, width)
      if (this.chosenCount > 0) return s
      dropSpace(state, s)
    }
  }

  private nextSpace(state: State): number {
    const { spaces, spaceCount } = state
    const { lengthMm, widthMm, frontFirst } = this.model
    const [along, up, aside] = this.spaceKey
    let best = -1
    let bestKey = Number.POSITIVE_INFINITY
    let bestSize = 0
    for (let i = 0; i < spaceCount; i++) {
      const at = i * spaceRow
      const x0 = spaces[at] as number
      const y0 = spaces[at + 1] as number
      const x1 = spaces[at + 2] as number
      const y1 = spaces[at + 3] as number
      const z = spaces[at + 4] as number
      const ySide = Math.min(y0, widthMm - y1)
      const xSide = atFront(this.model, x0, x1) ? x0 : lengthMm - x1
      const key = frontFirst ? xSide * along + z * up + ySide * aside : xSide + ySide + z
      if (key > bestKey) continue
      const size = (x1 - x0) * (y1 - y0) * ((spaces[at + 5] as number) - z)
      if (key === bestKey && size <= bestSize) continue
      best = i
      bestKey = key
      bestSize = size
    }
    return best
  }

  /** x of a block's corner in a space: towards the nearer end wall. */
  private cornerX(state: State, s: number, b: number): number {
    const x0 = state.spaces[s * spaceRow] as number
    const x1 = state.spaces[s * spaceRow + 2] as number
    return atFront(this.model, x0, x1) ? x0 : x1 - (this.model.blocks.dx[b] as number)
  }

  /** y of a block's corner in a space: towards the nearer side wall. */
  private cornerY(state: State, s: number, b: number): number {
    const y0 = state.spaces[s * spaceRow + 1] as number
    const y1 = state.spaces[s * spaceRow + 3] as number
    return atLeft(this.model, y0, y1) ? y0 : y1 - (this.model.blocks.dy[b] as number)
  }

  // The choice function of Araya, Guerrero and Nuñez, "VCS: a new heuristic function for selecting boxes in the
  // single container loading problem" (2017): volume, share of sides in contact, space that can no longer be
  // used, and number of boxes.
  private rankBlocks(state: State, s: number, width: number): void {
    const { blocks, limited, sidesPower } = this.model
    const { chosen, chosenScore, fillX, fillY, fillZ } = this
    const bdx = blocks.dx
    const bdy = blocks.dy
    const bdz = blocks.dz
    const { rank, roomPower } = this
    const carriesMm = blocks.carriesMm
    const { useStart, useKind, useCount } = blocks
    const { usable, left, spaces } = state
    const at = s * spaceRow
    const sx = (spaces[at + 2] as number) - (spaces[at] as number)
    const sy = (spaces[at + 3] as number) - (spaces[at + 1] as number)
    const sz = (spaces[at + 5] as number) - (spaces[at + 4] as number)
    const whole = 1 / (sx * sy * sz)
    const wishes = this.singleFirstNeeded || this.grouped
    const corner = limited ? this.standing.cornerUnder(state, s) : undefined
    let count = 0
    let kept = 0
    let worst = 0
    const n = state.usableCount
    let i = 0
    for (; i < n; i++) {
      const b = usable[i] as number
      const most = rank[b] as number
      if (count === width && most <= worst) break
      let available = true
      for (let u = useStart[b] as number, end = useStart[b + 1] as number; u < end; u++) {
        if ((left[useKind[u] as number] as number) < (useCount[u] as number)) {
          available = false
          break
        }
      }
      if (!available) continue
      usable[kept++] = b
      const dx = bdx[b] as number
      if (dx > sx) continue
      const dy = bdy[b] as number
      if (dy > sy) continue
      const dz = bdz[b] as number
      if (dz > sz) continue
      const gx = sx - dx
      const gy = sy - dy
      const gz = sz - dz
      const above = Math.min(fillZ[gz] as number, carriesMm[b] as number)
      const q = (dx + (fillX[gx] as number)) * (dy + (fillY[gy] as number)) * (dz + above) * whole
      const xy = dx * dy
      const xz = dx * dz
      const yz = dy * dz
      let touching = xy + xz + yz
      if (gx <= 0.04 * dx) touching += yz
      if (gy <= 0.04 * dy) touching += xz
      if (gz <= 0.04 * dz) touching += xy
      const sides = touching / (2 * (xy + xz + yz))
      const q2 = q * q
      const room = roomPower === 4 ? q2 * q2 : roomPower === 2 ? q2 : q2 * q2 * q2
      let score = most * room * (sidesPower === 1 ? sides : sides ** sidesPower)
      if (wishes) {
        if (this.blockLate[b] === 1) score *= 1e-3
        if (state.group !== '' && this.blockGroup[b] !== state.group) score *= 1e-2
      }
      if (count === width && score <= worst) continue
      if (corner !== undefined && !this.standing.cornerAllows(corner, b)) continue
      if (limited && !this.allowed(state, s, b)) continue
      let p = count < width ? count++ : width - 1
      while (p > 0 && (chosenScore[p - 1] as number) < score) {
        chosen[p] = chosen[p - 1] as number
        chosenScore[p] = chosenScore[p - 1] as number
        p--
      }
      chosen[p] = b
      chosenScore[p] = score
      worst = chosenScore[count - 1] as number
    }
    if (kept < i) {
      usable.copyWithin(kept, i, n)
      state.usableCount = kept + (n - i)
    }
    this.chosenCount = count
  }

  private allowed(state: State, s: number, b: number): boolean {
    const z = state.spaces[s * spaceRow + 4] as number
    return this.standing.allows(state, b, this.cornerX(state, s, b), this.cornerY(state, s, b), z)
  }

  /** Puts a block into a space and brings spaces, stock and loads up to date. */
  place(state: State, s: number, b: number): void {
    const x = this.cornerX(state, s, b)
    const y = this.cornerY(state, s, b)
    this.work++
    this.put(
      state,
      b,
      x,
      y,
      state.spaces[s * spaceRow + 4] as number,
      state.spaces[s * spaceRow + 5] as number,
    )
  }

  /** Puts a block back where it stood, over what still carries it. Cheap: nothing is looked for. */
  putBack(state: State, b: number, x: number, y: number, z: number): void {
    this.work += 0.125
    this.put(state, b, x, y, z, this.model.ceilingMm)
  }

  private put(state: State, b: number, x: number, y: number, z: number, ceiling: number): void {
    const { model } = this
    const { blocks } = model
    const dx = blocks.dx[b] as number
    const dy = blocks.dy[b] as number
    const dz = blocks.dz[b] as number
    state.add(model, b, x, y, z)
    let carries = true
    if (model.limited) carries = this.standing.bear(state, b, x, y, z)
    if (this.grouped) this.followGroup(state, b)
    this.free.cut(state, x, y, x + dx, y + dy, z, z + dz)
    if (carries) {
      this.free.addTop(
        state,
        x,
        y,
        x + (blocks.topX[b] as number),
        y + (blocks.topY[b] as number),
        z + dz,
        ceiling,
      )
    }
  }

  private followGroup(state: State, b: number): void {
    const group = this.blockGroup[b] ?? ''
    const some = this.model.kinds.some((k, i) => k.group === group && (state.left[i] as number) > 0)
    state.group = group !== '' && some ? group : ''
  }
}
