import { leastCharge } from '../cost/access-charges.js'
import type { Num } from '../quantity/arithmetic.js'
import type { Provider } from '../tables/household-columns.js'
import type { Service } from '../tables/reference.js'
import { portWaitCells } from './calendar-cells.js'
import { doorCells } from './cells/door.js'
import { type HandWork, isHandWork } from './cells/hand-task.js'
import type { Job } from './cells/hand-work.js'
import { moverPrice, type Priced } from './cells/service-price.js'
import { applies } from './cells/service-terms.js'
import { type PlanContext, providerOf } from './plan-context.js'
import type { TransportPlan } from './transport-options.js'

/** What the statement needs to know of a service before it is rounded: price by a mover, and what the household pays. */
export interface ServiceCost<N> {
  readonly service: Service
  readonly provider: Provider
  readonly byMover: N
  readonly paid: N
}

/**
 * Every line of the door-to-door move, one a service, rounded to the currency; then the phases and the hours of
 * own work. Lines somebody else pays for stand under `employer.*` and are not in the total.
 *
 * @param jobs the work by hand, which is the same whichever way the goods are carried
 */
export function costCells<N extends Num<N>>(
  context: PlanContext<N>,
  carriage: TransportPlan<N>,
  jobs: ReadonlyMap<HandWork, Job<N>>,
): Map<string, ServiceCost<N>> {
  const { ledger } = context
  const { m } = ledger
  const wait = portWaitCells(context, carriage)
  const doors = {
    origin: doorCells(context, 'origin', carriage, jobs),
    destination: doorCells(context, 'destination', carriage, jobs),
  }
  const costs = serviceCosts(context, { carriage, jobs, wait, doors })
  for (const { service, provider, byMover, paid } of costs.values()) {
    ledger.putStatementLine(`cost.${service.phase}.${service.id}`, service.label, paid)
    if (provider === 'employer')
      ledger.putStatementLine(`employer.${service.id}`, `${service.label}, paid by the employer`, byMover)
  }
  ledger.put(
    'work.own.hours',
    'Hours of own work',
    'h',
    m.sum([...jobs.values()].map(({ ownHours }) => ownHours)),
  )
  ledger.putStatementLine(
    'work.own.value',
    'Value of the own work, not in the total',
    ledger.get('work.own.hours').times(ledger.money('own.hour-value')),
  )
  ledger.putStatementLine(
    'work.own.saves',
    'What the own work saves against a mover, friends and hired hands paid',
    m.sum(
      [...costs.values()]
        .filter(({ service, provider }) => isHandWork(service.id) && DONE_BY_HAND.has(provider))
        .map(({ byMover, paid }) => byMover.minus(paid)),
    ),
  )
  for (const phase of ['origin', 'crossing', 'destination'] as const) {
    const lines = [...costs.values()]
      .filter(({ service }) => service.phase === phase)
      .map(({ service }) => ledger.get(`cost.${phase}.${service.id}`))
    if (phase === 'crossing') lines.push(...consignmentLines(context))
    ledger.put(
      `cost.${phase}.total`,
      { origin: 'Origin', crossing: 'Crossing', destination: 'Destination' }[phase],
      ledger.currency,
      m.sum(lines),
    )
  }
  const employer = [...costs.values()].filter(({ provider }) => provider === 'employer')
  ledger.put(
    'employer.total',
    'Paid by the employer',
    ledger.currency,
    m.sum(employer.map(({ service }) => ledger.get(`employer.${service.id}`))),
  )
  return costs
}

/**
 * What the consignments cost that go apart from the container, a line each. One that the inventory names and nothing
 * goes with under this scenario costs nothing, and keeps its line, so that scenarios stand side by side.
 */
function consignmentLines<N extends Num<N>>({ ledger, household, shipment }: PlanContext<N>): N[] {
  const named = new Set(household.inventory.flatMap(({ consignment }) => consignment ?? []))
  return [...named].map((name) => {
    const goes = shipment.apart.some(({ consignment }) => consignment === name)
    const parts = (goes ? ['freight', 'insurance', 'inland'] : []).map((part) =>
      ledger.money(`consignment.${name}.${part}`),
    )
    return ledger.putStatementLine(
      `cost.crossing.consignment.${name}`,
      `Consignment ${name}, carriage and cover`,
      ledger.m.sum(parts),
    )
  })
}

/** Providers that spare the mover's crew. */
const DONE_BY_HAND: ReadonlySet<Provider> = new Set<Provider>(['self', 'friends', 'hired'])

/** Services at their own price first, then those that are a share of others, in the order of the table. */
function serviceCosts<N extends Num<N>>(
  context: PlanContext<N>,
  priced: Priced<N>,
): Map<string, ServiceCost<N>> {
  const { reference } = context
  const found = new Map<string, ServiceCost<N>>()
  const isShare = (service: Service) => service.driver === 'percentage' && !service.carriage
  const price = (services: readonly Service[], byMoverOf: (service: Service) => N): void => {
    for (const service of services) {
      const provider = providerOf(context, service.id)
      const byMover = byMoverOf(service)
      const paid = householdPays(context, service, provider, byMover, priced)
      found.set(service.id, { service, provider, byMover, paid })
    }
  }
  price(
    reference.services.filter((row) => !isShare(row)),
    (service) => moverPrice(context, service, priced),
  )
  price(reference.services.filter(isShare), (service) => shareOf(context, service, found))
  return new Map(
    reference.services.flatMap(({ id }) => {
      const cost = found.get(id)
      return cost ? [[id, cost] as const] : []
    }),
  )
}

/**
 * A share of other services: of those named, or of a mover's own work in a phase. Carriage is no work of the
 * mover's and has the forwarder's charge in it.
 */
function shareOf<N extends Num<N>>(
  context: PlanContext<N>,
  service: Service,
  found: ReadonlyMap<string, ServiceCost<N>>,
): N {
  const { ledger } = context
  const { m } = ledger
  if (!applies(context, service)) return m.of(0)
  const names = service.counts?.split('|') ?? []
  const base = [...found.values()].filter(
    (cost) =>
      cost.provider === 'mover' &&
      (names.includes(cost.service.id) || (names.includes(cost.service.phase) && !cost.service.carriage)),
  )
  const sum = m.sum(base.map(({ byMover }) => byMover))
  const rate = ledger.input(`price.${service.id}`)
  return ledger.has(`price.${service.id}.minimum`)
    ? m.choose(m.of(0), rate, m.of(0), leastCharge(m, sum, rate, ledger.money(`price.${service.id}.minimum`)))
    : sum.times(rate)
}

/** What the household pays for a service, by who does it. */
function householdPays<N extends Num<N>>(
  context: PlanContext<N>,
  service: Service,
  provider: Provider,
  byMover: N,
  { jobs, doors }: Priced<N>,
): N {
  const { ledger } = context
  const { m } = ledger
  const hands = () => (isHandWork(service.id) ? jobs.get(service.id)?.handsBill : undefined) ?? m.of(0)
  switch (provider) {
    case 'mover':
      // The lorry waits for whoever loads: slow hands at the door cost the household, not the mover.
      return service.driver === 'door' && service.phase !== 'crossing' ? doors[service.phase].paid : byMover
    case 'friends':
    case 'hired':
      return hands()
    case 'self': {
      const left = byMover.times(m.of(service.self_pays ?? 0))
      const reused = service.id === 'materials' && ledger.choice('materials-reused') === 'yes'
      return reused ? left.times(ledger.input('materials.reuse-share')) : left
    }
    default:
      return m.of(0)
  }
}
