import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * What a price that goes by volume would be for another volume: in proportion.
 *
 * @param price the price as quoted
 * @param quotedM3 the volume the mover measured, over 0
 * @param packedM3 the volume the household really has
 *
 * Example: 3 000 quoted for 40 m³ is 4 500 for 60 m³.
 */
export const priceForVolume = <N extends Num<N>>(price: N, quotedM3: N, packedM3: N): N =>
  price.times(packedM3).div(quotedM3)

/**
 * One price for several services, split by what a model asks for each of them.
 *
 * @param price the price of the bundle
 * @param modelled the model's price of each service; where all are zero the bundle is split evenly
 * @returns a part for each service, in order; the parts add up to the price
 *
 * Example: 9 000 over 2 000 and 4 000 → 3 000 and 6 000.
 */
export function splitBundle<N extends Num<N>>(
  m: Arithmetic<N>,
  price: N,
  modelled: readonly N[],
): readonly N[] {
  const whole = m.sum(modelled)
  const even = m.of(1).div(m.of(Math.max(1, modelled.length)))
  return modelled.map((part) => price.times(m.choose(m.of(0), whole, even, part.div(m.max(whole, SMALL(m))))))
}

/** Keeps the branch that is not taken from dividing by zero. */
const SMALL = <N extends Num<N>>(m: Arithmetic<N>): N => m.of('0.000001')
