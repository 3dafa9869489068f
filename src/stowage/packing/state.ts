import type { SearchModel } from './model.js'
import { StackLoads } from './stack-loads.js'

/** Numbers of one free space: x0, y0, x1, y1, base height, ceiling. */
export const spaceRow = 6
/** Numbers of one placed block: block, x, y, z. */
const placedRow = 4

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

  /** Counts a block in: stock, value, mass and moments, and its row. */
  add(model: SearchModel, b: number, x: number, y: number, z: number): void {
    const { blocks } = model
    const dx = blocks.dx[b] as number
    const dy = blocks.dy[b] as number
    for (let u = blocks.useStart[b] as number; u < (blocks.useStart[b + 1] as number); u++) {
      const k = blocks.useKind[u] as number
      this.left[k] = (this.left[k] as number) - (blocks.useCount[u] as number)
    }
    this.value += blocks.value[b] as number
    this.mass += blocks.mass[b] as number
    this.massMoment += (blocks.mass[b] as number) * (x + dx / 2)
    this.acrossMoment += (blocks.mass[b] as number) * (y + dy / 2 - model.widthMm / 2)
    this.moment += (blocks.volume[b] as number) * (x + dx / 2)
    if (x + dx > this.usedLength) this.usedLength = x + dx
    const p = this.placedCount * placedRow
    if (p + placedRow > this.placed.length) {
      const bigger = new Int32Array(this.placed.length * 2)
      bigger.set(this.placed)
      this.placed = bigger
    }
    this.placed[p] = b
    this.placed[p + 1] = x
    this.placed[p + 2] = y
    this.placed[p + 3] = z
    this.placedCount++
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

/** Takes a free space away; the last one gets its row. */
export function dropSpace(state: State, s: number): void {
  const last = --state.spaceCount
  if (s !== last) {
    state.spaces.copyWithin(s * spaceRow, last * spaceRow, (last + 1) * spaceRow)
  }
}

/** Adds a free space. */
export function appendSpace(
  state: State,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  z: number,
  ceiling: number,
): void {
  state.spaces = withSpace(state.spaces, state.spaceCount, x0, y0, x1, y1, z, ceiling)
  state.spaceCount++
}

/** The rows of a list of free spaces with one more behind the first `count`: the same array, or one twice as long. */
export function withSpace(
  rows: Int32Array<ArrayBuffer>,
  count: number,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  z: number,
  ceiling: number,
): Int32Array<ArrayBuffer> {
  const at = count * spaceRow
  let list = rows
  if (at + spaceRow > rows.length) {
    list = new Int32Array(rows.length * 2)
    list.set(rows)
  }
  list[at] = x0
  list[at + 1] = y0
  list[at + 2] = x1
  list[at + 3] = y1
  list[at + 4] = z
  list[at + 5] = ceiling
  return list
}

/** Whether blocks are put to the front end of a space: always, or where that end wall is nearer. */
export function atFront({ frontFirst, lengthMm }: SearchModel, x0: number, x1: number): boolean {
  return frontFirst || x0 <= lengthMm - x1
}

/** Whether blocks are put to the left of a space: where that side wall is nearer. */
export function atLeft({ widthMm }: SearchModel, y0: number, y1: number): boolean {
  return y0 <= widthMm - y1
}
