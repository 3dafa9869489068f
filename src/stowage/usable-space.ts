import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** Inside of a container, millimetres. */
export interface Inside<N> {
  readonly lengthMm: N
  readonly widthMm: N
  readonly heightMm: N
}

/** A car in a container: how long it is and what of the space above it a deck makes usable. */
export interface CarInside<N> {
  readonly lengthMm: N
  readonly heightMm: N
  readonly endClearanceMm: N
  readonly topClearanceMm: N
  /** Share of the space above the car that cartons on a deck take; 0 without a deck. */
  readonly deckShare: N
}

const mm3PerM3 = 1_000_000_000

/** Volume between the inner walls, m³. Example: 12 032 × 2 352 × 2 698 mm is 76.35 m³. */
export const nominalM3 = <N extends Num<N>>(m: Arithmetic<N>, inside: Inside<N>): N =>
  inside.lengthMm.times(inside.widthMm).times(inside.heightMm).div(m.of(mm3PerM3))

/**
 * Space that goods can really take in one container: what cars leave over, less broken stowage.
 * Broken stowage is counted here and nowhere else: the packed volume must not be raised for it too.
 *
 * @param share usable share of the space, over 0 to 1 (rows `stowage.share.*`; pallets taken off already)
 * @param cars the cars that stand one behind the other in this container
 * @returns m³, 0 or more
 */
export function usableM3<N extends Num<N>>(
  m: Arithmetic<N>,
  inside: Inside<N>,
  share: N,
  cars: readonly CarInside<N>[],
): N {
  const blockMm = m.sum(cars.map((car) => car.lengthMm.plus(car.endClearanceMm.times(m.of(2)))))
  const freeMm = m.max(m.of(0), inside.lengthMm.minus(blockMm))
  const beside = nominalM3(m, { ...inside, lengthMm: freeMm }).times(share)
  const above = cars.map((car) => {
    const clearMm = m.max(m.of(0), inside.heightMm.minus(car.heightMm).minus(car.topClearanceMm))
    return nominalM3(m, { lengthMm: car.lengthMm, widthMm: inside.widthMm, heightMm: clearMm }).times(
      car.deckShare,
    )
  })
  return beside.plus(m.sum(above))
}

/**
 * Containers needed when cars stand in the first one only.
 *
 * @param packedM3 packed volume of the goods, m³
 * @param firstM3 usable space of the container with the cars, m³
 * @param nextM3 usable space of each further container, m³
 * @param massKg goods and cars, kg
 * @param payloadKg what one container may carry, kg
 * @returns a whole number, 1 or more
 *
 * Example: 70 m³ into 48 m³ beside the car and 65 m³ each after → 2.
 */
export function containersNeeded<N extends Num<N>>(
  m: Arithmetic<N>,
  packedM3: N,
  firstM3: N,
  nextM3: N,
  massKg: N,
  payloadKg: N,
): N {
  const one = m.of(1)
  const overM3 = m.max(m.of(0), packedM3.minus(firstM3))
  const byVolume = one.plus(m.ceil(overM3.div(nextM3)))
  const byMass = m.ceil(massKg.div(payloadKg))
  return m.max(byVolume, byMass)
}

/** Mass a container may carry by its plate and by the road: the lesser of the two, kg. */
export const payloadKg = <N extends Num<N>>(m: Arithmetic<N>, maxGrossKg: N, tareKg: N, roadLimitKg: N): N =>
  m.min(maxGrossKg.minus(tareKg), roadLimitKg)

/**
 * Verified gross mass by the calculation method (SOLAS VI/2, method 2): everything that is in the container
 * and the container. Example: 3 940 + 6 200 + 1 480 + 320 kg is 11 940 kg.
 */
export const grossMassKg = <N extends Num<N>>(tareKg: N, goodsKg: N, vehiclesKg: N, dunnageKg: N): N =>
  tareKg.plus(goodsKg).plus(vehiclesKg).plus(dunnageKg)
