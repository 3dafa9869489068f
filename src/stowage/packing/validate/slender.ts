import type { Box } from '../types.js'
import { boxText, fig, meets } from './boxes.js'
import type { Check, Violation } from './load.js'

/** What is slender is held on both its broad sides, or tied. Looked at from the middle of each broad face, half way up: a straight line to either side must meet something soon. */
export const checkSlender: Check = ({ hold, stowed, plan, rules }) => {
  const found: Violation[] = []
  const { slender } = rules
  if (slender === undefined) return []
  const tied = new Set(plan.tied ?? [])
  for (const { at, piece, name } of stowed) {
    const thin = Math.min(at.dx, at.dy)
    if (piece.soft === true || tied.has(piece.id) || at.dz / thin < slender.ratio) continue
    const alongX = at.dx === thin
    const up = at.z + at.dz / 2
    const meetsSide = (from: number, to: number): boolean => {
      const zone: Box = alongX
        ? { x: from, y: at.y, z: up, dx: to - from, dy: at.dy, dz: 0 }
        : { x: at.x, y: from, z: up, dx: at.dx, dy: to - from, dz: 0 }
      const touches = (b: Box): boolean =>
        b.x <= zone.x + zone.dx &&
        zone.x <= b.x + b.dx &&
        b.y <= zone.y + zone.dy &&
        zone.y <= b.y + b.dy &&
        // A corner is no side: across the line of sight the two must really overlap.
        (alongX ? meets(b.y, b.dy, zone.y, zone.dy) : meets(b.x, b.dx, zone.x, zone.dx)) &&
        b.z < up &&
        up <= b.z + b.dz
      return (
        stowed.some((o) => o.at !== at && touches(o.at)) ||
        (hold.fixed ?? []).some(({ boxes }) => boxes.some(touches))
      )
    }
    const near = alongX ? at.x : at.y
    const far = near + thin
    const nearWall = near - slender.reachMm <= 0
    const farWall = !alongX && far + slender.reachMm >= hold.widthMm
    const near1 = nearWall || meetsSide(near - slender.reachMm, near)
    const far1 = farWall || meetsSide(far, far + slender.reachMm)
    if (near1 && far1) continue
    found.push({
      rule: 'slender',
      pieceIds: [piece.id],
      text: `${name}, ${boxText(at)}, is ${fig(at.dz / thin)} times as high as deep with nothing beside it within ${slender.reachMm} mm on one side, and the plan does not tie it.`,
    })
  }
  return found
}
