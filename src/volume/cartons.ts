import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** One size of carton as it is filled: outer volume, the share of it that goods take, the most it may hold. */
export interface CartonSize<N> {
  readonly outerM3: N
  readonly fill: N
  readonly contentLimitKg: N
}

/**
 * How many cartons of one size the loose goods of a room fill: enough for their volume and enough for their mass.
 *
 * @param looseM3 net volume of the loose goods, m³
 * @param looseKg their mass, kg
 * @returns a whole number of cartons; 0 for no goods
 *
 * Example: 0.30 m³ and 40 kg into cartons of 0.085 m³ filled to 0.85, limit 29.48 kg → 5 (volume decides).
 */
export function cartonCount<N extends Num<N>>(
  m: Arithmetic<N>,
  looseM3: N,
  looseKg: N,
  size: CartonSize<N>,
): N {
  const byVolume = m.ceil(looseM3.div(size.outerM3.times(size.fill)))
  const byMass = m.ceil(looseKg.div(size.contentLimitKg))
  return m.max(byVolume, byMass)
}
