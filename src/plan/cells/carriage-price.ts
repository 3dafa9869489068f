import { leastCharge } from '../../cost/access-charges.js'
import type { Num } from '../../quantity/arithmetic.js'
import type { Service } from '../../tables/reference.js'
import type { PlanContext } from '../plan-context.js'
import type { TransportPlan } from '../transport-options.js'
import { applies, insideFreight } from './service-terms.js'

/** Drivers that count containers of one sort or another. */
export const CARRIAGE_DRIVERS = new Set(['container', 'container-day', 'teu'])

/**
 * The mover's price of a service whose price hangs on the way of carriage, in the household's currency, before
 * rounding: own containers at the price of theirs, a shared one by its chargeable units, each with its least charge.
 * A surcharge that an all-in freight holds is zero.
 */
export function carriageAmount<N extends Num<N>>(
  context: PlanContext<N>,
  service: string,
  carriage: TransportPlan<N>,
): N {
  const { ledger, reference } = context
  const { m } = ledger
  if (service === 'freight') return freight(context, carriage)
  const row = reference.services.find((s) => s.id === service)
  if (!row || !applies(context, row) || insideFreight(context, row)) return m.of(0)
  if (row.driver === 'percentage') {
    const base = (row.counts ?? 'freight').split('|').map((id) => carriageAmount(context, id, carriage))
    return ledger.input(`price.${service}`).times(m.sum(base))
  }
  return ownContainers(context, row, carriage).plus(sharedContainer(context, row, carriage))
}

function freight<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  { option, containers, groupageUnits }: TransportPlan<N>,
): N {
  const own =
    option.container === undefined
      ? ledger.m.of(0)
      : ledger.money(`price.freight.${option.container}`).times(containers)
  return option.groupage ? own.plus(ledger.money('price.freight.groupage').times(groupageUnits)) : own
}

function ownContainers<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  row: Service,
  { option, containers, teu }: TransportPlan<N>,
): N {
  const { m } = ledger
  if (option.container === undefined || !ledger.has(`price.${row.id}`)) return m.of(0)
  const price = ledger.money(`price.${row.id}`)
  if (row.driver === 'teu') return price.times(teu)
  if (row.driver !== 'container-day') return price.times(containers)
  const days = ledger.input(row.counts ?? 'time.empty-return-days')
  const each = ledger.has(`price.${row.id}.minimum`)
    ? leastCharge(m, days, price, ledger.money(`price.${row.id}.minimum`))
    : days.times(price)
  return each.times(containers)
}

function sharedContainer<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  row: Service,
  { option, groupageUnits }: TransportPlan<N>,
): N {
  const { m } = ledger
  if (!option.groupage || !ledger.has(`price.${row.id}.groupage`)) return m.of(0)
  const price = ledger.money(`price.${row.id}.groupage`)
  const shared = row.groupage_driver === 'm3' ? price.times(groupageUnits) : price
  const least =
    row.driver !== 'container-day' && ledger.has(`price.${row.id}.minimum`)
      ? m.max(shared, ledger.money(`price.${row.id}.minimum`))
      : shared
  return m.choose(m.of(0), groupageUnits, m.of(0), least)
}
