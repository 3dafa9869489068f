import { fig } from './boxes.js'
import type { Check, Violation } from './load.js'

/** Heavy pieces are lifted no higher than the rules say. */
export const checkLift: Check = ({ stowed, rules: { lift } }) => {
  const found: Violation[] = []
  if (lift === undefined) return []
  for (const { piece, at, name } of stowed) {
    if (piece.massKg < lift.fromKg || at.z <= lift.highestMm) continue
    found.push({
      rule: 'lift',
      pieceIds: [piece.id],
      text: `${name}, ${fig(piece.massKg)} kg, is lifted to ${at.z} mm, expected at most ${lift.highestMm} mm from ${fig(lift.fromKg)} kg on.`,
    })
  }
  return found
}
