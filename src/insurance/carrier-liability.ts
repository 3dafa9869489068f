import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** The two limits of a carriage rule; a rule with one limit gives zero for the other. */
export interface LiabilityLimit<N> {
  readonly perPackage: N
  readonly perKg: N
}

/**
 * The most a carrier owes without insurance: the higher of so much a package and so much a kilogram lost.
 * Packages count as the bill of lading lists them; a container whose contents are not listed is one package.
 *
 * Source: Hague-Visby Rules art. IV(5) for sea; CMR art. 23 and the Montreal Convention art. 22 give a kilogram limit only.
 * Example: 150 listed packages, 5 400 kg, 666.67 and 2 → 100 000.50.
 */
export const carrierLimit = <N extends Num<N>>(
  m: Arithmetic<N>,
  packages: N,
  lostKg: N,
  limit: LiabilityLimit<N>,
): N => m.max(packages.times(limit.perPackage), lostKg.times(limit.perKg))
