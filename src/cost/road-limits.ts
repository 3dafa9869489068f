import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * Greatest gross weight on a group of axles by the US federal bridge formula, lb, to the nearest step.
 *
 * @param feet between the outer axles of the group
 * @param axles axles in the group, 2 or more
 * @param stepLb 500, the step the law rounds to; an exact half goes up
 *
 * Source: 23 USC 127(a), 23 CFR 658.17(e): 500 × (LN ÷ (N − 1) + 12N + 36). The caps on single and tandem axles
 * and on the whole vehicle apply besides. Example: 51 ft, 5 axles → 80 000.
 */
export function bridgeFormulaLb<N extends Num<N>>(m: Arithmetic<N>, feet: N, axles: N, stepLb: N): N {
  const spread = feet.times(axles).div(axles.minus(m.of(1)))
  const pounds = spread
    .plus(axles.times(m.of(12)))
    .plus(m.of(36))
    .times(m.of(500))
  return m.round(pounds.div(stepLb), 0, 'half-up').times(stepLb)
}

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
