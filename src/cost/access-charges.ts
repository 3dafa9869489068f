import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * A charge by quantity that never falls below its least amount; nothing asked for costs nothing.
 *
 * Source: as a US destination agent's tariff words shuttle, stairs and chassis. Example: 400 ft³ at 0.75, least
 * 350 → 350; 500 ft³ → 375.
 */
export const leastCharge = <N extends Num<N>>(m: Arithmetic<N>, quantity: N, price: N, minimum: N): N =>
  m.choose(m.of(0), quantity, m.of(0), m.max(quantity.times(price), minimum))
