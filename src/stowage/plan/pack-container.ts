import {
  type Hold,
  HoldSearch,
  type LoadPlan,
  type LoadRules,
  type Piece,
  stances,
  stowedM3,
  tradePlaces,
  validate,
} from '../packing/index.js'
import type { LoadPiece, VehiclePlace } from '../pieces/index.js'

/** One way to stand the vehicles of a load; without vehicles there is one, with nothing fixed. */
export interface VehicleStand {
  readonly place?: VehiclePlace
  readonly fixed: NonNullable<Hold['fixed']>
}

/** How the plan of one container is looked for. */
export interface ContainerSearch {
  readonly rules: LoadRules
  /** Most pieces or blocks moved into place in all, the measure of work that is the same on every machine. */
  readonly work: number
  readonly seed?: number
  /** How far the scores of a repacking vary; left out: as `HoldSearch` has it. */
  readonly noise?: number
  /** Stow what is needed first near the door, at the cost of more work: its kinds are told apart from like ones. */
  readonly wishes?: boolean
  /** How much of its room a piece counts to the search, where not all are wanted alike; left out: all of it. */
  readonly weight?: (piece: LoadPiece) => number
  /** Asked again and again; true ends with the best plan so far. */
  readonly stop?: () => boolean
  readonly onProgress?: (progress: {
    container: string
    placed: number
    pieces: number
    volumeShare: number
  }) => void
}

/** The best valid plan of one container. */
export interface ContainerPlan<H extends Hold = Hold> {
  /** The hold with its vehicles in place. */
  readonly hold: H
  readonly vehiclePlace?: VehiclePlace
  readonly plan: LoadPlan
  readonly workUsed: number
  /** Plans that the validator refused. */
  readonly discarded: number
}

interface Look {
  readonly at: VehicleStand
  readonly search: HoldSearch
}

/**
 * The search for the best valid plan of one container over the places of its vehicles, which can be continued. All
 * places are looked at with equal work; each time that it goes on, the worse half is dropped.
 */
export class ContainerPacking<H extends Hold = Hold> {
  private readonly hold: H
  private readonly pieces: readonly LoadPiece[]
  private readonly rules: LoadRules
  private readonly all: readonly Look[]
  private looks: readonly Look[]
  private begun = false

  constructor(
    hold: H,
    stands: readonly VehicleStand[],
    pieces: readonly LoadPiece[],
    {
      rules,
      seed = 1,
      wishes = false,
      noise,
      weight,
    }: Pick<ContainerSearch, 'rules' | 'seed' | 'wishes' | 'noise' | 'weight'>,
  ) {
    this.hold = hold
    this.pieces = pieces
    this.rules = rules
    const toStow = pieces.map((piece) => ({
      ...byRoom(piece, wishes),
      ...(weight === undefined ? {} : { value: stowedM3(piece) * weight(piece) }),
    }))
    this.all = stands.flatMap(({ place, fixed }): Look[] => {
      const full: Hold = fixed.length === 0 ? hold : { ...hold, fixed }
      return ceilings(full, pieces).map((ceilingMm): Look => {
        const options = {
          rules,
          seed,
          from: 'front',
          widest: 2,
          ceilingMm,
          ...(noise === undefined ? {} : { noise }),
        } as const
        const at = { ...(place === undefined ? {} : { place }), fixed }
        return { at, search: new HoldSearch(full, toStow, options) }
      })
    })
    this.looks = this.all
  }

  /** Blocks moved into place so far. */
  get workUsed(): number {
    return this.all.reduce((sum, { search }) => sum + search.workUsed, 0)
  }

  /** Everything is in, and the plan is balanced. */
  get isDone(): boolean {
    return this.all.some(({ search }) => search.isDone)
  }

  /** Goes on for so much work more. */
  advance(work: number, stop: () => boolean = () => false, onProgress?: ContainerSearch['onProgress']): void {
    if (this.isDone || work <= 0) return
    if (this.begun) this.dropWorse()
    this.begun = true
    for (const { search } of this.looks) {
      search.advance({
        work: search.workUsed + work / this.looks.length,
        stop,
        better: ({ placed, volumeShare }) =>
          onProgress?.({ container: this.hold.id, placed, pieces: this.pieces.length, volumeShare }),
      })
      if (search.isDone) return
    }
  }

  private dropWorse(): void {
    if (this.looks.length === 1) return
    const ranked = this.looks
      .map((look) => ({ look, score: aboardScore(this.pieces, look.search.plan()) }))
      .sort((a, b) => b.score - a.score)
    this.looks = ranked.slice(0, Math.ceil(this.looks.length / 2)).map(({ look }) => look)
  }

  /** The best plan so far that the validator accepts; nothing when there is none. */
  best(): ContainerPlan<H> | undefined {
    const done = this.all.filter(({ search }) => search.isDone)
    const looks = [...done, ...this.all.filter(({ search }) => !search.isDone && search.workUsed > 0)]
    let discarded = 0
    let best: { at: VehicleStand; hold: H; plan: LoadPlan; score: number } | undefined
    for (const { at, search } of looks) {
      const plan = search.plan()
      const score = aboardScore(this.pieces, plan)
      if (best !== undefined && score <= best.score) continue
      const hold: H = at.fixed.length === 0 ? this.hold : { ...this.hold, fixed: at.fixed }
      if (!this.isValid(hold, plan)) discarded++
      else best = { at, hold, plan, score }
    }
    if (best === undefined) return undefined
    const { place } = best.at
    return {
      hold: best.hold,
      ...(place === undefined ? {} : { vehiclePlace: place }),
      plan: this.settled(best.hold, best.plan),
      workUsed: this.workUsed,
      discarded,
    }
  }

  /** The heavier lower, where the plan keeps every rule with it. */
  private settled(hold: H, plan: LoadPlan): LoadPlan {
    const low = tradePlaces(hold, this.pieces, plan, this.rules)
    return low === plan || this.isValid(hold, low) ? low : plan
  }

  private isValid(hold: H, plan: LoadPlan): boolean {
    return validate(asSaid(hold, plan), this.pieces, plan, this.rules).length === 0
  }
}

/**
 * The hold by which a plan is judged. A load may be so small or so one-sided that it cannot be brought to the middle of
 * the width or low enough: the plan then says so, and is no worse for it. Lengthwise there is no such pardon.
 */
function asSaid(hold: Hold, plan: LoadPlan): Hold {
  const { balanceAcrossShare: _, balanceHeightShare: __, ...lengthwise } = hold
  return plan.unmet.length === 0 ? hold : lengthwise
}

/** In how many turns the work of one container is spent: all places at first, then the better ones. */
const turns = 3

/**
 * The best valid plan of one container for a budget of work. Deterministic: the same pieces, hold, work and seed give
 * the same plan on every machine, unless `stop` ends it early.
 *
 * @returns nothing when no plan tried keeps every rule
 */
export function packContainer<H extends Hold>(
  hold: H,
  stands: readonly VehicleStand[],
  pieces: readonly LoadPiece[],
  search: ContainerSearch,
): ContainerPlan<H> | undefined {
  const packing = new ContainerPacking(hold, stands, pieces, search)
  for (let turn = 0; turn < turns; turn++) {
    const left = search.work - packing.workUsed
    packing.advance(left / (turns - turn), search.stop, search.onProgress)
  }
  return packing.best()
}

/** Share of the room under a lowered ceiling that goods fill: low enough to spread a part load, with room to spare. */
const spreadShare = 0.62

/**
 * Heights to load up to, mm: the roof; and for a part load lower, so that it is spread over the length as a crew does,
 * heavy goods low and the centre of gravity near the middle.
 */
function ceilings(hold: Hold, pieces: readonly LoadPiece[]): readonly number[] {
  const taken = (hold.fixed ?? []).reduce((sum, { clear }) => sum + clear.dx * clear.dy, 0)
  const floorMm2 = hold.lengthMm * hold.widthMm - taken
  const goodsMm3 = pieces.reduce((sum, piece) => sum + m3(piece) * 1e9, 0)
  const tallest = pieces.reduce((most, piece) => {
    const least = Math.min(...stances(piece).map((s) => s.heightMm))
    return least <= hold.heightMm ? Math.max(most, least) : most
  }, 0)
  const low = Math.ceil(Math.max(goodsMm3 / (floorMm2 * spreadShare), tallest))
  return low < hold.heightMm * 0.9 ? [low, hold.heightMm] : [hold.heightMm]
}

/** What is on board: volume, and a little for what the goods cost. */
export function aboardScore(pieces: readonly LoadPiece[], plan: LoadPlan): number {
  const out = new Set(plan.leftOut.map(({ pieceId }) => pieceId))
  const aboard = pieces.filter((piece) => !out.has(piece.id))
  return aboard.reduce((sum, p) => sum + m3(p) + p.worth / 1e4, 0)
}

// To the search a piece is worth the room it takes: what it costs would only tell pieces alike in size apart. Needed first
// is a matter of where a piece stands, not of whether it is taken.
function byRoom({ firstNeeded, value: _, ...piece }: LoadPiece, wishes: boolean): Piece {
  return wishes && firstNeeded === true ? { ...piece, firstNeeded } : piece
}

const m3 = (p: Piece): number => (p.lengthMm * p.widthMm * p.heightMm) / 1e9
