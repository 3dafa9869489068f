import type { Box, Hold, LoadPlan } from './types.js'

/**
 * What has to come out before a piece can: all that stands on it or in its straight way to the door, and what stands on
 * or before those in turn. A vehicle in the way counts too.
 *
 * @param pieceId a piece that is placed
 * @returns indices of placements in the order in which they come out, last loaded first, and ids of vehicles
 */
export function inFrontOf(
  hold: Hold,
  { placements }: LoadPlan,
  pieceId: string,
): { readonly placements: readonly number[]; readonly vehicles: readonly string[] } {
  const fixed = hold.fixed ?? []
  const things: readonly (readonly Box[])[] = [
    ...placements.map((at) => [at]),
    ...fixed.map(({ boxes, deck }) =>
      deck === undefined
        ? boxes
        : [...boxes, { x: deck.x, y: deck.y, z: deck.zMm, dx: deck.dx, dy: deck.dy, dz: 0 }],
    ),
  ]
  const start = placements.findIndex((at) => at.pieceId === pieceId)
  const out = new Set<number>()
  const look = start < 0 ? [] : [start]
  for (let i = look.pop(); i !== undefined; i = look.pop()) {
    const behind = things[i] ?? []
    things.forEach((other, j) => {
      if (j === start || out.has(j) || !behind.some((b) => other.some((o) => bars(o, b)))) return
      out.add(j)
      look.push(j)
    })
  }
  const all = [...out].sort((a, b) => b - a)
  return {
    placements: all.filter((i) => i < placements.length),
    vehicles: all.flatMap((i) => fixed[i - placements.length]?.id ?? []),
  }
}

const shared = (a: number, aLength: number, b: number, bLength: number): boolean =>
  a < b + bLength && b < a + aLength

/** Whether one box stands on another or between it and the door. */
function bars(box: Box, behind: Box): boolean {
  if (!shared(box.y, box.dy, behind.y, behind.dy)) return false
  const top = behind.z + behind.dz
  // A hand's breadth above counts as on it: blankets may lie between.
  const on = box.z >= top && box.z - top < 50 && shared(box.x, box.dx, behind.x, behind.dx)
  return on || (box.x >= behind.x + behind.dx && shared(box.z, box.dz, behind.z, behind.dz))
}
