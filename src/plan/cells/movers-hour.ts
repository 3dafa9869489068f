import { escalated, moversHour, moversLabourCost } from '../../cost/movers-hour.js'
import type { Num } from '../../quantity/arithmetic.js'
import { wageOf } from '../inputs.js'
import type { PlanContext } from '../plan-context.js'
import type { Side } from './hand-task.js'

/** What an hour of a mover costs the firm, and is billed. */
export interface Hourly<N> {
  readonly labourCost: N
  readonly billed: N
}

/** What an hour of a mover costs and is billed at one end, in the money of the year of the move. */
export function moversHourCell<N extends Num<N>>(context: PlanContext<N>, side: Side): Hourly<N> {
  const { ledger, household, reference } = context
  const { m } = ledger
  const country = side === 'origin' ? household.facts.origin_country : household.facts.destination_country
  const row = wageOf(reference, country)
  const years = row ? Number(ledger.choice('load-on').slice(0, 4)) - row.year : 0
  const wage = escalated(
    m,
    ledger.money(`cost.${side}.wage`),
    ledger.input(`cost.${side}.wage-growth`),
    years,
  )
  const home = side === 'origin' ? 'old' : 'new'
  const labourCost = ledger.put(
    `work.${side}.labour-hour`,
    `What an hour of a mover costs the firm at the ${home} home`,
    `${ledger.currency}/h`,
    moversLabourCost(wage, row ?? { kind: 'labour cost', who: 'whole economy' }, {
      employer: ledger.input('labour.employer-share'),
      movers: ledger.input('labour.transport-wage-share'),
      billing: ledger.input('labour.billing-factor'),
    }),
  )
  const billed = ledger.put(
    `work.${side}.movers-hour`,
    `An hour of a mover as billed at the ${home} home, lorry and supervision apart`,
    `${ledger.currency}/h`,
    moversHour(labourCost, ledger.input('labour.billing-factor')),
  )
  return { labourCost, billed }
}
