import { boxText, meets, overlapMm } from './boxes.js'
import { type Check, ofEach, type Stowed, type Violation } from './load.js'

/** Out of vehicles, of the room kept clear for them, and of their decks. */
export const checkClear = ofEach(({ at, name }, { hold }) => {
  const found: Violation[] = []
  for (const block of hold.fixed ?? []) {
    const blockName = block.label ?? block.id
    for (const b of block.boxes) {
      const hit =
        meets(at.x, at.dx, b.x, b.dx) && meets(at.y, at.dy, b.y, b.dy) && meets(at.z, at.dz, b.z, b.dz)
      if (hit) {
        found.push({
          rule: 'overlap',
          pieceIds: [at.pieceId],
          text: `${name}, ${boxText(at)}, runs into ${blockName}, ${boxText(b)}.`,
        })
      }
    }
    const { clear, deck } = block
    const over = meets(at.x, at.dx, clear.x, clear.dx) && meets(at.y, at.dy, clear.y, clear.dy)
    const onDeckLevel = deck !== undefined && at.z >= deck.zMm
    if (over && !onDeckLevel) {
      found.push({
        rule: 'clear',
        pieceIds: [at.pieceId],
        text: `${name}, ${boxText(at)}, stands in the room kept clear for ${blockName}.`,
      })
    }
    if (deck === undefined) continue
    const cuts =
      meets(at.x, at.dx, deck.x, deck.dx) &&
      meets(at.y, at.dy, deck.y, deck.dy) &&
      at.z < deck.zMm &&
      at.z + at.dz > deck.zMm
    if (cuts) {
      found.push({
        rule: 'overlap',
        pieceIds: [at.pieceId],
        text: `${name}, ${boxText(at)}, goes through the deck over ${blockName} at ${deck.zMm} mm.`,
      })
    }
  }
  return found
})

/** No two pieces in one place. */
export const checkOverlap: Check = ({ stowed }) => {
  const found: Violation[] = []
  const byX = [...stowed].sort((a, b) => a.at.x - b.at.x)
  let open: Stowed[] = []
  for (const s of byX) {
    open = open.filter((o) => o.at.x + o.at.dx > s.at.x)
    for (const o of open) {
      const dx = overlapMm(s.at.x, s.at.dx, o.at.x, o.at.dx)
      const dy = overlapMm(s.at.y, s.at.dy, o.at.y, o.at.dy)
      const dz = overlapMm(s.at.z, s.at.dz, o.at.z, o.at.dz)
      if (dx > 0 && dy > 0 && dz > 0) {
        found.push({
          rule: 'overlap',
          pieceIds: [o.at.pieceId, s.at.pieceId],
          text: `${o.name} and ${s.name} overlap by ${dx} × ${dy} × ${dz} mm.`,
        })
      }
    }
    open.push(s)
  }
  return found
}
