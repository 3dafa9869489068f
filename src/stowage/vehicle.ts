import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** What is left over when a car goes through the door and stands inside, millimetres; below zero it does not go. */
export interface VehicleSlack<N> {
  readonly heightMm: N
  readonly widthMm: N
  readonly lengthMm: N
}

/** Sides that a car is measured by, and the space it needs around it. */
export interface VehicleFit<N> {
  readonly lengthMm: N
  /** Without mirrors, folded in. */
  readonly widthMm: N
  /** With roof rails and aerial. */
  readonly heightMm: N
  readonly clearanceEndMm: N
  readonly clearanceSideMm: N
  readonly clearanceTopMm: N
}

/** The opening a car drives through and the length it stands on, millimetres. */
export interface VehicleSpace<N> {
  readonly doorWidthMm: N
  readonly doorHeightMm: N
  readonly insideLengthMm: N
}

/**
 * Room to spare for one car: the door's height and width decide, not the inside's, and the inside length.
 *
 * @param space door and inside of a row of data/reference/containers.csv
 * @param car with rows `car.clearance-*` of data/reference/figures.csv
 *
 * Example: 1 800 mm high with 50 mm clearance at a door of 2 280 mm → 430 mm of height to spare.
 */
export function vehicleSlack<N extends Num<N>>(
  m: Arithmetic<N>,
  space: VehicleSpace<N>,
  car: VehicleFit<N>,
): VehicleSlack<N> {
  const two = m.of(2)
  return {
    heightMm: space.doorHeightMm.minus(car.heightMm).minus(car.clearanceTopMm),
    widthMm: space.doorWidthMm.minus(car.widthMm).minus(car.clearanceSideMm.times(two)),
    lengthMm: space.insideLengthMm.minus(car.lengthMm).minus(car.clearanceEndMm.times(two)),
  }
}
