import type { Box, Hold, Piece } from './types.js'

/** Along the container or across it. */
type Axis = 'x' | 'y'

/**
 * Slender pieces that tip unless they are tied: on one of their broad sides nothing stands within reach that is at least
 * half as high as they are.
 *
 * @param slender how many times as high as deep a piece is to count as slender, and how far off a neighbour holds it, mm
 * @returns ids in the order given
 */
export function tipping(
  hold: Hold,
  standing: readonly { readonly piece: Piece; readonly at: Box }[],
  slender: { readonly ratio: number; readonly reachMm: number },
): string[] {
  const others: readonly Box[] = [
    ...standing.map(({ at }) => at),
    ...(hold.fixed ?? []).flatMap(({ boxes }) => boxes),
  ]
  return standing
    .filter(({ piece, at }) => {
      const depth = Math.min(at.dx, at.dy)
      if (piece.soft === true || at.dz < slender.ratio * depth) return false
      const axis: Axis = at.dx <= at.dy ? 'x' : 'y'
      return !([-1, 1] as const).every((side) => isHeld(hold, at, axis, side, slender.reachMm, others))
    })
    .map(({ piece }) => piece.id)
}

function isHeld(
  hold: Hold,
  at: Box,
  axis: Axis,
  side: -1 | 1,
  reachMm: number,
  others: readonly Box[],
): boolean {
  const [from, to] = axis === 'x' ? [at.x, at.x + at.dx] : [at.y, at.y + at.dy]
  const inside = axis === 'x' ? hold.lengthMm : hold.widthMm
  // The doors hold nothing: they are opened at the other end.
  if (side < 0 ? from <= reachMm : axis === 'y' && inside - to <= reachMm) return true
  const halfway = at.z + at.dz / 2
  return others.some((o) => {
    if (o === at) return false
    const [oFrom, oTo] = axis === 'x' ? [o.x, o.x + o.dx] : [o.y, o.y + o.dy]
    const gap = side < 0 ? from - oTo : oFrom - to
    const beside =
      axis === 'x' ? o.y < at.y + at.dy && at.y < o.y + o.dy : o.x < at.x + at.dx && at.x < o.x + o.dx
    return gap >= 0 && gap <= reachMm && beside && o.z < halfway && o.z + o.dz >= halfway
  })
}
