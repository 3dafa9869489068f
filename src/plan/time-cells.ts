import type { Num } from '../quantity/arithmetic.js'
import { chargedDays, dayCharges } from '../time/day-charges.js'
import { dayTiers } from './cost-cells.js'
import type { PlanContext } from './plan-context.js'
import type { Carriage } from './transport-options.js'

/** Days in a month for storage that is priced by the month: the year's 365 days over twelve. */
const DAYS_A_MONTH = '30.4166666666666666666666666666667'

/** Days from door to door, what each day at the port costs, and what fetching the goods into storage would save. */
export function timeCells<N extends Num<N>>(context: PlanContext<N>, { option, boxes }: Carriage<N>): void {
  const { ledger } = context
  const { m } = ledger
  const delay = ledger.input('delay.days')
  const free = ledger.input('time.port-free-days')
  const days = [
    ledger.input('time.crossing-days'),
    m.max(delay, ledger.input('time.clearance-days')),
    ledger.input('time.delivery-days'),
    ...(option.groupage ? [ledger.input('groupage.wait-days')] : []),
  ]
  ledger.put('time.door-to-door', 'Days from loading to delivery, storage not counted', 'day', m.sum(days))
  const charged = ledger.put(
    'time.port.charged-days',
    'Days at the port beyond the free ones',
    'day',
    chargedDays(m, delay, free),
  )
  if (option.container === undefined) return
  const tiers = dayTiers(context, 'demurrage', option.container)
  const first = dayCharges(m, m.of(1), tiers)
  const tenth = dayCharges(m, m.of(10), tiers).minus(dayCharges(m, m.of(9), tiers))
  ledger.putStatementLine('time.port.first-day', 'Demurrage of the first charged day', first.times(boxes))
  ledger.putStatementLine('time.port.tenth-day', 'Demurrage of the tenth charged day', tenth.times(boxes))
  const cost = ledger.putStatementLine(
    'time.port.delay-cost',
    'Demurrage of this delay',
    dayCharges(m, charged, tiers).times(boxes),
  )
  const packed = ledger.get('volume.packed')
  const perMonth = ledger.money('price.storage').times(packed).div(m.of(DAYS_A_MONTH))
  const instead = perMonth
    .times(charged)
    .plus(m.choose(m.of(0), charged, m.of(0), ledger.money('storage.handling').times(packed)))
  const storage = ledger.putStatementLine(
    'time.storage.cost',
    'The same days in a warehouse, handling in and out included',
    instead,
  )
  ledger.putStatementLine(
    'time.storage.saves',
    'What storage would save against the port (below zero: storage costs more)',
    cost.minus(storage),
  )
}
