import { background } from '../plan/figure.js'
import type { Move } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import { type Acceleration, lashingForceN } from '../stowage/lashing.js'
import type { LoadVehicle } from '../stowage/pieces/index.js'

/** What the lashings of a vehicle must hold in one direction, and on which part of the way that is most. */
export interface LashingNeed {
  readonly direction: 'forwards' | 'backwards' | 'to either side'
  /** Along the floor, before the angles of the lashings, N. */
  readonly newtons: number
  readonly where: 'road' | 'sea'
}

/** Gravity the CTU Code works with, m/s². */
const GRAVITY = '9.81'

type Case = readonly [where: LashingNeed['where'], horizontal: string, vertical?: string]

/** Rows of background.csv by direction; lengthwise at sea a piece weighs less while the ship pitches. */
const CASES: readonly (readonly [LashingNeed['direction'], readonly Case[]])[] = [
  [
    'forwards',
    [
      ['road', 'acceleration.road.forward'],
      ['sea', 'acceleration.sea-c.along', 'acceleration.sea-c.down-along'],
    ],
  ],
  [
    'backwards',
    [
      ['road', 'acceleration.road.back'],
      ['sea', 'acceleration.sea-c.along', 'acceleration.sea-c.down-along'],
    ],
  ],
  [
    'to either side',
    [
      ['road', 'acceleration.road.across'],
      ['sea', 'acceleration.sea-c.across'],
    ],
  ],
]

/**
 * Forces that direct lashings of a vehicle must take up, for the worst of road and open sea. A planning figure; a
 * competent person plans and signs the securing.
 *
 * Source: CTU Code, chapter 5 and annex 7; rows `acceleration.*` and `stowage.friction*` of background.csv.
 */
export function lashingNeeds(move: Pick<Move, 'reference'>, vehicle: LoadVehicle): readonly LashingNeed[] {
  const figure = (id: string) => background(move, id)
  const piece = { massKg: exact.of(vehicle.massKg), friction: figure('stowage.friction') }
  return CASES.map(([direction, cases]) => {
    const forces = cases.map(([where, horizontal, vertical]) => {
      const acceleration: Acceleration<ReturnType<typeof figure>> = {
        horizontal: figure(horizontal),
        vertical: vertical === undefined ? exact.of(1) : figure(vertical),
      }
      const newtons = lashingForceN(
        exact,
        piece,
        acceleration,
        exact.of(GRAVITY),
        figure('stowage.friction.direct-lashing'),
      )
      return { direction, where, newtons: newtons.toNumber() }
    })
    return forces.reduce((most, next) => (next.newtons > most.newtons ? next : most))
  })
}

/** The same in a sentence for the page, with the working load of the lashings that pull one way. */
export function lashingText(move: Pick<Move, 'reference'>, vehicle: LoadVehicle): string {
  const kn = (newtons: number): string => `${(newtons / 1000).toFixed(1)}\u00a0kN`
  const needs = lashingNeeds(move, vehicle)
  const each = background(move, 'car.lashing-load').toNumber()
  const most = Math.max(...needs.map(({ newtons }) => newtons)) / 2000
  const listed = needs
    .map(({ direction, newtons, where }) => `${direction} ${kn(newtons)} (${where})`)
    .join(', ')
  return `Planning figures for its lashings, at ${Math.round(vehicle.massKg)}\u00a0kg and friction ${background(move, 'stowage.friction')} (CTU Code): ${listed}, along the floor and before the angles of the straps. Of four lashings two pull in any one direction, ${most.toFixed(1)}\u00a0kN each, ${most <= each ? 'within' : 'over'} the usual ${each}\u00a0kN of working load. A competent person plans and signs the lashing.`
}
