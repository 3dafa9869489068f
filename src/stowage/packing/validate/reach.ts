import type { Box } from '../types.js'
import { fig, meets } from './boxes.js'
import type { Check, Violation } from './load.js'

/**
 * A person can stand where a piece is put in, or the plan says that it is handed on. Goods on a deck are slid along it, as
 * along a table: nobody stands there, and the deck takes light pieces only.
 */
export const checkReach: Check = ({ hold, stowed, plan, rules }) => {
  const found: Violation[] = []
  const { reachMm } = rules
  if (reachMm === undefined) return []
  const announced = new Set(plan.handedOn ?? [])
  const [size, side, head] = [500, 300, 1800]
  const isOnDeck = (at: Box): boolean =>
    (hold.fixed ?? []).some(
      ({ deck }) =>
        deck !== undefined &&
        at.z >= deck.zMm &&
        meets(at.x, at.dx, deck.x, deck.dx) &&
        meets(at.y, at.dy, deck.y, deck.dy),
    )
  stowed.forEach(({ at, piece, name }, i) => {
    if (announced.has(piece.id) || isOnDeck(at)) return
    const face = at.x + at.dx
    const earlier = stowed
      .slice(0, i)
      .map((s) => s.at)
      .filter((o) => o.z < head)
    let least = Number.POSITIVE_INFINITY
    const right = Math.min(hold.widthMm, at.y + at.dy + side)
    for (let y = Math.max(0, at.y - side); least > reachMm; y += 10) {
      const left = Math.min(y, hold.widthMm - size)
      let x = face
      for (;;) {
        const inWay = earlier.filter((o) => meets(o.x, o.dx, x, size) && meets(o.y, o.dy, left, size))
        if (inWay.length === 0) break
        x = Math.max(...inWay.map((o) => o.x + o.dx))
      }
      least = Math.min(least, x - face)
      if (y + size >= right) break
    }
    if (least <= reachMm) return
    found.push({
      rule: 'reach',
      pieceIds: [piece.id],
      text: `${name}, number ${i + 1}, is handed ${fig(least)} mm over what stands before its place, expected at most ${reachMm} mm or told in the plan.`,
    })
  })
  return found
}
