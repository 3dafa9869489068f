import { type Stance, stances } from './kinds.js'
import type { Hold, LoadPlan, Piece } from './types.js'

/** What decides how a piece comes into its place. */
type TurnedStance = Pick<Stance, 'dx' | 'dy' | 'heightMm' | 'upright' | 'along' | 'folded'>

/**
 * Length of floor a piece needs to come into its stance, mm: its own length when it passes the door as it will stand;
 * more when it has to be turned on the floor or stood up inside; nothing when it cannot get into that stance at all.
 *
 * A piece turned on the floor sweeps the diagonal of its base, which must fit across the hold; a piece stood up sweeps
 * the diagonal of its side, which must fit under the roof. Both are geometry, with no room for hands or blankets.
 */
export function turningLengthMm(hold: Hold, piece: Piece, stance: TurnedStance): number | undefined {
  const { lengthMm, widthMm, heightMm, doorWidthMm, doorHeightMm } = hold
  if (stance.dy <= doorWidthMm && stance.heightMm <= doorHeightMm) return stance.dx
  // What bends is folded and unfolded inside.
  if (stance.folded > 0) return stance.dx
  const onFloor = Math.hypot(stance.dx, stance.dy)
  const turns = onFloor <= widthMm && onFloor <= lengthMm
  const needs: number[] = []
  for (const door of stances(piece)) {
    if (door.folded > 0 || door.dy > doorWidthMm || door.heightMm > doorHeightMm) continue
    if (door.upright === stance.upright) {
      if (turns) needs.push(onFloor)
      continue
    }
    const side = Math.hypot(edgeMm(piece, door), edgeMm(piece, stance))
    if (side > heightMm || side > lengthMm) continue
    if (needsNoTurn(door, stance)) needs.push(side)
    else if (turns) needs.push(Math.max(side, onFloor))
  }
  return needs.length === 0 ? undefined : Math.min(...needs)
}

function edgeMm(piece: Piece, { upright }: TurnedStance): number {
  return upright === 'length' ? piece.lengthMm : upright === 'width' ? piece.widthMm : piece.heightMm
}

// Stood up about an edge that stays on the floor, the piece's upright edge and the one that points up in the end change
// places; the third keeps its direction.
function needsNoTurn(door: TurnedStance, stance: TurnedStance): boolean {
  if (door.along === stance.upright) return stance.along === door.upright
  return stance.along === door.along
}

/** A piece that has to be turned or stood up inside before it reaches its place. */
export interface Turning {
  readonly pieceId: string
  /** Length of floor it takes, and free length between the place's far end and the door, mm. */
  readonly needsMm: number
  readonly freeMm: number
  /** Whether the free length is enough. */
  readonly fits: boolean
  readonly text: string
}

/**
 * Pieces of a plan that cannot be carried through the door as they will stand, in loading order: a caution for the crew,
 * who must turn or stand them up inside. `fits` is false where the place is too near the door for that.
 */
export function turnings(hold: Hold, pieces: readonly Piece[], plan: LoadPlan): readonly Turning[] {
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  return plan.placements.flatMap((at): Turning[] => {
    const piece = byId.get(at.pieceId)
    if (piece === undefined || (at.dy <= hold.doorWidthMm && at.dz <= hold.doorHeightMm)) return []
    const needs = turningLengthMm(hold, piece, { ...at, heightMm: at.dz, folded: at.folded ?? 0 })
    const needsMm = Math.ceil(needs ?? Number.POSITIVE_INFINITY)
    const freeMm = hold.lengthMm - at.x
    const fits = needsMm <= freeMm
    const name = piece.label ?? piece.id
    const how = at.dz > hold.doorHeightMm ? 'stood up' : 'turned'
    const text =
      needs === undefined
        ? `${name} passes the door, but cannot be ${how} inside to stand as planned.`
        : `${name} has to be ${how} inside: it sweeps ${needsMm} mm, and ${freeMm} mm are free up to the door${fits ? '' : ', which is too little'}.`
    return [{ pieceId: piece.id, needsMm, freeMm, fits, text }]
  })
}
