import type { Hold, LoadPlan, Piece, Placement } from '../../../src/stowage/packing/index.js'

/** A room of 4 × 2 × 2 m with a door as large as its end, in which neither mass nor balance counts. */
export const room: Hold = {
  id: 'room',
  lengthMm: 4000,
  widthMm: 2000,
  heightMm: 2000,
  doorWidthMm: 2000,
  doorHeightMm: 2000,
  payloadKg: 10_000,
  lineLoadKgPerM: 10_000,
  balanceShare: 0.5,
}

/** Cubes of one metre and 10 kg, `c1` and on. */
export function cubes(n: number, more: Partial<Piece> = {}): Piece[] {
  return Array.from({ length: n }, (_, i) => ({
    id: `c${i + 1}`,
    lengthMm: 1000,
    widthMm: 1000,
    heightMm: 1000,
    massKg: 10,
    ...more,
  }))
}

/** A plan drawn by hand: where pieces stand and which stay out, its figures left at zero. */
export function drawn(placements: readonly Placement[], leftOut: readonly string[] = []): LoadPlan {
  return {
    holdId: 'room',
    placements,
    leftOut: leftOut.map((pieceId) => ({ pieceId, reason: 'left' })),
    volumeM3: 0,
    volumeShare: 0,
    massKg: 0,
    massShare: 0,
    centreOfGravity: { x: 0, y: 0, z: 0 },
    balanceOffsetShare: 0,
    usedLengthMm: 0,
    unmet: [],
  }
}
