import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * Units a shared container is charged by, weight or measure: cubic metres, or the mass at so many kilograms a
 * cubic metre, whichever is more, and never fewer than the least.
 *
 * @param grossM3 outer volume as delivered to the freight station, m³
 * @param grossKg mass as delivered, kg
 * @param kgPerM3 mass that counts as a cubic metre (row `groupage.kg-per-m3`: 1000; some forwarders 500)
 * @returns units of a cubic metre
 *
 * Example: 2.2 m³ and 2 900 kg → 2.9; 0.7 m³ and 300 kg → 1 at a least of 1.
 */
export const chargeableUnits = <N extends Num<N>>(
  m: Arithmetic<N>,
  grossM3: N,
  grossKg: N,
  kgPerM3: N,
  leastUnits: N,
): N => m.max(m.max(grossM3, grossKg.div(kgPerM3)), leastUnits)

/**
 * Chargeable weight by air or courier: the greater of gross mass and volume weight, rounded up to the step.
 *
 * @param m3PerKg space that counts as a kilogram (row `air.m3-per-kg`: 0.006), divided by and never multiplied,
 *   because × 166.67 kg/m³ makes 0.09 m³ weigh 15.0003 kg, a step too dear
 * @returns kg, a multiple of `stepKg`
 */
export const chargeableWeightKg = <N extends Num<N>>(
  m: Arithmetic<N>,
  volumeM3: N,
  grossKg: N,
  m3PerKg: N,
  stepKg: N,
): N => m.ceil(m.max(grossKg, volumeM3.div(m3PerKg)).div(stepKg)).times(stepKg)
