import type { Check, Violation } from './load.js'

/** Every piece is in the plan once, placed or left out, and nothing else is. */
export const checkList: Check = ({ pieces, plan }) => {
  const found: Violation[] = []
  const known = new Set(pieces.map(({ id }) => id))
  const seen = new Map<string, number>()
  const count = (id: string): void => {
    seen.set(id, (seen.get(id) ?? 0) + 1)
  }
  for (const { pieceId } of plan.placements) {
    count(pieceId)
    if (known.has(pieceId)) continue
    found.push({
      rule: 'list',
      pieceIds: [pieceId],
      text: `The plan places ${pieceId}, which is not among the ${pieces.length} pieces.`,
    })
  }
  for (const { pieceId } of plan.leftOut) count(pieceId)
  for (const piece of pieces) {
    const times = seen.get(piece.id) ?? 0
    if (times === 1) continue
    found.push({
      rule: 'list',
      pieceIds: [piece.id],
      text: `${piece.label ?? piece.id} is in the plan ${times} times, expected once, placed or left out.`,
    })
  }
  return found
}
