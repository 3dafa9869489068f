import type { Box, FixedBlock, Hold, Placement } from '../packing/index.js'
import { paintOrder } from './isometric.js'
import { type Drawn, type Label, labelOf } from './labels.js'

/** What a picture calls its pieces. */
export interface PieceNames {
  readonly label: string
  readonly kind: 'piece' | 'carton'
}

/** Indices of placements, the end not included. */
export interface Range {
  readonly from: number
  readonly to: number
}

/** What a picture of a range of placements shows: boxes in the order of painting, and which numbers can be seen. */
export interface Drawing {
  readonly from: number
  readonly to: number
  readonly inOrder: readonly Drawn[]
  readonly labels: readonly Label[]
  readonly hidden: readonly number[]
}

export function drawingOf(
  hold: Hold,
  placements: readonly Placement[],
  names: ReadonlyMap<string, PieceNames>,
  range: Range,
): Drawing {
  const own = placements.slice(range.from, range.to)
  const from = Math.max(0, Math.min(...own.map((p) => p.x)) - 700)
  const to = Math.min(hold.lengthMm, Math.max(...own.map((p) => p.x + p.dx)) + 150)
  const drawn: Drawn[] = []
  placements.slice(0, range.to).forEach((p, i) => {
    if (p.x + p.dx <= from || p.x >= to) return
    const name = names.get(p.pieceId)
    const title = `${i + 1}: ${p.pieceId} ${name?.label ?? ''}`
    if (i < range.from) drawn.push({ box: clipped(p, from, to), tone: 'earlier', title })
    else drawn.push({ box: p, tone: name?.kind ?? 'piece', number: i + 1, title })
  })
  for (const block of hold.fixed ?? []) {
    if (!standsBefore(block, placements.slice(0, range.to))) continue
    for (const b of block.boxes) {
      if (b.x + b.dx <= from || b.x >= to) continue
      drawn.push({ box: clipped(b, from, to), tone: 'vehicle', title: block.label ?? block.id })
    }
    const { deck } = block
    if (deck !== undefined && deck.x < to && deck.x + deck.dx > from) {
      const plate: Box = { x: deck.x, y: deck.y, z: deck.zMm - 60, dx: deck.dx, dy: deck.dy, dz: 60 }
      drawn.push({
        box: clipped(plate, from, to),
        tone: 'vehicle',
        title: `deck over ${block.label ?? block.id}`,
      })
    }
  }
  const inOrder = paintOrder(drawn.map((d) => d.box)).map((i) => drawn[i] as Drawn)
  const labels = inOrder.flatMap((d, i) => labelOf(d, inOrder.slice(i + 1)))
  const labelled = new Set(labels.map((l) => l.number))
  const hidden = drawn
    .flatMap((d) => (d.number !== undefined && !labelled.has(d.number) ? [d.number] : []))
    .sort((a, b) => a - b)
  return { from, to, inOrder, labels, hidden }
}

/** A vehicle is shown once something stands beside, above or behind it; one by the front wall is there from the start. */
function standsBefore(block: FixedBlock, stowed: readonly Placement[]): boolean {
  const start = Math.min(...block.boxes.map((b) => b.x))
  return start < 500 || stowed.some((p) => p.x + p.dx > start)
}

function clipped(box: Box, from: number, to: number): Box {
  const x = Math.max(box.x, from)
  return { x, y: box.y, z: box.z, dx: Math.min(box.x + box.dx, to) - x, dy: box.dy, dz: box.dz }
}
