import type { Arithmetic, Num } from './arithmetic.js'

// Exact by definition: the international yard and pound agreement of 1959 (1 ft = 0.3048 m, 1 lb = 0.45359237 kg).
export const M3_PER_FT3 = '0.028316846592'
export const KG_PER_LB = '0.45359237'
export const CM_PER_INCH = '2.54'

/** Cubic feet to cubic metres, exactly. Example: 1000 ft³ is 28.316846592 m³. */
export const m3FromFt3 = <N extends Num<N>>(m: Arithmetic<N>, ft3: N): N => ft3.times(m.of(M3_PER_FT3))

/** Pounds to kilograms, exactly. Example: 7000 lb is 3175.14659 kg. */
export const kgFromLb = <N extends Num<N>>(m: Arithmetic<N>, lb: N): N => lb.times(m.of(KG_PER_LB))

/**
 * Pounds per cubic foot, as tariffs print a density, to kg/m³.
 * Example: 7 lb/ft³ is 112.13 kg/m³.
 */
export const kgPerM3FromLbPerFt3 = <N extends Num<N>>(m: Arithmetic<N>, density: N): N =>
  density.times(m.of(KG_PER_LB)).div(m.of(M3_PER_FT3))
