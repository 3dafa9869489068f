import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * A charge by quantity that never falls below its least amount; nothing asked for costs nothing.
 *
 * Source: as a US destination agent's tariff words shuttle, stairs and chassis. Example: 400 ft³ at 0.75, least
 * 350 → 350; 500 ft³ → 375.
 */
export const leastCharge = <N extends Num<N>>(m: Arithmetic<N>, quantity: N, price: N, minimum: N): N =>
  m.choose(m.of(0), quantity, m.of(0), m.max(quantity.times(price), minimum))

/**
 * A charge for at least so much of a quantity; nothing asked for costs nothing.
 * Example: unpacking 80 ft³ at 0.75 for at least 100 ft³ → 75.
 */
export const leastQuantityCharge = <N extends Num<N>>(
  m: Arithmetic<N>,
  quantity: N,
  price: N,
  leastQuantity: N,
): N => m.choose(m.of(0), quantity, m.of(0), m.max(quantity, leastQuantity).times(price))

/** A price a volume for each step of access, and the least amount of the whole charge. */
export interface AccessPrice<N> {
  readonly perVolume: N
  readonly minimum: N
}

/**
 * Carrying up stairs: volume times flights times price, the least amount taken once for the whole.
 *
 * @param flights above the floor that is free, 0 or more
 *
 * Example: 120 ft³, 2 flights at 0.45, least 75 → 108; 60 ft³, 1 flight → 75.
 */
export const stairCharge = <N extends Num<N>>(
  m: Arithmetic<N>,
  volume: N,
  flights: N,
  price: AccessPrice<N>,
): N => leastCharge(m, volume.times(flights), price.perVolume, price.minimum)

/** How far a carry is free and how long each charged step is, in one unit of length. */
export interface CarrySteps<N> {
  readonly free: N
  readonly step: N
}

/** Started steps of a carry beyond the free distance. Example: 200 ft, 75 free, steps of 75 → 2. */
export const carrySteps = <N extends Num<N>>(
  m: Arithmetic<N>,
  distance: N,
  { free, step }: CarrySteps<N>,
): N => m.ceil(m.max(m.of(0), distance.minus(free)).div(step))

/**
 * Carrying far from the truck: volume times started steps times price, the least amount taken once for the whole.
 * Example: 300 ft³ over 200 ft at 0.45 for each 75 ft beyond 75 → 270.
 */
export const longCarryCharge = <N extends Num<N>>(
  m: Arithmetic<N>,
  volume: N,
  distance: N,
  steps: CarrySteps<N>,
  price: AccessPrice<N>,
): N => leastCharge(m, volume.times(carrySteps(m, distance, steps)), price.perVolume, price.minimum)
