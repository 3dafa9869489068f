import type { Move, Plan } from '../plan/move.js'
import { type LoadPlan, stowedM3 } from '../stowage/packing/index.js'
import type { LoadPiece } from '../stowage/pieces/index.js'
import { type Candidate, packVerdict } from '../stowage/plan/index.js'
import type { LoadHold } from './hold-of.js'
import type { LoadedContainer, LoadOptions, LoadResult } from './load-result.js'
import { questionOf } from './packed-plans.js'

/** A scenario's container with a share of another, or several containers of one kind. */
export interface Booking {
  readonly container: string
  /** What the container leaves goes by a share. */
  readonly share: boolean
}

/** What a scenario books where that is more than one container; nothing where another container is asked for. */
export function bookingOf(plan: Plan, asked: string | undefined): Booking | undefined {
  const booked = plan.sheet.choices.get('transport')
  const containers = plan.sheet.cells.get(`options.${booked}.containers`)?.value.toNumber() ?? 0
  const [container = '', share] = booked?.split('+') ?? []
  if (asked !== undefined && asked !== container) return undefined
  if (share === undefined ? containers < 2 : containers < 1) return undefined
  return { container, share: share !== undefined }
}

/** Room of goods that the share is charged for, m³ as they stand, before the share's own factor. */
export function chargedM3(plan: Plan, { container }: Booking): number {
  const units = plan.sheet.cells.get(`options.${container}+groupage.groupage-units`)?.value.toNumber() ?? 0
  const factor = plan.inputs.numbers.get('groupage.gross-factor')?.likely.toNumber() ?? 1
  return units / factor
}

export function bookedOf(plan: Plan): Pick<LoadResult, 'booked'> {
  const booked = plan.sheet.choices.get('transport')
  return booked === undefined || plan.sheet.cells.has(`options.${booked}.containers`) === false
    ? {}
    : { booked }
}

/**
 * What packing found when the scenario was planned, in the container that everything went into: the brief books that one,
 * and a shorter or busier search must not say otherwise. It is packed again by the same work, which gives the same plan.
 */
export function asBooked(
  move: Move,
  plan: Plan,
  candidates: readonly Candidate<LoadHold>[],
  best: LoadedContainer | undefined,
  onProgress: LoadOptions['onProgress'],
  booking: Booking | undefined,
): LoadedContainer | undefined {
  if (booking !== undefined && best !== undefined) {
    const outM3 = volumeOf(best.plan.leftOut, questionOf(move, plan, booking.container).pieces)
    return booking.share && outM3 > chargedM3(plan, booking)
      ? (asPacked(move, plan, candidates, booking.container, onProgress) ?? best)
      : best
  }
  const rank = (id: string | undefined): number => candidates.findIndex(({ hold }) => hold.id === id)
  const found = best?.plan.leftOut.length === 0 ? rank(best.hold.id) : candidates.length
  const booked = candidates
    .slice(0, found)
    .find(({ hold }) => plan.inputs.choices.get(`packed.${hold.id}`)?.value === 'everything')
  if (booked === undefined) return best
  const packed = asPacked(move, plan, candidates, booked.hold.id, onProgress)
  return packed !== undefined && packed.plan.leftOut.length === 0 ? packed : best
}

/** A container packed once more by the work of planning, which gives the plan that was found then. */
function asPacked(
  move: Move,
  plan: Plan,
  candidates: readonly Candidate<LoadHold>[],
  container: string,
  onProgress: LoadOptions['onProgress'],
): LoadedContainer | undefined {
  const candidate = candidates.find(({ hold }) => hold.id === container)
  const question = questionOf(move, plan, container)
  onProgress?.({ container, placed: 0, pieces: question.pieces.length, volumeShare: 0 })
  const verdict = packVerdict(question)
  if (verdict.plan === undefined || candidate === undefined) return undefined
  const { hold, stands } = candidate
  const { vehiclePlace } = verdict
  const stand = stands.find(({ place }) => place === vehiclePlace)
  return {
    hold: stand === undefined || stand.fixed.length === 0 ? hold : { ...hold, fixed: stand.fixed },
    ...(vehiclePlace === undefined ? {} : { vehiclePlace }),
    plan: verdict.plan,
  }
}

/** Room that the pieces left out take as they stand, m³. */
export function volumeOf(leftOut: LoadPlan['leftOut'], pieces: readonly LoadPiece[]): number {
  const out = new Set(leftOut.map(({ pieceId }) => pieceId))
  return pieces.reduce((sum, p) => sum + (out.has(p.id) ? stowedM3(p) : 0), 0)
}
