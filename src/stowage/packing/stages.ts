import type { Box } from './types.js'

/** Most pieces in one stage, so that its picture and list stand on one page; and so many before a wall ends one. */
const mostPieces = 36
const leastPieces = 18

/**
 * Loading stages of boxes in loading order: a new one where a whole wall is done, so that nothing that follows reaches
 * behind what stands, or after 36 pieces; where walls do not end, stages are about as long as each other.
 *
 * @returns for each box the number of its stage, from 1, never falling
 */
export function stageNumbers(boxes: readonly Box[]): readonly number[] {
  // The least x of everything from here on: a wall is done when it is not less than all that stands reaches.
  const leastFrom: number[] = new Array(boxes.length + 1)
  leastFrom[boxes.length] = Number.POSITIVE_INFINITY
  for (let i = boxes.length - 1; i >= 0; i--) {
    leastFrom[i] = Math.min(leastFrom[i + 1] ?? 0, boxes[i]?.x ?? 0)
  }
  const even = Math.ceil(boxes.length / Math.max(1, Math.ceil(boxes.length / mostPieces)))
  let stage = 1
  let inStage = 0
  let reach = 0
  return boxes.map((box, i) => {
    const wallDone = (leastFrom[i] ?? 0) >= reach
    if (inStage >= even || (wallDone && inStage >= leastPieces)) {
      stage++
      inStage = 0
    }
    inStage++
    reach = Math.max(reach, box.x + box.dx)
    return stage
  })
}
