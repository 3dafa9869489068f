import type { Num } from '../quantity/arithmetic.js'

/**
 * Price of a container for each cubic metre of something: its nominal, its usable or its loaded volume. It is
 * billed by the container, so only the loaded one says what a household pays.
 *
 * @param m3 more than 0. Example: 2 800 over 33.2 × 0.85 m³ → 99.22; over 25 m³ loaded → 112
 */
export const costPerM3 = <N extends Num<N>>(price: N, m3: N): N => price.div(m3)

/**
 * Packed volume from which an own container is cheaper than a share of one, m³ before the shared load's crates.
 *
 * @param ownPrice price of the own container, all in
 * @param sharedPerM3 price of a shared container for each gross m³
 * @param grossFactor gross over packed volume in the shared one, 1 or more
 *
 * Example: 3 200 against 140, factor 1.2 → 19.048.
 */
export const switchM3 = <N extends Num<N>>(ownPrice: N, sharedPerM3: N, grossFactor: N): N =>
  ownPrice.div(sharedPerM3).div(grossFactor)
