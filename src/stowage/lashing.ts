import type { Arithmetic, Num } from '../quantity/arithmetic.js'

/**
 * Accelerations that cargo is secured against in one direction of one kind of transport, as shares of gravity:
 * rows `acceleration.*` of data/reference/background.csv. `vertical` is the least downward one that acts at the same
 * time: the whole of gravity on the road and sideways at sea, but only rows `*.down-along` lengthwise at sea, so
 * that friction nearly vanishes there.
 */
export interface Acceleration<N> {
  readonly horizontal: N
  readonly vertical: N
}

/** The piece to be held. */
export interface SecuredPiece<N> {
  readonly massKg: N
  /** Friction between the piece and the floor, as a number such as 0.3. */
  readonly friction: N
}

/**
 * Force that blocking must take up in one direction: what the acceleration pushes with, less what friction holds.
 * A planning figure; a competent person plans and signs the securing.
 *
 * @param gravity m/s², the 9.81 that the code works with
 * @returns newtons, 0 or more
 *
 * Source: CTU Code annex 7, appendix 4. Example: 1 500 kg, friction 0.3, 0.8 and 1.0 → 7 357.5 N.
 */
export const blockingForceN = <N extends Num<N>>(
  m: Arithmetic<N>,
  piece: SecuredPiece<N>,
  acceleration: Acceleration<N>,
  gravity: N,
): N =>
  m.max(
    m.of(0),
    piece.massKg
      .times(gravity)
      .times(acceleration.horizontal.minus(piece.friction.times(acceleration.vertical))),
  )

/**
 * Force that direct lashings must take up along the floor. Lashings give before they hold, so that only part of
 * the friction counts.
 *
 * @param frictionShare share of the friction that counts, 0.75
 * @returns newtons, 0 or more, summed over the lashings and without their angles
 *
 * Source: CTU Code annex 7, appendix 4 (from memory). Example: as above with 0.75 → 8 461.1 N.
 */
export const lashingForceN = <N extends Num<N>>(
  m: Arithmetic<N>,
  piece: SecuredPiece<N>,
  acceleration: Acceleration<N>,
  gravity: N,
  frictionShare: N,
): N => blockingForceN(m, { ...piece, friction: piece.friction.times(frictionShare) }, acceleration, gravity)
