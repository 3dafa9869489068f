import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** Volume of a box from its sides in centimetres. Example: 120 × 60 × 75 cm is 0.54 m³. */
export const boxM3 = <N extends Num<N>>(m: Arithmetic<N>, lengthCm: N, widthCm: N, heightCm: N): N =>
  lengthCm.times(widthCm).times(heightCm).div(m.of(1_000_000))

/**
 * Volume of pieces once they are wrapped or crated.
 *
 * @param netM3 stow cube of the pieces, m³
 * @param wrapFactor packed over net volume, 1 or more (rows `volume.wrap.*` of data/reference/figures.csv)
 * @returns m³, never below `netM3` while the factor is 1 or more
 */
export const packedM3 = <N extends Num<N>>(netM3: N, wrapFactor: N): N => netM3.times(wrapFactor)
