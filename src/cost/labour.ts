import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** What makes carrying slower at one end of the move. */
export interface Access<N> {
  readonly floors: N
  /** Added time for each floor, as a share; where a lift is used the lift's share counts once instead. */
  readonly floorSurcharge: N
  readonly liftSurcharge: N
  readonly carryM: N
  readonly carryFreeM: N
  readonly carryStepM: N
  readonly carrySurcharge: N
}

/**
 * How much longer carrying takes than at street level beside the truck.
 *
 * @param lift is there a lift that furniture fits in
 * @returns a factor, 1 or more
 *
 * Example: 2 floors at 0.175 without a lift, 20 m carried of which 25 m are free → 1.35.
 */
export function accessFactor<N extends Num<N>>(m: Arithmetic<N>, access: Access<N>, lift: boolean): N {
  const floors = access.floors.times(access.floorSurcharge)
  // A lift never makes an upper floor slower than its stairs would.
  const upward = lift ? m.min(floors, access.liftSurcharge) : floors
  const steps = m.ceil(m.max(m.of(0), access.carryM.minus(access.carryFreeM)).div(access.carryStepM))
  return m.of(1).plus(upward).plus(steps.times(access.carrySurcharge))
}

/**
 * Hours a crew needs: quantity over what it does in an hour, made longer by access.
 *
 * @param quantity kilograms carried, or cubic feet packed
 * @param perHour the same unit in an hour
 * @returns hours, 0 or more
 */
export const crewHours = <N extends Num<N>>(quantity: N, perHour: N, factor: N): N =>
  quantity.div(perHour).times(factor)

/**
 * A crew's bill: hours worked, at least the hours every visit is billed for, times crew and rate.
 * Nothing to do costs nothing.
 */
export function crewBill<N extends Num<N>>(
  m: Arithmetic<N>,
  hours: N,
  minimumHours: N,
  crew: N,
  hourly: N,
): N {
  const billed = m.choose(m.of(0), hours, m.of(0), m.max(hours, minimumHours))
  return billed.times(crew).times(hourly)
}

/** Hours beyond those a haulier leaves the container at the door free of charge. */
export const waitingHours = <N extends Num<N>>(m: Arithmetic<N>, hours: N, freeHours: N): N =>
  m.max(m.of(0), hours.minus(freeHours))
