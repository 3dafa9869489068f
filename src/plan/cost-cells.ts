import { accessFactor, billedHour, crewBill, crewHours, waitingHours } from '../cost/labour.js'
import type { Num } from '../quantity/arithmetic.js'
import { KG_PER_LB, M3_PER_FT3 } from '../quantity/units.js'
import type { Provider } from '../tables/household-columns.js'
import type { Service } from '../tables/reference.js'
import { type PortWait, portWaitCells } from './calendar-cells.js'
import { type PlanContext, providerOf, shippedLines } from './plan-context.js'
import { type Carriage, carriageAmount } from './transport-options.js'

/** Work by hand: person-hours a trained crew needs, how many of it come, and at which end. */
interface Work<N> {
  readonly side: 'origin' | 'destination'
  readonly personHours: N
  readonly crew: N
}

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
 */
export function costCells<N extends Num<N>>(
  context: PlanContext<N>,
  carriage: Carriage<N>,
): Map<string, ServiceCost<N>> {
  const { ledger, reference } = context
  const { m } = ledger
  const work = workOf(context)
  const wait = portWaitCells(context, carriage)
  const costs = new Map<string, ServiceCost<N>>()
  for (const [service, { personHours }] of work) {
    ledger.put(
      `work.${service}.person-hours`,
      `${labelOf(context, service)}: person-hours of a trained crew`,
      'h',
      personHours,
    )
  }
  for (const service of reference.services) {
    const provider = providerOf(context, service.id)
    const byMover = moverPrice(context, service, carriage, work, wait)
    const paid = householdPays(context, service, provider, byMover, work)
    costs.set(service.id, { service, provider, byMover, paid })
    ledger.putStatementLine(`cost.${service.phase}.${service.id}`, service.label, paid)
    if (provider === 'employer')
      ledger.putStatementLine(`employer.${service.id}`, `${service.label}, paid by the employer`, byMover)
  }
  const own = [...work].filter(([service]) => ['self', 'friends'].includes(providerOf(context, service)))
  const slower = ledger.input('labour.own-slower')
  for (const [service, { personHours }] of own) {
    ledger.put(
      `work.${service}.own-hours`,
      `${labelOf(context, service)}: own and friends' hours`,
      'h',
      personHours.div(slower),
    )
  }
  const mine = own.filter(([service]) => providerOf(context, service) === 'self')
  ledger.put(
    'work.own.hours',
    'Hours of own work',
    'h',
    m.sum(mine.map(([service]) => ledger.get(`work.${service}.own-hours`))),
  )
  ledger.putStatementLine(
    'work.own.value',
    'Value of the own work, not in the total',
    ledger.get('work.own.hours').times(ledger.money('own.hour-value')),
  )
  for (const phase of ['origin', 'crossing', 'destination'] as const) {
    const lines = reference.services
      .filter((s) => s.phase === phase)
      .map((s) => ledger.get(`cost.${phase}.${s.id}`))
    ledger.put(
      `cost.${phase}.total`,
      { origin: 'Origin', crossing: 'Crossing', destination: 'Destination' }[phase],
      ledger.currency,
      m.sum(lines),
    )
  }
  const employer = reference.services.filter((s) => providerOf(context, s.id) === 'employer')
  ledger.put(
    'employer.total',
    'Paid by the employer',
    ledger.currency,
    m.sum(employer.map((s) => ledger.get(`employer.${s.id}`))),
  )
  return costs
}

const labelOf = <N extends Num<N>>({ reference }: PlanContext<N>, service: string): string =>
  reference.services.find((s) => s.id === service)?.label ?? service

/** Person-hours of each service that is done by hand. */
function workOf<N extends Num<N>>(context: PlanContext<N>): Map<string, Work<N>> {
  const { ledger } = context
  const { m } = ledger
  const crew = ledger.choice('crew')
  const one = m.of(1)
  const ft3 = (id: string) => ledger.get(id).div(m.of(M3_PER_FT3))
  const goodsLb = ledger.get('mass.goods').div(m.of(KG_PER_LB))
  const perHour = ledger.input(`labour.loading.lb-per-hour.crew${crew}`)
  const loading = crewHours(goodsLb, perHour, access(context, 'origin'))
  const unloading = crewHours(
    goodsLb,
    perHour.times(ledger.input('labour.unloading-speed')),
    access(context, 'destination'),
  )
  const pieces = m.sum(furnitureTakenApart(context).map((line) => ledger.input(`line.${line.line}.quantity`)))
  const apart = pieces.times(ledger.input('labour.assembly.hours-per-item'))
  const packers = ledger.input('labour.crew-packing')
  const carriers = m.of(crew)
  return new Map<string, Work<N>>([
    [
      'packing',
      {
        side: 'origin',
        personHours: crewHours(
          ft3('volume.to-pack'),
          ledger.input('labour.packing.ft3-per-person-hour'),
          one,
        ),
        crew: packers,
      },
    ],
    ['dismantling', { side: 'origin', personHours: apart, crew: one }],
    ['loading', { side: 'origin', personHours: loading.times(carriers), crew: carriers }],
    ['unloading', { side: 'destination', personHours: unloading.times(carriers), crew: carriers }],
    [
      'unpacking',
      {
        side: 'destination',
        personHours: crewHours(
          ft3('volume.in-cartons'),
          ledger.input('labour.unpacking.ft3-per-person-hour'),
          one,
        ),
        crew: packers,
      },
    ],
    ['assembly', { side: 'destination', personHours: apart, crew: one }],
  ])
}

function access<N extends Num<N>>({ ledger }: PlanContext<N>, side: 'origin' | 'destination'): N {
  return accessFactor(
    ledger.m,
    {
      floors: ledger.input(`${side}.floor`),
      floorSurcharge: ledger.input('labour.floor-surcharge'),
      liftSurcharge: ledger.input('labour.lift-surcharge'),
      carryM: ledger.input(`${side}.carry-m`),
      carryFreeM: ledger.input('labour.carry-free-m'),
      carryStepM: ledger.input('labour.carry-step-m'),
      carrySurcharge: ledger.input('labour.carry-surcharge'),
    },
    ledger.choice(`${side}.lift`) === 'yes',
  )
}

/** Beds, storage and tables of the item table come apart for the journey. */
function furnitureTakenApart<N extends Num<N>>(context: PlanContext<N>) {
  const groups = new Set(['beds', 'storage', 'tables'])
  const apart = new Set(context.reference.items.filter((i) => groups.has(i.group)).map((i) => i.id))
  return shippedLines(context).filter((line) => line.item_code !== undefined && apart.has(line.item_code))
}

const CARRIAGE_DRIVERS = new Set(['container', 'teu', 'percentage'])

/** What a mover charges for a service, before rounding, in the household's currency. */
function moverPrice<N extends Num<N>>(
  context: PlanContext<N>,
  service: Service,
  carriage: Carriage<N>,
  work: Map<string, Work<N>>,
  wait: PortWait<N>,
): N {
  const { ledger } = context
  const { m } = ledger
  const id = `price.${service.id}`
  const hours = work.get(service.id)
  if (hours) {
    const hourly = billedHour(
      ledger.money(`cost.${hours.side}.wage`),
      ledger.input('labour.transport-wage-share'),
      ledger.input('labour.billing-factor'),
    )
    return crewBill(
      m,
      hours.personHours.div(hours.crew),
      ledger.input('labour.minimum-hours'),
      hours.crew,
      hourly,
    )
  }
  if (service.id === 'freight' || CARRIAGE_DRIVERS.has(service.driver))
    return carriageAmount(context, service.id, carriage)
  if (service.id === 'loading-wait')
    return waiting(context, 'loading', carriage, work).times(ledger.money(id))
  if (service.id === 'unloading-wait')
    return waiting(context, 'unloading', carriage, work).times(ledger.money(id))
  if (service.id === 'demurrage') return wait.demurrage
  if (service.id === 'detention') return wait.detention
  const price = ledger.money(id)
  switch (service.driver) {
    case 'm3':
      return price.times(ledger.get(service.id === 'crating' ? 'volume.crated' : 'volume.packed'))
    case 'm3-month': {
      const months = ledger.input('storage.months')
      const packed = ledger.get('volume.packed')
      const handling = m.choose(m.of(0), months, m.of(0), ledger.money('storage.handling').times(packed))
      return price.times(packed).times(months).plus(handling).plus(wait.warehouse)
    }
    case 'day':
      return price.times(workDays(context, service.phase === 'origin' ? 'loading' : 'unloading', work))
    case 'event':
      return service.id === 'inspection' ? price.times(ledger.input('inspection.probability')) : price
    case 'each':
      return price.times(
        m.sum(
          shippedLines(context)
            .filter((l) => l.class === 'piano')
            .map((l) => ledger.input(`line.${l.line}.quantity`)),
        ),
      )
    case 'hour':
      return price.times(ledger.input('labour.minimum-hours'))
    default:
      return price
  }
}

/** What the household pays for a service, by who does it. */
function householdPays<N extends Num<N>>(
  context: PlanContext<N>,
  service: Service,
  provider: Provider,
  byMover: N,
  work: Map<string, Work<N>>,
): N {
  const { ledger } = context
  const { m } = ledger
  switch (provider) {
    case 'mover':
      return byMover
    case 'friends': {
      const hours = work.get(service.id)
      return hours
        ? hours.personHours.div(ledger.input('labour.own-slower')).times(ledger.money('labour.friend-thanks'))
        : m.of(0)
    }
    case 'self': {
      const left = byMover.times(m.of(service.self_pays ?? 0))
      const reused = service.id === 'materials' && ledger.choice('materials-reused') === 'yes'
      return reused ? left.times(ledger.input('materials.reuse-share')) : left
    }
    default:
      return m.of(0)
  }
}

/** Crew-hours at the door, whoever does the work; the household's own are slower. */
function hoursAtTheDoor<N extends Num<N>>(
  context: PlanContext<N>,
  service: 'loading' | 'unloading',
  work: Map<string, Work<N>>,
): N {
  const { ledger } = context
  const { m } = ledger
  const job = work.get(service)
  if (!job) return m.of(0)
  if (providerOf(context, service) === 'mover') return job.personHours.div(job.crew)
  return job.personHours.div(ledger.input('labour.own-slower')).div(ledger.input('own.people'))
}

/** Hours the haulier waits beyond the free ones, over all containers. A shared container's truck does not wait. */
function waiting<N extends Num<N>>(
  context: PlanContext<N>,
  service: 'loading' | 'unloading',
  { option, boxes }: Carriage<N>,
  work: Map<string, Work<N>>,
): N {
  const { ledger } = context
  if (option.container === undefined) return ledger.m.of(0)
  const each = hoursAtTheDoor(context, service, work).div(boxes)
  return waitingHours(ledger.m, each, ledger.input('door.free-hours')).times(boxes)
}

const workDays = <N extends Num<N>>(
  context: PlanContext<N>,
  service: 'loading' | 'unloading',
  work: Map<string, Work<N>>,
): N =>
  context.ledger.m.max(
    context.ledger.m.of(1),
    context.ledger.m.ceil(
      hoursAtTheDoor(context, service, work).div(context.ledger.input('labour.workday-hours')),
    ),
  )
