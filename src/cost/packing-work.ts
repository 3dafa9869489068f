import type { Num } from '../quantity/arithmetic.js'

/** How much one packer does in an hour. */
export interface PackingPace<N> {
  readonly cartonsPerHour: N
  readonly wrappedM3PerHour: N
}

/**
 * Person-hours of packing: cartons by the carton, furniture by the volume that is wrapped. Wooden crates are priced
 * by their own volume and not counted here. Unpacking is the same at another pace.
 *
 * @param cartons cartons of every size
 * @param wrappedM3 net volume of what is wrapped, m³
 *
 * Example: 210 cartons at 6 an hour and 36 m³ at 3 an hour → 35 + 12 = 47 h.
 */
export const packingHours = <N extends Num<N>>(cartons: N, wrappedM3: N, pace: PackingPace<N>): N =>
  cartons.div(pace.cartonsPerHour).plus(wrappedM3.div(pace.wrappedM3PerHour))
