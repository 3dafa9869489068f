import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/** A mass that lies evenly between two places along a container, from the front wall; the tare is never one. */
export interface SpreadLoad<N> {
  readonly massKg: N
  readonly fromM: N
  readonly toM: N
}

/** A mass taken to sit at one place, metres from the front wall. */
export interface PointLoad<N> {
  readonly massKg: N
  readonly atM: N
}

/** An evenly spread load acts at its middle. Example: 0 to 6.016 m → 3.008 m. */
export const actsAt = <N extends Num<N>>(m: Arithmetic<N>, load: SpreadLoad<N>): PointLoad<N> => ({
  massKg: load.massKg,
  atM: load.fromM.plus(load.toM).div(m.of(2)),
})

/**
 * Centre of gravity of the cargo along the container, metres from the front wall. The container's own mass is
 * left out: it sits in the middle and would flatter a bad stow.
 *
 * @param loads one or more, their masses more than zero together
 *
 * Source: CTU Code annex 7 (cargo mass). Example: 6 200 kg at 3.5 m, 1 480 kg at 9.432 m, 320 kg at
 * 6.016 m → 4.6981 m.
 */
export const centreOfGravityM = <N extends Num<N>>(m: Arithmetic<N>, loads: readonly PointLoad<N>[]): N =>
  m.sum(loads.map((load) => load.massKg.times(load.atM))).div(m.sum(loads.map((load) => load.massKg)))

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

/** How far off the middle the cargo may be, as shares of the length: rows `stowage.centre-of-gravity-offset*`. */
export interface OffsetLimits<N> {
  readonly usual: N
  /** Only where the lifting gear can make up for it, and agreed beforehand. */
  readonly special: N
}

/**
 * Is the cargo balanced along the length: 0 within the usual limit, 1 only within the special one, 2 beyond both
 * and to be stowed anew. A planning check; a competent person plans and signs the stow.
 *
 * Source: CTU Code annex 7 par. 3.1.4. Example: −0.1095 against 0.05 and 0.1 → 2; −0.0387 → 0.
 */
export function balanceVerdict<N extends Num<N>>(m: Arithmetic<N>, offset: N, limits: OffsetLimits<N>): N {
  const distance = m.max(offset, m.of(0).minus(offset))
  return m.choose(limits.usual, distance, m.of(0), m.choose(limits.special, distance, m.of(1), m.of(2)))
}
