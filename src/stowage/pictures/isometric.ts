import type { Box } from '../packing/index.js'

/** A point on paper, mm of the hold before scaling; x to the right, y down. */
export interface Point {
  readonly x: number
  readonly y: number
}

const cos30 = Math.sqrt(3) / 2

/**
 * Isometric projection, seen from the door's side, from above and from the right: the three edges of a box are drawn
 * at 120° to each other and to one scale (ISO 5456-3).
 */
export const project = (x: number, y: number, z: number): Point => ({
  x: (y - x) * cos30,
  y: (x + y) / 2 - z,
})

/** The three faces of a box that are seen, as corners in order. */
export interface Faces {
  readonly top: readonly Point[]
  readonly door: readonly Point[]
  readonly right: readonly Point[]
}

export function faces({ x, y, z, dx, dy, dz }: Box): Faces {
  const [x1, y1, z1] = [x + dx, y + dy, z + dz]
  return {
    top: [project(x, y, z1), project(x1, y, z1), project(x1, y1, z1), project(x, y1, z1)],
    door: [project(x1, y, z), project(x1, y1, z), project(x1, y1, z1), project(x1, y, z1)],
    right: [project(x, y1, z), project(x1, y1, z), project(x1, y1, z1), project(x, y1, z1)],
  }
}

/**
 * An order to draw boxes in, so that what is nearer to the eye covers what is behind it. Boxes that do not overlap on
 * paper may come in any order.
 *
 * @returns indices of boxes, the farthest first
 */
export function paintOrder(boxes: readonly Box[]): number[] {
  const n = boxes.length
  const spans = boxes.map(paperSpan)
  const before: number[][] = Array.from({ length: n }, () => [])
  const waits = new Array<number>(n).fill(0)
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const [a, b] = [boxes[i] as Box, boxes[j] as Box]
      if (!meetOnPaper(spans[i] as Span, spans[j] as Span)) continue
      const [first, then] = isBehind(a, b) ? [i, j] : isBehind(b, a) ? [j, i] : [-1, -1]
      if (first < 0) continue
      before[first]?.push(then)
      waits[then] = (waits[then] ?? 0) + 1
    }
  }
  const depth = (i: number): number => {
    const b = boxes[i] as Box
    return b.x + b.dx / 2 + b.y + b.dy / 2 + b.z + b.dz / 2
  }
  const open = new Set(boxes.map((_, i) => i))
  const order: number[] = []
  while (open.size > 0) {
    const all = [...open]
    const ready = all.filter((i) => waits[i] === 0)
    // A ring of boxes that cover each other is cut at the one that is farthest away.
    const next = (ready.length > 0 ? ready : all).reduce((a, b) => (depth(b) < depth(a) ? b : a))
    order.push(next)
    open.delete(next)
    for (const j of before[next] ?? []) waits[j] = (waits[j] ?? 0) - 1
  }
  return order
}

const isBehind = (a: Box, b: Box): boolean => a.x + a.dx <= b.x || a.y + a.dy <= b.y || a.z + a.dz <= b.z

interface Span {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

function paperSpan(b: Box): Span {
  return {
    left: project(b.x + b.dx, b.y, b.z).x,
    right: project(b.x, b.y + b.dy, b.z).x,
    top: project(b.x, b.y, b.z + b.dz).y,
    bottom: project(b.x + b.dx, b.y + b.dy, b.z).y,
  }
}

const meetOnPaper = (a: Span, b: Span): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom

/** Is a point inside the outline of a box on paper (its three seen faces together). */
export function covers(box: Box, at: Point): boolean {
  const { top, door, right } = faces(box)
  return [top, door, right].some((face) => insideConvex(face, at))
}

function insideConvex(corners: readonly Point[], at: Point): boolean {
  let sign = 0
  for (let i = 0; i < corners.length; i++) {
    const a = corners[i] as Point
    const b = corners[(i + 1) % corners.length] as Point
    const cross = (b.x - a.x) * (at.y - a.y) - (b.y - a.y) * (at.x - a.x)
    if (Math.abs(cross) < 1e-9) continue
    if (sign === 0) sign = Math.sign(cross)
    else if (Math.sign(cross) !== sign) return false
  }
  return true
}
