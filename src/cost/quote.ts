import type { Num } from '../quantity/arithmetic.js'

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
