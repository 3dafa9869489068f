import { type BeamLimits, beamSearch } from './beam.js'
import { finish } from './finish.js'
import { Improver } from './improve.js'
import { type Kind, sortIntoKinds } from './kinds.js'
import { likely } from './likely.js'
import { type SearchModel, searchModel } from './model.js'
import { loadScore, type State } from './state.js'
import { type Hold, holdMm3, type LeftOut, type LoadPlan, type LoadRules, type Piece } from './types.js'
import { unpackState } from './unpack.js'

/** What a search is asked between two steps, and whom it tells. */
export interface SearchTurn {
  /** Work up to which to go, counted from the beginning of the search. */
  readonly work: number
  /** Asked again and again; true ends the turn. */
  readonly stop: () => boolean
  readonly better?: (progress: { placed: number; volumeShare: number; plan: () => LoadPlan }) => void
}

/** How far the scores of a repacking vary where nobody says otherwise. */
const usualNoise = 0.8

/** Blocks that the first look may place for every piece. */
const firstLook = 40

/** Up to so many kinds the beam search is quick enough to look twice before a load is improved by repacking. */
const fewKinds = 40

/**
 * The search for the plan of one hold, which can be continued: a greedy fill, a beam search, and for loads that are
 * packed from the front wall repacking of parts until everything is in and balanced, or the work is spent.
 */
export class HoldSearch {
  readonly hold: Hold
  private readonly kinds: readonly Kind[]
  private readonly out: readonly LeftOut[]
  private readonly tried: readonly Kind[]
  private readonly rules: LoadRules
  private readonly seed: number
  private readonly from: 'front' | 'corners'
  private readonly widest: number
  private readonly ceilingMm: number
  private readonly noise: number
  private readonly pieces: number
  private beamWork = 0
  private finishedOnce = false
  private model: SearchModel | undefined
  private best: State | undefined
  private improver: Improver | undefined
  private done: LoadPlan | undefined

  constructor(
    hold: Hold,
    pieces: readonly Piece[],
    options: {
      readonly rules: LoadRules
      readonly seed: number
      readonly from: 'front' | 'corners'
      readonly widest: number
      readonly ceilingMm: number
      /** How far the scores of a repacking vary; left out: 0.8. */
      readonly noise?: number
    },
  ) {
    const { kinds, refused } = sortIntoKinds(hold, pieces, options.rules)
    this.hold = hold
    this.pieces = Math.min(pieces.length, 500)
    this.kinds = kinds
    this.out = refused.map(({ piece, reason }) => ({ pieceId: piece.id, reason }))
    this.tried = likely(hold, kinds)
    this.rules = options.rules
    this.seed = options.seed
    this.from = options.from
    this.widest = options.widest
    this.ceilingMm = options.ceilingMm
    this.noise = options.noise ?? usualNoise
  }

  /** Blocks moved into place so far. */
  get workUsed(): number {
    return Math.ceil(this.beamWork + (this.improver?.work ?? 0))
  }

  /** Score of the best load: value aboard, less for a load out of balance. */
  get score(): number {
    return this.model === undefined || this.best === undefined ? 0 : loadScore(this.model, this.best)
  }

  /** Everything that passes the door is in, and the plan keeps every rule of balance. */
  get isDone(): boolean {
    return this.done !== undefined
  }

  /** The plan of the best load so far. */
  plan(): LoadPlan {
    if (this.done !== undefined) return this.done
    const standing =
      this.model === undefined || this.best === undefined ? [] : unpackState(this.model, this.best)
    return finish(this.hold, this.kinds, this.out, standing, this.rules, this.seed)
  }

  /** Goes on looking. The first turn always makes a plan, whatever the limits. */
  advance(turn: SearchTurn): void {
    if (this.done !== undefined || this.tried.length === 0) return
    if (this.model === undefined) this.begin(turn)
    const { model } = this
    if (model === undefined || this.best === undefined || this.from === 'corners' || this.done !== undefined)
      return
    const improver = this.improver ?? new Improver(model, this.best, this.seed, this.noise)
    this.improver = improver
    improver.advance(turn.work - this.beamWork, turn.stop, (best) => {
      this.tell(turn, model, best)
      return this.finished(model, best)
    })
    this.best = improver.best
  }

  private begin(turn: SearchTurn): void {
    const improves = this.from === 'front'
    const limits = (model: SearchModel): BeamLimits => ({
      stop: turn.stop,
      // A first look is taken whole, so that a small budget does not end with half of it.
      work: improves ? Math.max(turn.work, firstLook * this.pieces) : turn.work,
      widest: improves ? Math.min(this.tried.length <= fewKinds ? 8 : 1, this.widest) : this.widest,
      enough: (state) => isFull(state),
      better: (state) => this.tell(turn, model, state),
      remeasure: this.tried.length <= 120 && this.hold.lengthMm <= 2000,
    })
    const models = densityPowers(this.tried).map(
      (densityPower) => (): SearchModel =>
        searchModel(this.hold, this.tried, this.rules, {
          from: this.from,
          ceilingMm: this.ceilingMm,
          densityPower,
        }),
    )
    const model = this.bestAtFirstSight(models, limits)
    this.model = model
    this.best = this.beam(model, limits(model))
    this.finished(model, this.best)
  }

  private beam(model: SearchModel, limits: BeamLimits): State {
    const { best, work } = beamSearch(model, limits)
    this.beamWork += work
    return best
  }

  /** The model whose plain fill, without any search, scores most; the first is filled and told of in any case. */
  private bestAtFirstSight(
    models: readonly (() => SearchModel)[],
    limits: (model: SearchModel) => BeamLimits,
  ): SearchModel {
    const [first, ...others] = models
    if (first === undefined) throw new Error('packing: found no way to choose, expected one or more.')
    let model = first()
    if (others.length === 0) return model
    let most = loadScore(model, this.beam(model, { ...limits(model), widest: 0 }))
    for (const other of others) {
      const next = other()
      const l = limits(next)
      if (l.stop()) break
      const score = loadScore(next, this.beam(next, { ...l, widest: 0, better: () => {} }))
      if (score <= most) continue
      model = next
      most = score
    }
    return model
  }

  private finished(model: SearchModel, state: State): boolean {
    if (!isFull(state) || this.tried.length < this.kinds.length) return false
    // Making a plan takes long: only where balance is likely, and once where nothing else is known.
    if (this.finishedOnce && loadScore(model, state) < state.value - 1e-9) return false
    this.finishedOnce = true
    const plan = finish(this.hold, this.kinds, this.out, unpackState(model, state), this.rules, this.seed)
    if (plan.leftOut.length > this.out.length || plan.unmet.length > 0) return false
    this.done = plan
    return true
  }

  private tell(turn: SearchTurn, model: SearchModel, state: State): void {
    if (turn.better === undefined) return
    const standing = unpackState(model, state)
    turn.better({
      placed: standing.length,
      volumeShare: standing.reduce((sum, { at }) => sum + at.dx * at.dy * at.dz, 0) / holdMm3(this.hold),
      plan: () => finish(this.hold, this.kinds, this.out, standing, this.rules, this.seed),
    })
  }
}

function isFull(state: State): boolean {
  return state.left.every((n) => n === 0)
}

// Where a cubic metre of one thing is worth more than of another, it is worth trying how far the choice of what goes in
// first should go by that.
function densityPowers(kinds: readonly Kind[]): readonly number[] {
  const densities = kinds.flatMap((kind) => {
    const s = kind.stances[0]
    return s === undefined ? [] : [(kind.value * 1e9) / (s.dx * s.dy * s.dz)]
  })
  const [least, most] = [Math.min(...densities), Math.max(...densities)]
  return kinds.length > 1 && most > least * (1 + 1e-6) ? [0, 0.25, 0.5, 1, 2] : [0]
}
