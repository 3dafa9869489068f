import type { Decimal } from 'decimal.js'
import { DAYS_A_MONTH } from '../plan/calendar-cells.js'
import type { Move, Plan } from '../plan/move.js'
import {
  andThen,
  type DayOdds,
  exactly,
  notBefore,
  pertDays,
  theLater,
  waitingDays,
} from '../time/day-odds.js'

/** The day on which the import is declared: a day number, or whatever day the ship is in. */
export type Declared = number | 'when ashore'

/** How likely each day is for the last goods at the door, and for a home that is unpacked. */
export interface ArrivalOdds {
  readonly goods: DayOdds
  readonly home: DayOdds
}

/**
 * The days of arrival as likely as the ranges of the stretches make them: the calendar's own formula with chances
 * in the place of likely days. Stretches are taken to be independent of each other.
 *
 * @param load the day number of loading
 */
export function arrivalOdds(move: Move, plan: Plan, load: number, declared: Declared): ArrivalOdds {
  const days = (id: string): DayOdds => {
    const row = plan.inputs.numbers.get(id)
    return row ? spread(row.low, row.likely, row.high) : exactly(0)
  }
  const delay = (): DayOdds => {
    const row = plan.inputs.numbers.get('delay.days')
    if (!row?.low.eq(row.high)) return days('delay.days')
    // A delay that somebody gave as one figure has the long tail that simulation draws it with.
    const tail = move.inputs.numbers.get('risk.port-delay.tail')?.likely.toNumber() ?? 1
    return waitingDays(row.likely.toNumber(), tail)
  }
  const way = (fill: DayOdds): DayOdds => {
    const clear = [
      days('time.to-port-days'),
      fill,
      days('time.closing-days'),
      days('time.crossing-days'),
      days('time.clearance-days'),
    ].reduce(andThen, exactly(load))
    const released = declared === 'when ashore' ? clear : notBefore(clear, declared)
    const inspected = andThen(andThen(released, delay()), days('time.biosecurity-days'))
    return andThen(inspected, days('time.delivery-days'))
  }
  const option = plan.sheet.choices.get('transport') ?? ''
  const units = plan.sheet.cells.get(`options.${option}.groupage-units`)?.value
  const shared = units?.gt(0) ? way(days('groupage.wait-days')) : undefined
  const own = option === 'groupage' ? undefined : way(exactly(0))
  const goods = own && shared ? theLater(own, shared) : (own ?? shared ?? exactly(load))
  const months = plan.inputs.numbers.get('storage.months')?.likely.toNumber() ?? 0
  const stored = andThen(goods, exactly(Math.ceil(months * Number(DAYS_A_MONTH))))
  return { goods, home: andThen(stored, cellDays(plan, 'time.unpacking-days')) }
}

/** Days that a cell of the plan gives, with the range that its inputs leave it. */
export function cellDays(plan: Plan, id: string): DayOdds {
  const likely = plan.sheet.cells.get(id)?.value
  const range = plan.range.cells.get(id)?.value
  return likely ? spread(range?.low ?? likely, likely, range?.high ?? likely) : exactly(0)
}

function spread(low: Decimal, likely: Decimal, high: Decimal): DayOdds {
  return pertDays(low.toNumber(), likely.toNumber(), high.toNumber())
}
