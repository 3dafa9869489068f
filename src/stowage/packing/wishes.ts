import type { Box, Hold, LoadPlan, Piece, Placement } from './types.js'

/** How far a plan meets what was asked for but is no rule. */
export interface Wishes {
  /** Groups with two or more pieces aboard, in the order of their first piece. */
  readonly groups: readonly GroupTogether[]
  /** Of all pieces in those groups, the share that stands in the largest cluster of its group; 1 without any. */
  readonly togetherShare: number
  /** Of pieces needed first: how many are aboard, and the mean of their distance to the door and of all pieces', mm. */
  readonly firstNeeded: number
  readonly firstNeededToDoorMm: number
  readonly allToDoorMm: number
}

/** One group that asked to stand together. */
export interface GroupTogether {
  readonly name: string
  readonly aboard: number
  /** Pieces in its largest cluster: each nearer than the reach to another of it. */
  readonly together: number
}

/**
 * Wishes a plan meets: how much of each group stands together, and how near to the door the pieces needed first are.
 * A wish not met breaks no rule.
 *
 * @param reachMm greatest gap on every axis between neighbours, mm; left out: 150, about a hand's width with blankets
 *   (common practice, no source)
 */
export function wishes(hold: Hold, pieces: readonly Piece[], plan: LoadPlan, reachMm = 150): Wishes {
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  const members = new Map<string, Placement[]>()
  const toDoor = (at: Box): number => hold.lengthMm - at.x - at.dx
  const first: number[] = []
  for (const at of plan.placements) {
    const piece = byId.get(at.pieceId)
    if (piece?.firstNeeded === true) first.push(toDoor(at))
    const name = piece?.keepTogether ?? ''
    if (name === '') continue
    const known = members.get(name)
    if (known === undefined) members.set(name, [at])
    else known.push(at)
  }
  const groups = [...members]
    .filter(([, boxes]) => boxes.length > 1)
    .map(([name, boxes]) => ({ name, aboard: boxes.length, together: largestCluster(boxes, reachMm) }))
  const aboard = groups.reduce((sum, g) => sum + g.aboard, 0)
  const together = groups.reduce((sum, g) => sum + g.together, 0)
  return {
    groups,
    togetherShare: aboard === 0 ? 1 : together / aboard,
    firstNeeded: first.length,
    firstNeededToDoorMm: mean(first),
    allToDoorMm: mean(plan.placements.map(toDoor)),
  }
}

function mean(numbers: readonly number[]): number {
  return numbers.length === 0 ? 0 : numbers.reduce((sum, n) => sum + n, 0) / numbers.length
}

function largestCluster(boxes: readonly Box[], reachMm: number): number {
  const waiting = new Set(boxes)
  let most = 0
  for (const start of boxes) {
    if (!waiting.delete(start)) continue
    const cluster = [start]
    for (const box of cluster) {
      for (const other of waiting) {
        if (!isNear(box, other, reachMm)) continue
        waiting.delete(other)
        cluster.push(other)
      }
    }
    most = Math.max(most, cluster.length)
  }
  return most
}

function isNear(a: Box, b: Box, reachMm: number): boolean {
  const within = (a0: number, aLength: number, b0: number, bLength: number): boolean =>
    a0 <= b0 + bLength + reachMm && b0 <= a0 + aLength + reachMm
  return within(a.x, a.dx, b.x, b.dx) && within(a.y, a.dy, b.y, b.dy) && within(a.z, a.dz, b.z, b.dz)
}
