import type { Part } from './blocks.js'
import type { Kind, Stance } from './kinds.js'
import { addToLine, lineBinMm, mostInBinKg } from './line-load.js'
import type { SearchModel } from './model.js'
import { atFront, atLeft, type State, spaceRow } from './state.js'

/** What carries the corner of a space: how far it reaches from there, mm, and what it still takes, kg. */
export interface Corner {
  readonly reachX: number
  readonly reachY: number
  readonly roomKg: number
  /** The heaviest single box that may stand on it. */
  readonly heaviestKg: number
}

/** The boxes of a block that is made of one kind. */
interface BoxesOfBlock {
  readonly part: Part
  readonly kind: Kind
  readonly stance: Stance
}

/** Where a block may stand by mass, stacking, lifting, door and deck, and what it then puts on what carries it. */
export class StandingRules {
  private readonly model: SearchModel
  private readonly boxes: readonly (BoxesOfBlock | undefined)[]
  /** Of each block's boxes: mass of one, mass of a column, floor edges of one, and whether it keeps to the floor. */
  private readonly boxKg: Float64Array
  private readonly columnKg: Float64Array
  private readonly boxX: Int32Array
  private readonly boxY: Int32Array
  private readonly floorOnly: Uint8Array

  constructor(model: SearchModel) {
    const { blocks, kinds } = model
    this.model = model
    this.boxes = Array.from({ length: blocks.count }, (_, b) => {
      const part = blocks.parts[blocks.partStart[b] as number]
      const kind = kinds[part?.kind ?? 0]
      const stance = kind?.stances[part?.stance ?? 0]
      return part === undefined || kind === undefined || stance === undefined
        ? undefined
        : { part, kind, stance }
    })
    this.boxKg = Float64Array.from(this.boxes, (of) => of?.kind.massKg ?? 0)
    this.columnKg = Float64Array.from(this.boxes, (of) => (of?.kind.massKg ?? 0) * (of?.part.nz ?? 0))
    this.boxX = Int32Array.from(this.boxes, (of) => of?.stance.dx ?? 0)
    this.boxY = Int32Array.from(this.boxes, (of) => of?.stance.dy ?? 0)
    this.floorOnly = Uint8Array.from(this.boxes, (of) => (of?.kind.floorOnly === true ? 1 : 0))
  }

  /**
   * What stands under the corner of a space where the next block goes. Most blocks that may not stand in a space fail
   * already there, which costs far less to see than the whole question of who carries what.
   */
  cornerUnder(state: State, s: number): Corner | undefined {
    const { loads, spaces } = state
    const at = s * spaceRow
    const z = spaces[at + 4] as number
    if (loads === undefined || z === 0) return undefined
    const [x0, y0] = [spaces[at] as number, spaces[at + 1] as number]
    const [x1, y1] = [spaces[at + 2] as number, spaces[at + 3] as number]
    const front = atFront(this.model, x0, x1)
    const left = atLeft(this.model, y0, y1)
    const i = loads.topAt(front ? x0 : x1 - 1, left ? y0 : y1 - 1, z)
    if (i < 0) return undefined
    return {
      reachX: front ? (loads.x1[i] as number) - x0 : x1 - (loads.x0[i] as number),
      reachY: left ? (loads.y1[i] as number) - y0 : y1 - (loads.y0[i] as number),
      roomKg: (loads.limit[i] as number) - (loads.load[i] as number) + 1e-9,
      heaviestKg: Math.max(loads.mass[i] as number, this.model.heavyFromKg - 1e-9),
    }
  }

  /** Whether what stands under the corner bears the block's first column. */
  cornerAllows(corner: Corner, b: number): boolean {
    if (this.floorOnly[b] === 1 || (this.boxKg[b] as number) > corner.heaviestKg) return false
    const dx = this.boxX[b] as number
    const dy = this.boxY[b] as number
    const over = (Math.min(dx, corner.reachX) * Math.min(dy, corner.reachY)) / (dx * dy)
    return (this.columnKg[b] as number) * over <= corner.roomKg
  }

  /** Whether a block may stand at a place of its size that is free. */
  allows(state: State, b: number, x: number, y: number, z: number): boolean {
    const { model } = this
    const { blocks } = model
    const boxes = this.boxes[b]
    const mass = blocks.mass[b] as number
    if (boxes === undefined || state.mass + mass > model.payloadKg) return false
    const { part, kind, stance } = boxes
    if (z > 0 && kind.floorOnly) return false
    if (kind.massKg >= model.liftFromKg && z + (part.nz - 1) * stance.dz > model.liftHighestMm) return false
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
    const mostInBin = mostInBinKg(limit)
    const last = Math.floor((x + dx - 1) / lineBinMm)
    for (let bin = Math.floor(x / lineBinMm); bin <= last; bin++) {
      const from = Math.max(x, bin * lineBinMm)
      const to = Math.min(x + dx, (bin + 1) * lineBinMm)
      if ((state.line[bin] as number) + (mass * (to - from)) / dx > mostInBin) return false
    }
    return true
  }

  /**
   * Adds a placed block's mass to what carries it and to the metres it stands on.
   *
   * @returns whether anything may stand on it
   */
  bear(state: State, b: number, x: number, y: number, z: number): boolean {
    const boxes = this.boxes[b]
    if (boxes === undefined) return true
    const { part, kind, stance } = boxes
    for (let i = 0; i < part.nx; i++) {
      for (let j = 0; j < part.ny; j++) {
        const px = x + i * stance.dx
        const py = y + j * stance.dy
        state.loads?.put(px, py, z, stance.dx, stance.dy, stance.dz, part.nz, kind.massKg, kind.limitKg)
      }
    }
    if (state.line !== undefined) {
      const { dx, mass } = this.model.blocks
      addToLine(state.line, x, dx[b] as number, mass[b] as number)
    }
    return kind.limitKg > 0
  }
}
