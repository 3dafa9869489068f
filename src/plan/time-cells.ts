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
  const packing = ledger.put('time.packing-days', 'Days of packing', 'day', handDays(context, 'packing'))
  ledger.put('time.on.packing', 'Packing starts at the latest', 'date', load.minus(packing))
  ledger.put(
    'time.on.booking',
    'Space on the ship booked',
    'date',
    // A share of a container is booked before the goods are fetched, however long it then waits for its fill.
    load.plus(m.ceil(ledger.input('time.to-port-days'))).minus(m.ceil(ledger.input('time.booking-days'))),
  )
  const unpacking = ledger.put(
    'time.unpacking-days',
    'Days of unpacking',
    'day',
    handDays(context, 'unpacking'),
  )
  ledger.put('time.on.lived-in', 'Unpacked', 'date', ledger.get('time.on.home').plus(unpacking))
  for (const [wanted, reached, label] of [
    ['goods-wanted-on', 'time.on.delivered', 'Days to spare before the goods are wanted (below zero: late)'],
    [
      'home-wanted-on',
      'time.on.lived-in',
      'Days to spare before the home is to be lived in (below zero: late)',
    ],
  ] as const) {
    if (!ledger.inputs.choices.has(wanted)) continue
    const id = `time.spare.${wanted.slice(0, -'-wanted-on'.length)}`
    ledger.put(id, label, 'day', ledger.day(wanted).minus(ledger.get(reached)))
  }
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

/** Whole days of work in cartons: its hours from start to end over the hours of the day of those who do it. */
function handDays<N extends Num<N>>(context: PlanContext<N>, service: 'packing' | 'unpacking'): N {
  const { ledger } = context
  const provider = providerOf(context, service)
  // Friends and helpers come when the household does; what nobody was asked to do, it does itself.
  const trained = provider === 'mover' || provider === 'employer'
  const hours = ledger.get(`work.${service}.hours`)
  const day = ledger.input(trained ? 'labour.workday-hours' : 'own.hours-a-day')
  return ledger.m.ceil(hours.div(day))
}
