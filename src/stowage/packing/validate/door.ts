import type { Edge, Hold, Piece, Placement } from '../types.js'
import { ofEach, type Violation } from './load.js'
import { ownEdge, pressed } from './size.js'

/** A piece passes the door, comes to stand as it does, and can be lifted in where it reaches above the header. */
export const checkDoor = ofEach(({ piece, at, name }, { hold }) => {
  const found: Violation[] = []
  const edges: readonly Edge[] = ['length', 'width', 'height']
  // What bends may be carried through folded, any way up.
  const carried: Piece[] = [
    piece,
    ...(piece.foldedMm ?? []).map(([lengthMm, widthMm, heightMm]): Piece => {
      return { ...piece, lengthMm, widthMm, heightMm, upright: edges }
    }),
  ]
  const passes = carried.some((as) =>
    (as.upright ?? ['height']).some((up) =>
      edges.some(
        (across) =>
          across !== up &&
          pressed(as, ownEdge(as, across))[0] <= hold.doorWidthMm &&
          ownEdge(as, up) <= hold.doorHeightMm,
      ),
    ),
  )
  if (!passes) {
    found.push({
      rule: 'door',
      pieceIds: [piece.id],
      text: `${name}, ${piece.lengthMm} × ${piece.widthMm} × ${piece.heightMm} mm, does not pass the door of ${hold.doorWidthMm} × ${hold.doorHeightMm} mm.`,
    })
  }
  const asItStands = at.dy <= hold.doorWidthMm && at.dz <= hold.doorHeightMm
  const allowed = piece.upright ?? ['height']
  if (
    passes &&
    !asItStands &&
    at.folded === undefined &&
    allowed.includes(at.upright) &&
    !comesToStand(hold, piece, at)
  ) {
    found.push({
      rule: 'door',
      pieceIds: [piece.id],
      text: `${name}, ${piece.lengthMm} × ${piece.widthMm} × ${piece.heightMm} mm, passes the door, but cannot be turned inside to stand ${at.dx} × ${at.dy} × ${at.dz} mm.`,
    })
  }
  const top = at.z + at.dz
  const room = hold.lengthMm - at.x - at.dx
  if (top > hold.doorHeightMm && room < at.dx) {
    found.push({
      rule: 'door',
      pieceIds: [piece.id],
      text: `${name} reaches ${top} mm, above the door's ${hold.doorHeightMm} mm, with ${room} mm to the door, expected at least its own ${at.dx} mm to lift it in.`,
    })
  }
  return found
})

type Pose = readonly [along: Edge, across: Edge, up: Edge]

// Every pose that is reached from the door by turning on the floor and by tipping over an edge, step by step.
function comesToStand(hold: Hold, piece: Piece, at: Placement): boolean {
  const all: readonly Edge[] = ['length', 'width', 'height']
  const allowed = piece.upright ?? ['height']
  const flat = (edge: Edge): number => pressed(piece, ownEdge(piece, edge))[0]
  const diagonal = (a: number, b: number): number => Math.sqrt(a * a + b * b) - 1e-6
  const poses = all.flatMap((along) =>
    all.flatMap((across): Pose[] =>
      all.filter((up) => along !== across && up !== along && up !== across).map((up) => [along, across, up]),
    ),
  )
  const reached = poses.filter(
    ([, across, up]) =>
      allowed.includes(up) && flat(across) <= hold.doorWidthMm && ownEdge(piece, up) <= hold.doorHeightMm,
  )
  const step = ([along, across, up]: Pose): Pose[] => {
    const next: Pose[] = []
    if (diagonal(flat(along), flat(across)) <= hold.widthMm) next.push([across, along, up])
    if (diagonal(ownEdge(piece, along), ownEdge(piece, up)) <= hold.heightMm) next.push([up, across, along])
    if (diagonal(ownEdge(piece, across), ownEdge(piece, up)) <= hold.heightMm) next.push([along, up, across])
    return next.filter((pose) => allowed.includes(pose[2]))
  }
  const same = (a: Pose, b: Pose): boolean => a.every((edge, i) => edge === b[i])
  for (const pose of reached) {
    for (const next of step(pose)) if (!reached.some((known) => same(known, next))) reached.push(next)
  }
  return reached.some(([along, , up]) => up === at.upright && along === at.along)
}
