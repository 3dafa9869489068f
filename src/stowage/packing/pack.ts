import { HoldSearch } from './hold-search.js'
import type { Hold, LoadPlan, LoadRules, Piece } from './types.js'

/** How the packer searches, and when it stops. All may be left out. */
export interface PackOptions {
  readonly rules?: LoadRules
  /** Start of the random numbers; the same seed and `work` give the same plan. */
  readonly seed?: number
  /**
   * Most pieces or blocks moved into place in all, the measure of work that is the same on every machine.
   * Left out: no limit when a stop is given, else 200,000.
   */
  readonly work?: number
  /** Asked again and again; true ends the search with the best plan so far. */
  readonly stop?: () => boolean
  /** Together: stop `seconds` after the call by this clock in milliseconds. */
  readonly now?: () => number
  readonly seconds?: number
  /** Told of every better load; `plan()` makes the whole plan of it. */
  readonly onBetter?: (progress: PackProgress) => void
  /** Widest beam; 1 is quick and plain. Left out: 1024. */
  readonly widest?: number
  /** `front`: from the front wall to the door, as a crew works (usual); `corners`: for the fullest hold. */
  readonly from?: 'front' | 'corners'
}

/** A plan with the work it took: blocks moved into place, the measure that is the same on every machine. */
export interface PackedPlan extends LoadPlan {
  readonly workUsed: number
}

/** How far the search has come. */
export interface PackProgress {
  readonly pieces: number
  readonly placed: number
  readonly volumeShare: number
  readonly plan: () => LoadPlan
}

/**
 * Packs pieces into a hold: as much value as will go in, every base fully supported, within the hard limits of
 * pieces and hold, in an order in which it can be loaded.
 *
 * The method is beam search over blocks and largest free spaces, after the literature named in `beam.ts`,
 * `blocks.ts` and `placer.ts`. Throws when a piece or hold has a size that is not a whole number of mm above 0,
 * or a mass below 0, or when two pieces share an id.
 */
export function pack(hold: Hold, pieces: readonly Piece[], options: PackOptions = {}): PackedPlan {
  checkInput(hold, pieces)
  const stop = stopper(options)
  const work = options.work ?? (isEndless(options) ? 200_000 : Number.POSITIVE_INFINITY)
  const { onBetter } = options
  let workUsed = 0
  const attempt = (ceilingMm: number, share: number, quiet: boolean): LoadPlan => {
    const search = new HoldSearch(hold, pieces, {
      rules: options.rules ?? {},
      seed: options.seed ?? 1,
      from: options.from ?? 'front',
      widest: options.widest ?? 1024,
      ceilingMm,
    })
    search.advance({
      work: work * share,
      stop,
      ...(quiet || onBetter === undefined
        ? {}
        : { better: (progress) => onBetter({ pieces: pieces.length, ...progress }) }),
    })
    workUsed += search.workUsed
    return search.plan()
  }
  let plan = attempt(hold.heightMm, 1, false)
  // A part load that is heavy at one end is better spread out low: the same search under a lower ceiling.
  for (const share of [0.8, 0.65, 0.5, 0.35]) {
    if (!isLowerBetter(hold, plan)) break
    const low = attempt(Math.floor(hold.heightMm * share), 0.2, true)
    if (low.unmet.length === 0 && low.placements.length >= plan.placements.length) plan = low
  }
  return { ...plan, workUsed }
}

function isLowerBetter(hold: Hold, plan: LoadPlan): boolean {
  const high = plan.centreOfGravity.z / hold.heightMm > (hold.balanceHeightShare ?? Number.POSITIVE_INFINITY)
  return plan.unmet.length > 0 && (high || Math.abs(plan.balanceOffsetShare) > hold.balanceShare)
}

function isEndless(options: PackOptions): boolean {
  return options.stop === undefined && options.seconds === undefined
}

function stopper(options: PackOptions): () => boolean {
  const { now, seconds, stop } = options
  if (now === undefined || seconds === undefined) return stop ?? (() => false)
  const end = now() + seconds * 1000
  return () => now() >= end || (stop?.() ?? false)
}

function checkInput(hold: Hold, pieces: readonly Piece[]): void {
  const whole = (n: number): boolean => Number.isInteger(n) && n > 0
  if (![hold.lengthMm, hold.widthMm, hold.heightMm, hold.doorWidthMm, hold.doorHeightMm].every(whole)) {
    throw new Error(
      `hold ${hold.id}: found ${hold.lengthMm} × ${hold.widthMm} × ${hold.heightMm} mm, door ${hold.doorWidthMm} × ${hold.doorHeightMm} mm; expected whole mm above 0.`,
    )
  }
  const ids = new Set<string>()
  for (const p of pieces) {
    if (![p.lengthMm, p.widthMm, p.heightMm].every(whole)) {
      throw new Error(
        `piece ${p.id}: found ${p.lengthMm} × ${p.widthMm} × ${p.heightMm} mm, expected whole mm above 0.`,
      )
    }
    if (!(p.massKg >= 0)) throw new Error(`piece ${p.id}: found ${p.massKg} kg, expected 0 or more.`)
    if (ids.has(p.id)) throw new Error(`piece ${p.id}: found twice, expected every id once.`)
    ids.add(p.id)
  }
}
