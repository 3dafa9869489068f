import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { chargedDaysUntil, type FreeTime, lastFreeDay } from './free-time.js'

/** How long each stretch of a consignment's way takes, in days; a started day counts whole. */
export interface Stretches<N> {
  /** From loading until the goods stand in the port of loading. */
  readonly toPort: N
  /** That a shared container waits for its fill; 0 for an own one. */
  readonly fill: N
  /** From the closing date to sailing. */
  readonly closing: N
  readonly crossing: N
  readonly clearance: N
  /** Added to the release by an examination, congestion or missing papers. */
  readonly delay: N
  readonly delivery: N
  /** That the goods lie at a depot for inspection on the way to the door, where that is the rule. */
  readonly inspection?: N
  /** From delivery, or from unpacking for inspection, until the empty container is back at the depot. */
  readonly emptyReturn: N
}

/** The days of one consignment, as day numbers, and the days a carrier charges. */
export interface ConsignmentDates<N> {
  /** The latest day on which the goods may come into the port of loading for their ship. */
  readonly cutOff: N
  readonly sailing: N
  readonly discharge: N
  /** Customs done, if it could start on the day of discharge. */
  readonly clearance: N
  /** The goods may leave the port: customs done and the import declared. */
  readonly release: N
  readonly delivery: N
  readonly lastFreeDay: N
  readonly demurrageDays: N
  readonly emptyDue: N
  readonly emptyBack: N
  readonly detentionDays: N
}

/** The tariff's reading of free time at the port (demurrage) and away from it (detention). */
export interface FreeTimes<N> {
  readonly port: FreeTime<N>
  readonly away: FreeTime<N>
}

/**
 * The calendar of a consignment from loading to the empty container's return. It leaves the port on the day of
 * release, because haulage is booked ahead for that day; nothing is released before it is declared, whatever day
 * the ship comes in, and a delay comes on top.
 *
 * @param load the day number of loading
 * @param declared the day number on which the import is declared
 * @returns day numbers that never fall as any stretch grows
 *
 * Example: loaded 24 February 2027; 1 day to the port, closing 2 days before sailing, 30 days at sea, 3 of clearance,
 * declared 16 April: ashore 29 March, released 16 April; 7 free days → charged from 6 April, 11 days.
 */
export function consignmentDates<N extends Num<N>>(
  m: Arithmetic<N>,
  load: N,
  declared: N,
  stretches: Stretches<N>,
  free: FreeTimes<N>,
): ConsignmentDates<N> {
  const days = (stretch: Exclude<keyof Stretches<N>, 'inspection'>): N => m.ceil(stretches[stretch])
  const cutOff = load.plus(days('toPort')).plus(days('fill'))
  const sailing = cutOff.plus(days('closing'))
  const discharge = sailing.plus(days('crossing'))
  const clearance = discharge.plus(days('clearance'))
  const release = m.max(clearance, declared).plus(days('delay'))
  const emptied = release.plus(days('delivery'))
  const delivery = stretches.inspection ? emptied.plus(m.ceil(stretches.inspection)) : emptied
  const emptyBack = emptied.plus(days('emptyReturn'))
  const lastFree = lastFreeDay(m, discharge, free.port)
  const emptyDue = lastFreeDay(m, release, free.away)
  return {
    cutOff,
    sailing,
    discharge,
    clearance,
    release,
    delivery,
    lastFreeDay: lastFree,
    demurrageDays: chargedDaysUntil(m, lastFree, release, free.port),
    emptyDue,
    emptyBack,
    detentionDays: chargedDaysUntil(m, emptyDue, emptyBack, free.away),
  }
}
