import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { leastCharge } from './access-charges.js'
import { waitingHours } from './labour.js'

/** What a street allows: a container may stand, its lorry may wait, only small trucks get there. */
export type Street = 'stand' | 'wait' | 'small'

/** Ways to load or unload a container at a door, in the order in which the cheaper of two equals wins. */
export const DOOR_WAYS = ['wait', 'stand', 'small-trucks'] as const
export type DoorWay = (typeof DOOR_WAYS)[number]

/** The ways a street leaves open: small trucks get everywhere. */
export const waysOf = (street: Street): readonly DoorWay[] =>
  street === 'stand' ? DOOR_WAYS : street === 'wait' ? ['wait', 'small-trucks'] : ['small-trucks']

/**
 * The lorry waits with the container: hours beyond the free ones of each container.
 * Example: two containers in 11 h, 3 h free each, 100 an hour → (5.5 − 3) × 2 × 100 = 500.
 */
export const lorryWaits = <N extends Num<N>>(
  m: Arithmetic<N>,
  hours: N,
  containers: N,
  freeHours: N,
  hourly: N,
): N =>
  m.choose(
    m.of(0),
    containers,
    m.of(0),
    waitingHours(m, hours.div(containers), freeHours).times(containers).times(hourly),
  )

/** The container is left at the door and fetched later: a second haul, and chassis or detention while it stands. */
export const containerStands = <N extends Num<N>>(containers: N, dropFee: N, days: N, daily: N): N =>
  containers.times(dropFee.plus(days.times(daily)))

/**
 * Small trucks run between the door and a depot where the container is: by volume, with a least charge, and the
 * goods are handled once more.
 *
 * @param extraHandling share of the crew's bill that loading twice adds
 */
export const smallTrucks = <N extends Num<N>>(
  m: Arithmetic<N>,
  m3: N,
  price: N,
  minimum: N,
  extraHandling: N,
  crewBill: N,
): N => leastCharge(m, m3, price, minimum).plus(crewBill.times(extraHandling))
