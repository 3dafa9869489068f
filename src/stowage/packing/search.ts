import type { Blocks } from './blocks.js'
import type { Kind, Stance } from './kinds.js'
import { StackLoads } from './stack-loads.js'

/** Numbers of one free space: x0, y0, x1, y1, base height, ceiling. */
const spaceRow = 6
/** Numbers of one placed block: block, x, y, z. */
const placedRow = 4

/** Everything the search may not change while it runs. */
export interface SearchModel {
  readonly lengthMm: number
  readonly widthMm: number
  readonly heightMm: number
  readonly kinds: readonly Kind[]
  readonly blocks: Blocks
  /** Height up to which goods may be stowed, mm: the roof, or lower. */
  readonly ceilingMm: number
  /** Free spaces at the start: the floor and decks, as rows of six numbers. */
  readonly startSpaces: readonly number[]
  /** Decks as x0, y0, x1, y1, top, limit kg, heaviest piece kg. */
  readonly decks: readonly (readonly number[])[]
  /** Whether mass, stack limits, doors and decks matter at all. */
  readonly limited: boolean
  readonly payloadKg: number
  readonly fixedKg: number
  /** Sum of mass times distance from the front wall of fixed blocks, kg mm. */
  readonly fixedMoment: number
  readonly balanceShare: number
  /** Infinite where nobody asks for balance across. */
  readonly balanceAcrossShare: number
  /** Sum of mass times distance from mid-width of fixed blocks, to the right above zero, kg mm. */
  readonly fixedAcrossMoment: number
  readonly lineLoadKgPerM: number
  /** Mass per bin of `lineBinMm` that fixed blocks put on the floor. */
  readonly fixedLineKg: Float64Array
  readonly doorHeightMm: number
  readonly heavyFromKg: number
  /** Share of each base that must rest on something, for hard and for soft pieces. */
  readonly supportShare: number
  readonly softSupportShare: number
  /** How far goods may hang over what carries them, mm; 0 with full support. */
  readonly overhangMm: number
  /** A piece of `liftFromKg` or more has its base no higher than `liftHighestMm`. */
  readonly liftFromKg: number
  readonly liftHighestMm: number
  /** Fill from the front wall towards the door rather than from all four corners. */
  readonly frontFirst: boolean
  readonly mergeTops: boolean
  readonly sidesPower: number
}

/** Length of the bins in which the mass per metre is kept while packing, mm. */
export const lineBinMm = 250

/** One partly filled hold. */
export class State {
  readonly left: Int32Array
  spaces = new Int32Array(64 * spaceRow)
  spaceCount = 0
  placed = new Int32Array(64 * placedRow)
  placedCount = 0
  value = 0
  mass = 0
  usedLength = 0
  /** Sum of mass times distance from the front wall, fixed blocks included, kg mm. */
  massMoment = 0
  /** Sum of mass times distance from mid-width, fixed blocks included, kg mm. */
  acrossMoment = 0
  /** Sum of volume times distance from the front wall, to tell equal loads apart. */
  moment = 0
  readonly usable: Int32Array
  usableCount = 0
  readonly loads: StackLoads | undefined
  readonly line: Float64Array | undefined
  /** Group whose pieces come next, or ''. */
  group = ''

  constructor(model: SearchModel) {
    this.left = Int32Array.from(model.kinds, (kind) => kind.pieces.length)
    this.usable = new Int32Array(model.blocks.count)
    if (model.limited) {
      const pieces = model.kinds.reduce((n, kind) => n + kind.pieces.length, 0)
      this.loads = new StackLoads(pieces + model.decks.length)
      this.line = new Float64Array(model.fixedLineKg)
    } else {
      this.loads = undefined
      this.line = undefined
    }
  }

  static start(model: SearchModel): State {
    const state = new State(model)
    if (model.startSpaces.length > state.spaces.length) {
      state.spaces = new Int32Array(model.startSpaces.length * 2)
    }
    state.spaces.set(model.startSpaces)
    state.spaceCount = model.startSpaces.length / spaceRow
    state.mass = model.fixedKg
    state.massMoment = model.fixedMoment
    state.acrossMoment = model.fixedAcrossMoment
    for (let b = 0; b < model.blocks.count; b++) state.usable[b] = b
    state.usableCount = model.blocks.count
    for (const [x0, y0, x1, y1, top, limit] of model.decks) {
      state.loads?.addSurface(x0 ?? 0, y0 ?? 0, x1 ?? 0, y1 ?? 0, top ?? 0, limit ?? 0)
    }
    return state
  }

  copyFrom(o: State): void {
    this.left.set(o.left)
    const numbers = o.spaceCount * spaceRow
    if (this.spaces.length < numbers) this.spaces = new Int32Array(o.spaces.length)
    for (let i = 0; i < numbers; i++) this.spaces[i] = o.spaces[i] as number
    this.spaceCount = o.spaceCount
    const rows = o.placedCount * placedRow
    if (this.placed.length < rows) this.placed = new Int32Array(o.placed.length)
    for (let i = 0; i < rows; i++) this.placed[i] = o.placed[i] as number
    this.placedCount = o.placedCount
    this.value = o.value
    this.mass = o.mass
    this.usedLength = o.usedLength
    this.massMoment = o.massMoment
    this.acrossMoment = o.acrossMoment
    this.moment = o.moment
    this.group = o.group
    for (let i = 0; i < o.usableCount; i++) this.usable[i] = o.usable[i] as number
    this.usableCount = o.usableCount
    if (this.loads !== undefined && o.loads !== undefined) this.loads.copyFrom(o.loads)
    if (this.line !== undefined && o.line !== undefined) this.line.set(o.line)
  }
}

/**
 * Value of a load, less a tenth for every five hundredths of the length that its centre of gravity stays outside the
 * limits when the goods are moved as far as there is room, or turned end for end where nothing is fixed; the same for
 * every five hundredths of the width where balance across is asked for.
 */
export function loadScore(model: SearchModel, state: State): number {
  if (!model.limited || state.mass === 0) return state.value
  const goodsKg = state.mass - model.fixedKg
  const from = state.massMoment / state.mass / model.lengthMm - 0.5
  const slack = ((1 - state.usedLength / model.lengthMm) * goodsKg) / state.mass
  let outside = outOf(from, from + slack, model.balanceShare)
  if (model.fixedKg === 0) outside = Math.min(outside, outOf(-from - slack, -from, model.balanceShare))
  const across = Math.abs(state.acrossMoment / state.mass / model.widthMm)
  const leaning = Math.max(0, across - model.balanceAcrossShare)
  return state.value * (1 - 2 * outside - 2 * leaning)
}

function outOf(from: number, to: number, limit: number): number {
  if (from > limit) return from - limit
  return to < -limit ? -limit - to : 0
}

/** What carries the corner of a space: how far it reaches from there, mm, and what it still takes, kg. */
interface Corner {
  readonly reachX: number
  readonly reachY: number
  readonly roomKg: number
  /** The heaviest single box that may stand on it. */
  readonly heaviestKg: number
}

/** The moves of the search on one model, with the scratch memory they share. */
export class Placer {
  readonly model: SearchModel
  /** Reachable sums of edges up to each length, for each axis: what a remaining gap can still take. */
  private readonly fillX: Int32Array
  private readonly fillY: Int32Array
  private readonly fillZ: Int32Array
  private readonly flat: Int32Array
  private readonly tall: Int32Array
  private readonly flatOrder: Int32Array
  private readonly tallOrder: Int32Array
  private fresh = new Int32Array(1024 * spaceRow)
  private freshCount = 0
  /** Result of the last choice: blocks, best first, and the corner they go to. */
  readonly chosen: Int32Array
  readonly chosenScore: Float64Array
  chosenCount = 0
  private readonly singleFirstNeeded: boolean
  private readonly grouped: boolean
  private readonly blockLate: Uint8Array
  private readonly blockGroup: string[]
  /** Of each block's boxes: mass of one, mass of a column, floor edges of one, and whether it keeps to the floor. */
  private readonly boxKg: Float64Array
  private readonly columnKg: Float64Array
  private readonly boxX: Int32Array
  private readonly boxY: Int32Array
  private readonly floorOnly: Uint8Array
  /** Blocks placed since the start, the measure of work. */
  work = 0
  /** How good each block is before its space is looked at, and all blocks, best first. */
  rank: Float64Array
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
    this.flat = Int32Array.from(kinds, (k) => Math.min(...k.stances.map((s) => Math.min(s.dx, s.dy))))
    this.tall = Int32Array.from(kinds, (k) => Math.min(...k.stances.map((s) => s.dz)))
    const order = kinds.map((_, k) => k)
    this.flatOrder = Int32Array.from(order).sort(
      (a, b) => (this.flat[a] as number) - (this.flat[b] as number),
    )
    this.tallOrder = Int32Array.from(order).sort(
      (a, b) => (this.tall[a] as number) - (this.tall[b] as number),
    )
    this.chosen = new Int32Array(widest)
    this.chosenScore = new Float64Array(widest)
    this.singleFirstNeeded = kinds.some((k) => k.firstNeeded) && kinds.some((k) => !k.firstNeeded)
    this.grouped = kinds.some((k) => k.group !== '')
    this.blockLate = new Uint8Array(blocks.count)
    this.blockGroup = []
    this.boxKg = new Float64Array(blocks.count)
    this.columnKg = new Float64Array(blocks.count)
    this.boxX = new Int32Array(blocks.count)
    this.boxY = new Int32Array(blocks.count)
    this.floorOnly = new Uint8Array(blocks.count)
    for (let b = 0; b < blocks.count; b++) {
      this.measureBoxes(b)
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

  private measureBoxes(b: number): void {
    const { blocks, kinds } = this.model
    const part = blocks.parts[blocks.partStart[b] as number]
    const kind = kinds[part?.kind ?? 0]
    const stance = kind?.stances[part?.stance ?? 0]
    if (part === undefined || kind === undefined || stance === undefined) return
    this.boxKg[b] = kind.massKg
    this.columnKg[b] = kind.massKg * part.nz
    this.boxX[b] = stance.dx
    this.boxY[b] = stance.dy
    this.floorOnly[b] = kind.floorOnly ? 1 : 0
  }

  /** Brings the table of reachable sums up to date with what is left to pack. */
  measureGaps(left: ArrayLike<number>): void {
    const { kinds } = this.model
    reach(this.fillX, kinds, left, (s) => s.dx)
    reach(this.fillY, kinds, left, (s) => s.dy)
    reach(this.fillZ, kinds, left, (s) => s.dz)
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
      const xSide = frontFirst || x0 <= lengthMm - x1 ? x0 : lengthMm - x1
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
  cornerX(state: State, s: number, b: number): number {
    const x0 = state.spaces[s * spaceRow] as number
    const x1 = state.spaces[s * spaceRow + 2] as number
    if (this.model.frontFirst || x0 <= this.model.lengthMm - x1) return x0
    return x1 - (this.model.blocks.dx[b] as number)
  }

  /** y of a block's corner in a space: towards the nearer side wall. */
  cornerY(state: State, s: number, b: number): number {
    const y0 = state.spaces[s * spaceRow + 1] as number
    const y1 = state.spaces[s * spaceRow + 3] as number
    return y0 <= this.model.widthMm - y1 ? y0 : y1 - (this.model.blocks.dy[b] as number)
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
    const corner = limited ? this.cornerOf(state, s) : undefined
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
      if (corner !== undefined && !this.cornerAllows(corner, b)) continue
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

  // What stands under the corner of a space where the next block goes. Most blocks that may not stand in a space
  // fail already there, which costs far less to see than the whole question of who carries what.
  private cornerOf(state: State, s: number): Corner | undefined {
    const { loads, spaces } = state
    const { lengthMm, widthMm, frontFirst, heavyFromKg } = this.model
    const at = s * spaceRow
    const z = spaces[at + 4] as number
    if (loads === undefined || z === 0) return undefined
    const [x0, y0] = [spaces[at] as number, spaces[at + 1] as number]
    const [x1, y1] = [spaces[at + 2] as number, spaces[at + 3] as number]
    const atFront = frontFirst || x0 <= lengthMm - x1
    const atLeft = y0 <= widthMm - y1
    const i = loads.topAt(atFront ? x0 : x1 - 1, atLeft ? y0 : y1 - 1, z)
    if (i < 0) return undefined
    return {
      reachX: atFront ? (loads.x1[i] as number) - x0 : x1 - (loads.x0[i] as number),
      reachY: atLeft ? (loads.y1[i] as number) - y0 : y1 - (loads.y0[i] as number),
      roomKg: (loads.limit[i] as number) - (loads.load[i] as number) + 1e-9,
      heaviestKg: Math.max(loads.mass[i] as number, heavyFromKg - 1e-9),
    }
  }

  private cornerAllows(corner: Corner, b: number): boolean {
    if (this.floorOnly[b] === 1 || (this.boxKg[b] as number) > corner.heaviestKg) return false
    const dx = this.boxX[b] as number
    const dy = this.boxY[b] as number
    const over = (Math.min(dx, corner.reachX) * Math.min(dy, corner.reachY)) / (dx * dy)
    return (this.columnKg[b] as number) * over <= corner.roomKg
  }

  private allowed(state: State, s: number, b: number): boolean {
    const { model } = this
    const { blocks, kinds } = model
    const mass = blocks.mass[b] as number
    if (state.mass + mass > model.payloadKg) return false
    const part = blocks.parts[blocks.partStart[b] as number]
    const kind = kinds[part?.kind ?? 0]
    const stance = kind?.stances[part?.stance ?? 0]
    if (part === undefined || kind === undefined || stance === undefined) return false
    const z = state.spaces[s * spaceRow + 4] as number
    if (z > 0 && kind.floorOnly) return false
    if (kind.massKg >= model.liftFromKg && z + (part.nz - 1) * stance.dz > model.liftHighestMm) return false
    const x = this.cornerX(state, s, b)
    const y = this.cornerY(state, s, b)
    const dx = blocks.dx[b] as number
    // What stands higher than the door's header has to be lifted inside, in front of its place.
    if (z + (blocks.dz[b] as number) > model.doorHeightMm && model.lengthMm - (x + dx) < stance.dx)
      return false
    if (!this.lineAllows(state, x, dx, mass)) return false
    if (z === 0) return true
    for (const deck of model.decks) {
      const onDeck =
        deck[4] === z &&
        x < (deck[2] as number) &&
        x + dx > (deck[0] as number) &&
        y < (deck[3] as number) &&
        y + (blocks.dy[b] as number) > (deck[1] as number)
      if (onDeck && kind.massKg > (deck[6] as number)) return false
    }
    if (state.loads === undefined) return true
    return state.loads.allows(
      x,
      y,
      z,
      stance.dx,
      stance.dy,
      part.nx,
      part.ny,
      part.nz,
      kind.massKg,
      model.heavyFromKg,
      kind.soft ? model.softSupportShare : model.supportShare,
    )
  }

  private lineAllows(state: State, x: number, dx: number, mass: number): boolean {
    const limit = this.model.lineLoadKgPerM
    if (limit === Number.POSITIVE_INFINITY || state.line === undefined || mass === 0) return true
    // Any metre lies within five bins, so four fifths of the limit a bin keeps every metre within it.
    const mostInBin = (limit * 0.8 * lineBinMm) / 1000
    const last = Math.floor((x + dx - 1) / lineBinMm)
    for (let bin = Math.floor(x / lineBinMm); bin <= last; bin++) {
      const from = Math.max(x, bin * lineBinMm)
      const to = Math.min(x + dx, (bin + 1) * lineBinMm)
      if ((state.line[bin] as number) + (mass * (to - from)) / dx > mostInBin) return false
    }
    return true
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
    for (let u = blocks.useStart[b] as number; u < (blocks.useStart[b + 1] as number); u++) {
      const k = blocks.useKind[u] as number
      state.left[k] = (state.left[k] as number) - (blocks.useCount[u] as number)
    }
    state.value += blocks.value[b] as number
    state.mass += blocks.mass[b] as number
    state.massMoment += (blocks.mass[b] as number) * (x + dx / 2)
    state.acrossMoment += (blocks.mass[b] as number) * (y + dy / 2 - model.widthMm / 2)
    state.moment += (blocks.volume[b] as number) * (x + dx / 2)
    if (x + dx > state.usedLength) state.usedLength = x + dx
    const p = state.placedCount * placedRow
    if (p + placedRow > state.placed.length) {
      const bigger = new Int32Array(state.placed.length * 2)
      bigger.set(state.placed)
      state.placed = bigger
    }
    state.placed[p] = b
    state.placed[p + 1] = x
    state.placed[p + 2] = y
    state.placed[p + 3] = z
    state.placedCount++
    let carries = true
    if (model.limited) carries = this.putLoads(state, b, x, y, z)
    if (this.grouped) this.followGroup(state, b)
    this.splitSpaces(state, x, y, x + dx, y + dy, z, z + dz)
    if (carries) {
      this.addTop(
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

  private putLoads(state: State, b: number, x: number, y: number, z: number): boolean {
    const { blocks, kinds } = this.model
    const part = blocks.parts[blocks.partStart[b] as number]
    const kind = kinds[part?.kind ?? 0]
    const stance = kind?.stances[part?.stance ?? 0]
    if (part === undefined || kind === undefined || stance === undefined) return true
    for (let i = 0; i < part.nx; i++) {
      for (let j = 0; j < part.ny; j++) {
        const px = x + i * stance.dx
        const py = y + j * stance.dy
        state.loads?.put(px, py, z, stance.dx, stance.dy, stance.dz, part.nz, kind.massKg, kind.limitKg)
      }
    }
    if (state.line !== undefined) {
      const dx = blocks.dx[b] as number
      const last = Math.floor((x + dx - 1) / lineBinMm)
      for (let bin = Math.floor(x / lineBinMm); bin <= last; bin++) {
        const from = Math.max(x, bin * lineBinMm)
        const to = Math.min(x + dx, (bin + 1) * lineBinMm)
        state.line[bin] = (state.line[bin] as number) + ((blocks.mass[b] as number) * (to - from)) / dx
      }
    }
    return kind.limitKg > 0
  }

  private leastEdge(order: Int32Array, edge: Int32Array, left: Int32Array): number {
    for (let i = 0; i < order.length; i++) {
      const k = order[i] as number
      if ((left[k] as number) > 0) return edge[k] as number
    }
    return 1 << 30
  }

  // With every base fully supported, goods never hang over a free space: two spaces meet in volume only when their
  // bases are at the same height, so that cutting a placed block out of them is a matter of rectangles. Where goods may
  // hang over, the room beneath is given up, and a block that grows past a base cuts that one too.
  private splitSpaces(
    state: State,
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    z: number,
    z1: number,
  ): void {
    const { spaces } = state
    const hangs = this.model.overhangMm > 0
    const flat = this.leastEdge(this.flatOrder, this.flat, state.left)
    const tall = this.leastEdge(this.tallOrder, this.tall, state.left)
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
    const at = this.freshCount * spaceRow
    if (at + spaceRow > this.fresh.length) {
      const bigger = new Int32Array(this.fresh.length * 2)
      bigger.set(this.fresh)
      this.fresh = bigger
    }
    const { fresh } = this
    fresh[at] = x0
    fresh[at + 1] = y0
    fresh[at + 2] = x1
    fresh[at + 3] = y1
    fresh[at + 4] = z
    fresh[at + 5] = ceiling
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

  private addTop(
    state: State,
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    z: number,
    ceiling: number,
  ): void {
    const tall = this.leastEdge(this.tallOrder, this.tall, state.left)
    if (ceiling - z < tall) return
    if (!this.model.mergeTops) {
      const flat = this.leastEdge(this.flatOrder, this.flat, state.left)
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

function dropSpace(state: State, s: number): void {
  const last = --state.spaceCount
  if (s !== last) {
    state.spaces.copyWithin(s * spaceRow, last * spaceRow, (last + 1) * spaceRow)
  }
}

function appendSpace(
  state: State,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  z: number,
  ceiling: number,
): void {
  const at = state.spaceCount * spaceRow
  if (at + spaceRow > state.spaces.length) {
    const bigger = new Int32Array(state.spaces.length * 2)
    bigger.set(state.spaces)
    state.spaces = bigger
  }
  const { spaces } = state
  spaces[at] = x0
  spaces[at + 1] = y0
  spaces[at + 2] = x1
  spaces[at + 3] = y1
  spaces[at + 4] = z
  spaces[at + 5] = ceiling
  state.spaceCount++
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

function reach(
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
