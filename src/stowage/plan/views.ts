import type { Piece } from '../packing/index.js'
import type { LoadPiece } from '../pieces/index.js'

/** Steps in which the masses of cartons are rounded up, kg, so that cartons of one size count as alike. */
const massStepKg = 3

/**
 * The same pieces as the packer may look at them, each view another way to search. Masses of cartons are rounded up
 * in steps, because cartons that are alike stack into blocks; what is hard to place is given more weight, so that it is
 * placed before what fits anywhere. A plan made from a view is checked against the pieces themselves.
 */
export function viewsOf(pieces: readonly LoadPiece[], heavyFromKg: number): readonly (readonly Piece[])[] {
  return [
    pieces.map((p) => weighted(p, 2, heavyFromKg)),
    pieces.map((p) => weighted(withoutWish(p), 1, heavyFromKg)),
    pieces.map((p) => weighted(withoutWish(p), 2, heavyFromKg)),
    pieces,
  ]
}

function weighted(piece: LoadPiece, factor: number, heavyFromKg: number): Piece {
  const { lengthMm, widthMm, heightMm, massKg } = piece
  const m3 = (lengthMm * widthMm * heightMm) / 1e9
  const hard =
    Math.max(lengthMm, widthMm, heightMm) > 1500 ||
    piece.maxLoadOnTopKg === 0 ||
    piece.floorOnly === true ||
    massKg > 60
  // Worth in four steps, so that pieces alike in size stay alike.
  const dear = m3 === 0 ? 0 : Math.min(3, Math.max(0, Math.floor(Math.log10(1 + piece.worth / m3 / 100))))
  return {
    ...piece,
    massKg: piece.kind === 'carton' ? rounded(massKg, heavyFromKg) : massKg,
    value: m3 * (hard ? factor : 1) * (1 + dear / 10),
  }
}

/** Up to the next step, but not over the mass from which a piece counts as heavy and stands on nothing lighter. */
function rounded(massKg: number, heavyFromKg: number): number {
  const step = Math.ceil(massKg / massStepKg) * massStepKg
  return massKg < heavyFromKg && step >= heavyFromKg ? Math.max(massKg, heavyFromKg - 0.1) : step
}

function withoutWish(piece: LoadPiece): LoadPiece {
  const { firstNeeded, ...rest } = piece
  return rest
}
