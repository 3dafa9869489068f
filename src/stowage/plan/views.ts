import type { Piece } from '../packing/index.js'
import type { LoadPiece } from '../pieces/index.js'

/**
 * The same pieces as the packer may look at them, each view another way to search: what is hard to place is given more
 * weight, so that it is placed before what fits anywhere. Sizes, masses and limits are those of the pieces.
 */
export function viewsOf(pieces: readonly LoadPiece[]): readonly (readonly Piece[])[] {
  return [pieces.map((p) => weighted(p, 2)), pieces.map((p) => weighted(withoutWish(p), 1))]
}

function weighted(piece: LoadPiece, factor: number): Piece {
  const { lengthMm, widthMm, heightMm, massKg } = piece
  const m3 = (lengthMm * widthMm * heightMm) / 1e9
  const hard =
    Math.max(lengthMm, widthMm, heightMm) > 1500 ||
    piece.maxLoadOnTopKg === 0 ||
    piece.floorOnly === true ||
    massKg > 60
  // Worth in four steps, so that pieces alike in size stay alike.
  const dear = m3 === 0 ? 0 : Math.min(3, Math.max(0, Math.floor(Math.log10(1 + piece.worth / m3 / 100))))
  return { ...piece, value: m3 * (hard ? factor : 1) * (1 + dear / 10) }
}

function withoutWish(piece: LoadPiece): LoadPiece {
  const { firstNeeded, ...rest } = piece
  return rest
}
