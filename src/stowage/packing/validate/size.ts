import type { Edge, Piece, Placement } from '../types.js'
import { boxText } from './boxes.js'
import { ofEach } from './load.js'

/** One of a piece's own edges, mm. */
export function ownEdge(piece: Piece, edge: Edge): number {
  switch (edge) {
    case 'length':
      return piece.lengthMm
    case 'width':
      return piece.widthMm
    case 'height':
      return piece.heightMm
  }
}

/** Least and greatest size of a horizontal edge once pressed or widened. */
export function pressed(piece: Piece, mm: number): readonly [number, number] {
  const share = piece.squeezeShare ?? 0
  const least = Math.ceil(mm * (1 - share) - 1e-6)
  return share > 0 ? [least, mm] : [least, least]
}

/** The piece as it is given: its own size, or one of its folded ones, which may stand any way up. */
function asGiven(piece: Piece, at: Placement): Piece | undefined {
  if (at.folded === undefined) return piece
  const size = piece.foldedMm?.[at.folded - 1]
  if (size === undefined) return undefined
  const [lengthMm, widthMm, heightMm] = size
  return { ...piece, lengthMm, widthMm, heightMm, upright: ['length', 'width', 'height'] }
}

/** Inside the hold, in whole millimetres. */
export const checkInside = ofEach(({ at, name }, { hold }) => {
  const whole = [at.x, at.y, at.z, at.dx, at.dy, at.dz].every(Number.isInteger)
  const inside =
    at.x >= 0 &&
    at.y >= 0 &&
    at.z >= 0 &&
    at.x + at.dx <= hold.lengthMm &&
    at.y + at.dy <= hold.widthMm &&
    at.z + at.dz <= hold.heightMm
  if (whole && inside) return []
  return [
    {
      rule: 'inside',
      pieceIds: [at.pieceId],
      text: `${name}, ${boxText(at)}, is not inside ${hold.lengthMm} × ${hold.widthMm} × ${hold.heightMm} mm in whole mm.`,
    },
  ]
})

/** A piece has a size and a position that it may have. */
export const checkSize = ofEach(({ piece: own, at, name }) => {
  const piece = asGiven(own, at)
  if (piece === undefined) {
    return [
      {
        rule: 'size',
        pieceIds: [own.id],
        text: `${name} is given its folded size ${at.folded}, expected one of ${own.foldedMm?.length ?? 0}.`,
      },
    ]
  }
  const allowed = piece.upright ?? ['height']
  if (!allowed.includes(at.upright) || at.along === at.upright) {
    return [
      {
        rule: 'size',
        pieceIds: [piece.id],
        text: `${name} stands on end with its ${at.upright} up; allowed: ${allowed.join(', ')}.`,
      },
    ]
  }
  const across = (['length', 'width', 'height'] as const).find((e) => e !== at.upright && e !== at.along)
  if (across === undefined) return []
  const [xLeast, xMost] = pressed(piece, ownEdge(piece, at.along))
  const [yLeast, yMost] = pressed(piece, ownEdge(piece, across))
  const z = ownEdge(piece, at.upright)
  const right = at.dx >= xLeast && at.dx <= xMost && at.dy >= yLeast && at.dy <= yMost && at.dz === z
  if (right) return []
  return [
    {
      rule: 'size',
      pieceIds: [piece.id],
      text: `${name} is given ${at.dx} × ${at.dy} × ${at.dz} mm, expected ${xLeast} to ${xMost} × ${yLeast} to ${yMost} × ${z} mm.`,
    },
  ]
})
