import {
  type Hold,
  HoldSearch,
  type LoadPlan,
  type LoadRules,
  type Piece,
  stances,
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
 * The best valid plan of one container over the places of its vehicles. All are looked at for a share of the work; then
 * the better half goes on with more each, until one is left or everything is in.
 * Deterministic: the same pieces, hold, work and seed give the same plan on every machine, unless `stop` ends it early.
 *
 * @returns nothing when no plan tried keeps every rule
 */
export function packContainer<H extends Hold>(
  hold: H,
  stands: readonly VehicleStand[],
  pieces: readonly LoadPiece[],
  search: ContainerSearch,
): ContainerPlan<H> | undefined {
  const { rules, seed = 1 } = search
  const stop = search.stop ?? ((): boolean => false)
  const valued = pieces.map(byRoom)
  let looks = stands.flatMap(({ place, fixed }): Look[] => {
    const full: Hold = fixed.length === 0 ? hold : { ...hold, fixed }
    return ceilings(full, pieces).map((ceilingMm): Look => {
      const options = { rules, seed, from: 'front', widest: 2, ceilingMm } as const
      const at = { ...(place === undefined ? {} : { place }), fixed }
      return { at, search: new HoldSearch(full, valued, options) }
    })
  })
  const all = looks
  let round = Math.ceil(Math.log2(looks.length))
  let done: Look | undefined
  for (;;) {
    const spent = all.reduce((sum, look) => sum + look.search.workUsed, 0)
    const part = (search.work - spent) / (round + 1) / looks.length
    for (const look of looks) {
      look.search.advance({
        work: look.search.workUsed + part,
        stop,
        better: ({ placed, volumeShare }) =>
          search.onProgress?.({ container: hold.id, placed, pieces: pieces.length, volumeShare }),
      })
      if (look.search.isDone) done = look
      if (done !== undefined) break
    }
    if (done !== undefined || round === 0 || stop()) break
    const ranked = looks
      .map((look) => ({ look, score: aboardScore(pieces, look.search.plan()) }))
      .sort((a, b) => b.score - a.score)
    looks = ranked.slice(0, Math.ceil(looks.length / 2)).map(({ look }) => look)
    round--
  }
  return bestOf(hold, pieces, rules, done === undefined ? all : [done, ...all.filter((l) => l !== done)])
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

function bestOf<H extends Hold>(
  hold: H,
  pieces: readonly LoadPiece[],
  rules: LoadRules,
  looks: readonly Look[],
): ContainerPlan<H> | undefined {
  const workUsed = looks.reduce((sum, { search }) => sum + search.workUsed, 0)
  let discarded = 0
  let best: { at: VehicleStand; hold: H; plan: LoadPlan; score: number } | undefined
  for (const { at, search } of looks) {
    const plan = search.plan()
    const score = aboardScore(pieces, plan)
    if (best !== undefined && score <= best.score) continue
    const full: H = at.fixed.length === 0 ? hold : { ...hold, fixed: at.fixed }
    if (validate(full, pieces, plan, rules).length > 0) discarded++
    else best = { at, hold: full, plan, score }
  }
  if (best === undefined) return undefined
  const { place } = best.at
  return {
    hold: best.hold,
    ...(place === undefined ? {} : { vehiclePlace: place }),
    plan: best.plan,
    workUsed,
    discarded,
  }
}

/** What is on board: volume, and a little for what the goods cost. */
export function aboardScore(pieces: readonly LoadPiece[], plan: LoadPlan): number {
  const out = new Set(plan.leftOut.map(({ pieceId }) => pieceId))
  const aboard = pieces.filter((piece) => !out.has(piece.id))
  return aboard.reduce((sum, p) => sum + m3(p) + p.worth / 1e4, 0)
}

// To the search a piece is worth the room it takes: what it costs would only tell pieces alike in size apart. Needed first
// is a matter of where a piece stands, not of whether it is taken.
function byRoom({ firstNeeded: _, value: __, ...piece }: LoadPiece): Piece {
  return piece
}

const m3 = (p: Piece): number => (p.lengthMm * p.widthMm * p.heightMm) / 1e9
