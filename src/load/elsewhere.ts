import type { Plan } from '../plan/move.js'
import type { LoadRules } from '../stowage/packing/index.js'
import type { LoadPiece } from '../stowage/pieces/index.js'
import { type Candidate, type ContainerPlan, keepRooms, packContainer } from '../stowage/plan/index.js'
import { type Booking, chargedM3, volumeOf } from './booking.js'
import type { LoadHold } from './hold-of.js'
import { type LoadedContainer, type LoadOptions, startAndStop } from './load-result.js'

/** What is packed and how it is looked for, for loads that follow from the best one found. */
export interface Search {
  readonly pieces: readonly LoadPiece[]
  readonly rules: LoadRules
  readonly options: LoadOptions
  /** Work for all of it. */
  readonly work: number
  /** How much more may go by a share so that rooms stay whole, m³. */
  readonly roomExtraM3: number
}

/** Share of the work for one way to keep rooms whole, the least that is worth it, and how many ways are tried. */
const splitWork = { share: 0.2, least: 40_000, tries: 5 }

/** Of a further container's room the share that goods fill when a split is proposed; packing then tells. */
const proposedShare = 0.75

/**
 * What stays out of the first container, chosen by rooms: no more by the share than is charged for, or than the fullest
 * plan leaves and row `split.room-extra` of stowage.csv; no more or larger containers than the fullest plan asks for.
 */
export function splitOf(
  plan: Plan,
  search: Search,
  candidates: readonly Candidate<LoadHold>[],
  best: LoadedContainer,
  booking: Booking | undefined,
  further: readonly LoadHold[],
): LoadedContainer {
  const { pieces, rules, options, work } = search
  const candidate = candidates.find(({ hold }) => hold.id === best.hold.id)
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  const rest = best.plan.leftOut.flatMap(({ pieceId }) => byId.get(pieceId) ?? [])
  if (candidate === undefined || rest.length === 0) return best
  const sizeOf = (loads: readonly LoadedContainer[]): number =>
    loads.reduce((sum, { hold }) => sum + hold.lengthMm * hold.widthMm * hold.heightMm, 0)
  const usual = booking?.share === true ? [] : furtherContainers(search, further, rest)
  const takes = (goods: readonly LoadPiece[]): boolean => {
    if (booking?.share === true) return true
    const loads = furtherContainers(search, further, goods)
    const stowed = loads.reduce((sum, load) => sum + load.plan.placements.length, 0)
    return stowed === goods.length && loads.length <= usual.length && sizeOf(loads) <= sizeOf(usual)
  }
  const leftM3 = volumeOf(best.plan.leftOut, pieces)
  const mostM3 =
    booking?.share === true
      ? Math.max(chargedM3(plan, booking), leftM3 + search.roomExtraM3)
      : Math.max((sizeOf(usual) / 1e9) * proposedShare, leftM3)
  options.onProgress?.({
    container: best.hold.id,
    placed: best.plan.placements.length,
    pieces: pieces.length,
    volumeShare: best.plan.volumeShare,
  })
  const found: ContainerPlan<LoadHold> = { ...best, workUsed: 0, discarded: 0 }
  const split = keepRooms(
    candidate,
    pieces,
    found,
    {
      restM3: Math.max(mostM3, volumeOf(best.plan.leftOut, pieces)),
      takesRest: takes,
      tries: splitWork.tries,
    },
    {
      rules,
      work: Math.max(work * splitWork.share, splitWork.least),
      ...startAndStop(options),
    },
  )
  if (split.first === found) return best
  const { hold, vehiclePlace, plan: packed } = split.first
  const told = new Set(packed.leftOut.map(({ pieceId }) => pieceId))
  const aside = split.rest
    .filter(({ id }) => !told.has(id))
    .map((p) => ({
      pieceId: p.id,
      reason: `${p.room} goes whole ${booking?.share === true ? 'by the share' : 'elsewhere'}.`,
    }))
  return {
    hold,
    ...(vehiclePlace === undefined ? {} : { vehiclePlace }),
    plan: { ...packed, leftOut: [...packed.leftOut, ...aside] },
  }
}

/** Containers for what the first one leaves: the smallest that takes all of it, else the fullest again and again. */
export function furtherContainers(
  search: Search,
  holds: readonly LoadHold[],
  goods: readonly LoadPiece[],
): LoadedContainer[] {
  const found: LoadedContainer[] = []
  let out = goods
  // Short and of a fixed length, so that it is done even when the search was stopped.
  while (out.length > 0 && found.length < 6) {
    const rest = out
    const loads = holds.map((hold) => quickPack(search, hold, rest))
    const whole = loads.find((load) => load !== undefined && load.plan.leftOut.length === 0)
    const next =
      whole ?? loads.toReversed().find((load) => load !== undefined && load.plan.placements.length > 0)
    if (next === undefined) break
    found.push(next)
    const still = new Set(next.plan.leftOut.map(({ pieceId }) => pieceId))
    out = rest.filter((piece) => still.has(piece.id))
  }
  return found
}

function quickPack(
  { rules, options }: Search,
  hold: LoadHold,
  pieces: readonly LoadPiece[],
): LoadedContainer | undefined {
  const { seed } = options
  return packContainer(hold, [{ fixed: [] }], pieces, {
    rules,
    work: 20_000,
    ...(seed === undefined ? {} : { seed }),
  })
}
