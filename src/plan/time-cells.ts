import type { Num } from '../quantity/arithmetic.js'
import { dayCharges } from '../time/day-charges.js'
import { dayTiers } from './calendar-cells.js'
import { type PlanContext, providerOf } from './plan-context.js'
import type { TransportPlan } from './transport-options.js'

/** Days that hang on the work at the old home, and what the first and the tenth day at the port would cost. */
export function timeCells<N extends Num<N>>(
  context: PlanContext<N>,
  { option, containers }: TransportPlan<N>,
): void {
  const { ledger } = context
  const { m } = ledger
  const load = ledger.get('time.on.loading')
  const packing = ledger.put('time.packing-days', 'Days of packing', 'day', packingDays(context))
  ledger.put('time.on.packing', 'Packing starts at the latest', 'date', load.minus(packing))
  ledger.put(
    'time.on.booking',
    'Space on the ship booked',
    'date',
    ledger.get('time.on.cut-off').minus(m.ceil(ledger.input('time.booking-days'))),
  )
  if (option.container === undefined) return
  const tiers = dayTiers(context, 'demurrage', option.container)
  const first = dayCharges(m, m.of(1), tiers)
  const tenth = dayCharges(m, m.of(10), tiers).minus(dayCharges(m, m.of(9), tiers))
  ledger.putStatementLine(
    'time.port.first-day',
    'Demurrage of the first charged day',
    first.times(containers),
  )
  ledger.putStatementLine(
    'time.port.tenth-day',
    'Demurrage of the tenth charged day',
    tenth.times(containers),
  )
}

/** Whole days of packing: the hours of this plan over the people who pack and the hours of their day. */
function packingDays<N extends Num<N>>(context: PlanContext<N>): N {
  const { ledger } = context
  const { m } = ledger
  const provider = providerOf(context, 'packing')
  if (provider === 'none') return m.of(0)
  const own = provider === 'self' || provider === 'friends'
  const hours = ledger.get(own ? 'work.packing.own-hours' : 'work.packing.person-hours')
  const people = ledger.input(own ? 'own.people' : 'labour.crew-packing')
  const day = ledger.input(own ? 'own.hours-a-day' : 'labour.workday-hours')
  return m.ceil(hours.div(people).div(day))
}
