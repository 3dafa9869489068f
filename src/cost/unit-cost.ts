import type { Num } from '../quantity/arithmetic.js'

/**
 * Price of a container for each cubic metre of something: its nominal, its usable or its loaded volume. It is
 * billed by the container, so only the loaded one says what a household pays.
 *
 * @param m3 more than 0. Example: 2 800 over 33.2 × 0.85 m³ → 99.22; over 25 m³ loaded → 112
 */
export const costPerM3 = <N extends Num<N>>(price: N, m3: N): N => price.div(m3)
