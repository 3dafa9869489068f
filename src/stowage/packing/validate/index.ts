import type { Hold, LoadPlan, LoadRules, Piece } from '../types.js'
import { checkDoor } from './door.js'
import { checkLift } from './lift.js'
import { checkList } from './list.js'
import type { Check, Load, Violation } from './load.js'
import { checkBalance, checkFront, checkLine, checkMass } from './mass.js'
import { checkOrder } from './order.js'
import { checkClear, checkOverlap } from './overlap.js'
import { checkReach } from './reach.js'
import { checkInside, checkSize } from './size.js'
import { checkSlender } from './slender.js'
import { checkStacks } from './stacks.js'

export type { Rule, Violation } from './load.js'

// Checks a plan from first principles. This folder shares nothing with the packer but the shapes of its inputs
// (types.ts), so that a mistake in one is not repeated in the other.
const checks: readonly Check[] = [
  checkList,
  checkInside,
  checkSize,
  checkDoor,
  checkClear,
  checkOverlap,
  checkStacks,
  checkLift,
  checkMass,
  checkLine,
  checkBalance,
  checkOrder,
  checkFront,
  checkSlender,
  checkReach,
]

/**
 * Everything a load plan breaks: pieces missing or twice, outside, overlapping, pressed too far, in a position they
 * may not have, hanging in the air, overloaded, heavy on light, too much mass in all or on a metre, out of balance, not
 * through the door, not loadable in the order given, off the front wall without need, slender and neither held nor tied,
 * or out of reach unannounced.
 *
 * @param pieces all pieces that were to be stowed
 * @param plan placements in loading order
 * @param rules the same rules the plan was made under
 * @returns an empty list for a sound plan; never throws
 */
export function validate(
  hold: Hold,
  pieces: readonly Piece[],
  plan: LoadPlan,
  rules: LoadRules = {},
): Violation[] {
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  const stowed = plan.placements.flatMap((at) => {
    const piece = byId.get(at.pieceId)
    return piece === undefined ? [] : [{ piece, at, name: piece.label ?? piece.id }]
  })
  const load: Load = { hold, pieces, plan, rules, stowed }
  return checks.flatMap((check) => check(load))
}
