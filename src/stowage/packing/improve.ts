import { seeded } from './balance.js'
import type { SearchModel } from './model.js'
import { Placer } from './placer.js'
import { loadScore, State } from './state.js'

/** Ways to choose the next space and to weigh the room left, drawn anew for every repacking. */
const spaceKeys = [
  [2, 1, 1],
  [2, 1, 1],
  [3, 1, 1],
  [1, 1, 1],
  [2, 2, 1],
  [2, 0.5, 1],
  [4, 1, 0.5],
] as const
const roomPowers = [4, 4, 2, 6] as const

/** Part of the hold's length, mm from the front wall. */
type Stretch = readonly [from: number, to: number]

/** Repackings in a row without a better load after which it starts again: so many, and more for each piece. */
const vain = { always: 60, perPiece: 6 }
/**
 * Improves a load by taking part of it out and packing again: a stretch of the hold, often the one at the door, with
 * all that stands on it. What was left out is scored higher each time, so that it is placed before what fits anywhere.
 * The best load is remembered.
 *
 * Large neighbourhood search after P. Shaw, "Using constraint programming and local search methods to solve vehicle
 * routing problems" (1998), with the blocks and free spaces of this folder.
 */
export class Improver {
  readonly best: State
  private readonly model: SearchModel
  private readonly placer: Placer
  private readonly current: State
  private readonly trial: State
  private readonly empty: State
  private readonly random: () => number
  /** How far the scores of a repacking vary: the logarithm of a score lies within half of it either way. */
  private readonly noise: number
  private readonly factor: Float64Array
  private readonly noisy: Float64Array
  /** Mass per volume of each kind over that of all goods. */
  private readonly density: Float64Array
  private bestScore: number
  private readonly vain: number
  private sinceBetter = 0
  private readonly start: State

  constructor(model: SearchModel, start: State, seed: number, noise: number) {
    this.model = model
    this.noise = noise
    this.placer = new Placer(model, 1)
    this.empty = State.start(model)
    this.best = new State(model)
    this.best.copyFrom(start)
    this.current = new State(model)
    this.current.copyFrom(start)
    this.trial = new State(model)
    this.start = new State(model)
    this.start.copyFrom(start)
    this.random = seeded(Math.imul(seed, 0x9e3779b1) ^ 0x5bd1e995)
    this.factor = new Float64Array(model.kinds.length).fill(1)
    this.noisy = new Float64Array(model.kinds.length)
    this.density = densities(model)
    this.bestScore = loadScore(model, start)
    const pieces = model.kinds.reduce((sum, kind) => sum + kind.pieces.length, 0)
    this.vain = vain.always + vain.perPiece * pieces
  }

  /** Blocks placed since the start. */
  get work(): number {
    return this.placer.work
  }

  /** Whether every piece is in. */
  get complete(): boolean {
    return this.best.left.every((n) => n === 0)
  }

  /**
   * Goes on until so much work is done in all, or a stop.
   *
   * @param better told of every better load; true ends the search
   */
  advance(untilWork: number, stop: () => boolean, better: (best: State) => boolean): void {
    while (this.work < untilWork && !stop()) {
      if (this.sinceBetter >= this.vain) this.startAgain()
      this.repack()
      if (this.isBetter(this.trial, this.bestScore, this.best)) {
        this.best.copyFrom(this.trial)
        this.bestScore = loadScore(this.model, this.trial)
        this.sinceBetter = 0
        if (better(this.best)) return
      } else this.sinceBetter++
    }
  }

  private startAgain(): void {
    this.sinceBetter = 0
    this.factor.fill(1)
    this.current.copyFrom(this.start)
  }

  private isBetter(state: State, score: number, than: State): boolean {
    const own = loadScore(this.model, state)
    if (Math.abs(own - score) > 1e-9) return own > score
    return state.moment < than.moment
  }

  private repack(): void {
    const { random, placer, trial, current, model } = this
    const { kinds } = model
    for (let k = 0; k < kinds.length; k++) {
      // What stays out is scored higher; what went in is slowly forgotten.
      const out = (current.left[k] as number) > 0
      const f = this.factor[k] as number
      this.factor[k] = out ? Math.min(16, f * 1.08) : 1 + (f - 1) * 0.97
      this.noisy[k] = (this.factor[k] as number) * Math.exp((random() - 0.5) * this.noise)
    }
    // Sorting the blocks anew costs about as much as placing one; and where nothing goes in, work must still end.
    placer.work++
    const stretches = this.stretches()
    placer.favour(this.noisy)
    placer.spaceKey = spaceKeys[Math.floor(random() * spaceKeys.length)] ?? spaceKeys[0]
    placer.roomPower = roomPowers[Math.floor(random() * roomPowers.length)] ?? 4
    const kept = this.kept(stretches)
    placer.restart(trial, this.empty)
    for (const p of kept) {
      const at = p * 4
      placer.putBack(
        trial,
        current.placed[at] as number,
        current.placed[at + 1] as number,
        current.placed[at + 2] as number,
        current.placed[at + 3] as number,
      )
    }
    fill(placer, trial)
    if (this.missed(trial) <= this.missed(current) * (1 + 0.02 * random()) + 1e-9) current.copyFrom(trial)
    // A long way down without success: start again from the best.
    if (this.sinceBetter > 0 && this.sinceBetter % 150 === 0) {
      current.copyFrom(this.best)
    }
  }

  /**
   * What a load misses: the value left out, each kind counted as often as its score has grown, and what lies out of
   * balance. So a large piece that stayed out for long may in the end push out several others.
   */
  private missed(state: State): number {
    const { kinds } = this.model
    let missed = state.value - loadScore(this.model, state)
    for (let k = 0; k < kinds.length; k++) {
      missed += (state.left[k] as number) * (kinds[k]?.value ?? 0) * (this.factor[k] as number)
    }
    return missed
  }

  /** What is taken out: one stretch of the hold, or one in each half, where mass has to change sides. */
  private stretches(): readonly Stretch[] {
    const { random, model, current } = this
    const { lengthMm, kinds } = model
    const off = current.mass === 0 ? 0 : current.massMoment / current.mass / lengthMm - 0.5
    if (Math.abs(off) > model.balanceShare * 0.7 && random() < 0.5) {
      // The first places filled lie to the front: light goods go there where the front is too heavy, else dense ones.
      const power = off < 0 ? -0.8 : 0.8
      for (let k = 0; k < kinds.length; k++) {
        this.noisy[k] = (this.noisy[k] as number) * (this.density[k] as number) ** power
      }
      const length = lengthMm * (0.08 + 0.2 * random())
      const front = random() * (lengthMm / 2 - length)
      const rear = lengthMm / 2 + random() * (lengthMm / 2 - length)
      return [
        [front, front + length],
        [rear, rear + length],
      ]
    }
    const used = Math.max(current.usedLength, 1)
    const draw = random()
    if (draw < 0.03) return [[0, lengthMm]]
    const length = lengthMm * (0.08 + 0.4 * random() * random())
    if (draw < 0.4) return [[used - length, lengthMm]]
    const from = random() * (used + length) - length
    return [[from, from + length]]
  }

  /** Rows of the present load that stay: outside the stretches, and on nothing that goes. */
  private kept(stretches: readonly Stretch[]): number[] {
    const { current, model } = this
    const { blocks } = model
    const n = current.placedCount
    const rows = Array.from({ length: n }, (_, p) => p)
    const z = (p: number): number => current.placed[p * 4 + 3] as number
    rows.sort((p, q) => z(p) - z(q) || p - q)
    const kept: number[] = []
    const gone: number[] = []
    for (const p of rows) {
      const b = current.placed[p * 4] as number
      const x = current.placed[p * 4 + 1] as number
      const y = current.placed[p * 4 + 2] as number
      const dx = blocks.dx[b] as number
      const dy = blocks.dy[b] as number
      let goes = stretches.some(([from, to]) => x < to && from < x + dx)
      for (let g = 0; !goes && g < gone.length; g++) {
        const o = gone[g] as number
        const c = current.placed[o * 4] as number
        const ox = current.placed[o * 4 + 1] as number
        const oy = current.placed[o * 4 + 2] as number
        goes =
          z(o) < z(p) &&
          ox < x + dx &&
          x < ox + (blocks.dx[c] as number) &&
          oy < y + dy &&
          y < oy + (blocks.dy[c] as number)
      }
      if (goes) gone.push(p)
      else kept.push(p)
    }
    return kept
  }
}

function densities({ kinds }: SearchModel): Float64Array {
  const mm3 = kinds.map(({ stances: [s] }) => (s === undefined ? 1 : s.dx * s.dy * s.heightMm))
  const allKg = kinds.reduce((sum, kind) => sum + kind.massKg * kind.pieces.length, 0)
  const allMm3 = kinds.reduce((sum, kind, k) => sum + (mm3[k] ?? 0) * kind.pieces.length, 0)
  // Kept within a fifth and five times, so that what weighs nothing can still be scored.
  return Float64Array.from(kinds, (kind, k) =>
    Math.min(5, Math.max(0.2, allKg === 0 ? 1 : (kind.massKg * allMm3) / (allKg * (mm3[k] ?? 1)))),
  )
}

/** Fills a hold up without looking back. */
export function fill(placer: Placer, state: State): void {
  for (;;) {
    const space = placer.choose(state, 1)
    if (space < 0) return
    placer.place(state, space, placer.chosen[0] as number)
  }
}
