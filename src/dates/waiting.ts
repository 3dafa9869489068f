import type { Decimal } from 'decimal.js'
import { DAYS_A_MONTH, dayTiers, freeTimes } from '../plan/calendar-cells.js'
import type { Move, Plan } from '../plan/move.js'
import type { PlanContext } from '../plan/plan-context.js'
import { choicesOf } from '../plan/providers.js'
import { exact } from '../quantity/exact.js'
import { dayCharges } from '../time/day-charges.js'
import { chargedDaysUntil } from '../time/free-time.js'

/** Waiting in the container against a warehouse: the day from which the warehouse costs less, and both costs then. */
export interface WaitOrStore {
  readonly where: 'at the port' | 'away from the port' | 'at the old home'
  /** Days beyond the free ones; undefined where the warehouse never costs less within a year. */
  readonly from: number | undefined
  /** The day of the calendar that is, a day number; undefined with `from`. */
  readonly on: number | undefined
  /** Before the voyage: the day to sail instead of the plan's, so that the goods are free until `on`. A day number. */
  readonly sailOn?: number
  readonly container: Decimal
  readonly warehouse: Decimal
}

const A_YEAR = 365

/**
 * From which day beyond the free ones a warehouse beats leaving the goods in the container: at the port (demurrage),
 * away from it (detention), and before the voyage, where the goods wait at the old home's end and the alternative is
 * to wait at the port of discharge. A shared container's goods are in a warehouse as it is.
 */
export function waitOrStore(move: Move, plan: Plan): WaitOrStore[] {
  const transport = plan.sheet.choices.get('transport') ?? ''
  const [container = ''] = transport.split('+')
  if (container === 'groupage') return []
  const context = choicesOf(move, plan)
  const { ledger } = context
  const cell = (id: string): Decimal => plan.sheet.cells.get(id)?.value ?? exact.of(0)
  const day = (id: string): number => cell(`time.on.${id}`).toNumber()
  const packed = cell('volume.packed')
  const each = cell(`options.${transport}.containers`)
  const aDay = ledger.money('price.storage').times(packed).div(DAYS_A_MONTH)
  const handling = ledger.money('storage.handling').times(packed).times(2)
  const lorry = ledger.money('price.destination-haulage.groupage').times(packed)
  const charges = (charge: 'demurrage' | 'detention') => {
    const tiers = dayTiers(context, charge, container)
    return (days: number) => dayCharges(exact, exact.of(days), tiers).times(each)
  }
  const crossing = (
    where: WaitOrStore['where'],
    inContainer: (days: number) => Decimal,
    fixed: Decimal,
    lastFree: number,
  ): WaitOrStore => {
    const stored = (days: number) => fixed.plus(aDay.times(days))
    for (let days = 1; days <= A_YEAR; days++) {
      if (stored(days).lt(inContainer(days)))
        return {
          where,
          from: days,
          on: chargedDay(context, where, lastFree, days),
          container: inContainer(days),
          warehouse: stored(days),
        }
    }
    return {
      where,
      from: undefined,
      on: undefined,
      container: inContainer(A_YEAR),
      warehouse: stored(A_YEAR),
    }
  }
  const lastFree = day('last-free-day')
  // At the old home's end the goods are handled once more, and the container comes to the warehouse instead.
  const before = crossing('at the old home', charges('demurrage'), handling, lastFree)
  return [
    crossing('at the port', charges('demurrage'), handling.plus(lorry), lastFree),
    crossing('away from the port', charges('detention'), handling.plus(lorry), day('empty-due')),
    before.on === undefined ? before : { ...before, sailOn: day('sailing') + before.on - lastFree },
  ]
}

/** The day of the calendar on which so many days have been charged since the last free one, as the port counts them. */
function chargedDay(
  context: PlanContext<Decimal>,
  where: WaitOrStore['where'],
  lastFree: number,
  days: number,
): number {
  const terms = freeTimes(context)[where === 'away from the port' ? 'away' : 'port']
  let on = lastFree
  while (chargedDaysUntil(exact, exact.of(lastFree), exact.of(on), terms).lt(days)) on++
  return on
}
