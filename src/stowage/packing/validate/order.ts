import type { Box } from '../types.js'
import { carries, meets } from './boxes.js'
import type { Check, Violation } from './load.js'

/** Pieces can be loaded in the order given: nothing behind, nor under, what already stands. */
export const checkOrder: Check = ({ hold, stowed, rules }) => {
  const found: Violation[] = []
  const shutIn = (inner: Box, outer: Box): boolean =>
    outer.x >= inner.x + inner.dx &&
    meets(inner.y, inner.dy, outer.y, outer.dy) &&
    meets(inner.z, inner.dz, outer.z, outer.dz)
  stowed.forEach((later, i) => {
    for (let j = 0; j < i; j++) {
      const earlier = stowed[j]
      if (earlier === undefined) continue
      if (shutIn(later.at, earlier.at)) {
        found.push({
          rule: 'order',
          pieceIds: [later.at.pieceId, earlier.at.pieceId],
          text: `${later.name} is loaded as number ${i + 1}, when ${earlier.name}, number ${j + 1}, already shuts off its place.`,
        })
      }
      const isUnder =
        carries(later.at.z + later.at.dz, earlier.at.z, rules.levelMm ?? 0) &&
        meets(later.at.x, later.at.dx, earlier.at.x, earlier.at.dx) &&
        meets(later.at.y, later.at.dy, earlier.at.y, earlier.at.dy)
      if (isUnder) {
        found.push({
          rule: 'order',
          pieceIds: [later.at.pieceId, earlier.at.pieceId],
          text: `${earlier.name}, number ${j + 1}, is loaded before ${later.name}, number ${i + 1}, which carries it.`,
        })
      }
    }
    const before = stowed[i - 1]
    if (before !== undefined && before.at.stage > later.at.stage) {
      found.push({
        rule: 'order',
        pieceIds: [later.at.pieceId],
        text: `${later.name} of stage ${later.at.stage} is loaded after ${before.name} of stage ${before.at.stage}.`,
      })
    }
  })
  for (const block of hold.fixed ?? []) {
    let lastBefore = -1
    let firstAfter = stowed.length
    stowed.forEach(({ at }, i) => {
      if (block.boxes.some((b) => shutIn(at, b))) lastBefore = i
      const { deck } = block
      const onDeck =
        deck !== undefined &&
        at.z >= deck.zMm &&
        meets(at.x, at.dx, deck.x, deck.dx) &&
        meets(at.y, at.dy, deck.y, deck.dy)
      if ((onDeck || block.boxes.some((b) => shutIn(b, at))) && i < firstAfter) firstAfter = i
    })
    if (lastBefore > firstAfter) {
      const inner = stowed[lastBefore]
      const outer = stowed[firstAfter]
      found.push({
        rule: 'order',
        pieceIds: [inner?.at.pieceId ?? '', outer?.at.pieceId ?? ''],
        text: `${inner?.name ?? ''}, number ${lastBefore + 1}, must go in before ${block.label ?? block.id}, and ${outer?.name ?? ''}, number ${firstAfter + 1}, after it.`,
      })
    }
  }
  return found
}
