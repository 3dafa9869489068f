import type { Box } from '../packing/index.js'
import { covers, faces, type Point } from './isometric.js'

/** Scale of stage pictures. */
export const pxPerMm = 0.125

/** Colour of a box by what it is. */
export type Tone = 'piece' | 'carton' | 'earlier' | 'vehicle'

/** A box of a picture with its number, where it has one. */
export interface Drawn {
  readonly box: Box
  readonly tone: Tone
  readonly number?: number
  readonly title: string
}

/** A number and where it is seen. */
export interface Label {
  readonly number: number
  readonly at: Point
  /** Height of digits for which its face has room. */
  readonly roomPx: number
}

/** Where a number is seen: the middle of the largest face that nothing drawn later covers. */
export function labelOf({ box, number }: Drawn, later: readonly Drawn[]): Label[] {
  if (number === undefined) return []
  const { top, door, right } = faces(box)
  const options = [
    { corners: door, room: Math.min(box.dy * 0.8, box.dz) },
    { corners: top, room: Math.min(box.dx, box.dy) * 0.75 },
    { corners: right, room: Math.min(box.dx * 0.8, box.dz) },
  ].sort((a, b) => b.room - a.room)
  for (const { corners, room } of options) {
    for (const at of spots(corners)) {
      if (later.some((d) => covers(d.box, at))) continue
      const digits = String(number).length
      return [{ number, at, roomPx: (room * pxPerMm * 1.25) / Math.max(1.6, digits) }]
    }
  }
  return []
}

/** The middle of a face, and if that is covered, points between it and the corners. */
function spots(corners: readonly Point[]): Point[] {
  const middle = {
    x: corners.reduce((sum, c) => sum + c.x, 0) / corners.length,
    y: corners.reduce((sum, c) => sum + c.y, 0) / corners.length,
  }
  const towards = (c: Point): Point => ({ x: (middle.x + c.x) / 2, y: (middle.y + c.y) / 2 })
  const half = corners.map(towards)
  const edges = half.map((h, i) => {
    const next = half[(i + 1) % half.length] ?? h
    return { x: (h.x + next.x) / 2, y: (h.y + next.y) / 2 }
  })
  return [middle, ...half, ...edges]
}
