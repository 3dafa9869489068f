import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** A mass that lies evenly between two places along a container, from the front wall; the tare is never one. */
export interface SpreadLoad<N> {
  readonly massKg: N
  readonly fromM: N
  readonly toM: N
}

/**
 * How far the cargo's centre of gravity lies from the middle, as a share of the inside length: negative to the
 * front, positive to the doors. Example: 4.6981 m of 12.032 m → −0.1095.
 */
export const offsetShare = <N extends Num<N>>(m: Arithmetic<N>, centreM: N, lengthM: N): N =>
  centreM.div(lengthM).minus(m.of(1).div(m.of(2)))

/**
 * Share of the cargo's mass that lies in the front half, each load spread evenly over its own length.
 *
 * @param loads each with `toM` beyond `fromM`
 * @returns 0 to 1. Example: 60 kg over the front half, 40 kg over the rear → 0.6
 */
export function frontHalfShare<N extends Num<N>>(
  m: Arithmetic<N>,
  loads: readonly SpreadLoad<N>[],
  lengthM: N,
): N {
  const half = lengthM.div(m.of(2))
  const inFront = loads.map(({ massKg, fromM, toM }) => {
    const covered = m.min(toM.minus(fromM), m.max(m.of(0), half.minus(fromM)))
    return massKg.times(covered).div(toM.minus(fromM))
  })
  return m.sum(inFront).div(m.sum(loads.map((load) => load.massKg)))
}
