import type { Box, Hold } from './types.js'

/** Floor that a person takes to stand and lift, along and across, mm; a little more than the check asks for. */
const standMm = 520
/** How far to either side of its place a piece is handed in, mm. */
const asideMm = 300
/** What begins above this height is over a person's head, mm. */
const headMm = 1800

/**
 * Pieces that are handed in over goods already standing: from the nearest floor on which a person can stand, towards the
 * door and about before the place, to the face of the place.
 *
 * What stands on a deck is not counted: the deck is a table, no floor for a person. Its goods are light (the heaviest piece
 * it takes is some 20 kg) and are slid along it from its end, one behind the other, so that no arm's length applies; the
 * loading order keeps their way free.
 *
 * @param boxes in loading order
 * @returns for each box how far it is, mm; 0 where a person stands right before it
 */
export function reachesMm(hold: Hold, boxes: readonly Box[]): number[] {
  const decks = (hold.fixed ?? []).flatMap(({ deck }) => (deck === undefined ? [] : [deck]))
  return boxes.map((box, i) => {
    const onDeck = decks.some(
      (d) => box.z >= d.zMm && box.x < d.x + d.dx && d.x < box.x + box.dx && box.y < d.y + d.dy,
    )
    if (onDeck) return 0
    const face = box.x + box.dx
    const from = Math.max(0, Math.min(box.y - asideMm, hold.widthMm - standMm))
    const last = Math.max(from, Math.min(hold.widthMm, box.y + box.dy + asideMm) - standMm)
    const before = boxes.slice(0, i).filter((o) => o.z < headMm && o.x + o.dx > face)
    // A free strip begins at the edge of the range or beside something that stands.
    const begins = [from, last, ...before.map((o) => o.y + o.dy).filter((y) => y > from && y < last)]
    return Math.min(...begins.map((y) => freeFrom(before, face, y) - face))
  })
}

/** The first x from a face on where a strip that begins at y is free for one who stands. */
function freeFrom(standing: readonly Box[], face: number, y: number): number {
  const inStrip = standing.filter((o) => o.y < y + standMm && y < o.y + o.dy).toSorted((a, b) => a.x - b.x)
  let x = face
  for (const o of inStrip) {
    if (o.x - x >= standMm) break
    x = Math.max(x, o.x + o.dx)
  }
  return x
}
