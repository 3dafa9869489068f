import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * Cargo that the road lets a container carry: gross limit of the vehicle less tractor, chassis and container.
 *
 * @returns the unit put in, 0 or more. Example: 80 000 lb − 35 000 lb − 8 686 lb → 36 314 lb
 */
export const roadCargo = <N extends Num<N>>(
  m: Arithmetic<N>,
  grossLimit: N,
  tractorAndChassis: N,
  tare: N,
): N => m.max(m.of(0), grossLimit.minus(tractorAndChassis).minus(tare))
