import type { Num } from '../quantity/arithmetic.js'
import { type ConsignmentDates, consignmentDates, type FreeTimes } from '../time/calendar.js'
import { type DayTier, dayCharges } from '../time/day-charges.js'
import { CLOCK_STARTS, DAY_COUNTS } from '../time/free-time.js'
import { holidaysOf } from '../time/holidays.js'
import type { PlanContext } from './plan-context.js'
import type { TransportPlan } from './transport-options.js'

/** Days in a month for storage that is priced by the month: the year's 365 days over twelve. */
export const DAYS_A_MONTH = '30.4166666666666666666666666666667'

/** What each day is called, in the order of the move. */
const DAYS: readonly (readonly [id: string, day: keyof ConsignmentDates<unknown>, label: string])[] = [
  ['cut-off', 'cutOff', 'Closing date: goods in the port of loading'],
  ['sailing', 'sailing', 'Sailing'],
  ['discharge', 'discharge', 'Goods ashore'],
  ['clearance', 'clearance', 'Customs done at the earliest'],
  ['release', 'release', 'Release: goods may leave the port'],
  ['delivery', 'delivery', 'Delivery at the door'],
]
const OF_CONTAINER: typeof DAYS = [
  ['last-free-day', 'lastFreeDay', 'Last free day at the port'],
  ['empty-due', 'emptyDue', 'Last free day away from the port'],
  ['empty-back', 'emptyBack', 'Empty container back at the depot'],
]

/**
 * Every day of the move under `time.on.*`, and the days that carriers charge: before the cost lines, which are read
 * from them. What goes by shared container beside an own one has its own days under `time.on.shared.*`.
 */
export function calendarCells<N extends Num<N>>(context: PlanContext<N>, carriage: TransportPlan<N>): void {
  const { ledger } = context
  const { m } = ledger
  const put = (id: string, label: string, day: N) => ledger.put(`time.on.${id}`, label, 'date', day)
  const { option } = carriage
  const alone = option.container === undefined
  const load = put('loading', 'Loading', ledger.day('load-on'))
  // Nothing left over for the shared container means nothing to wait for.
  const wait = option.groupage
    ? m.choose(m.of(0), carriage.groupageUnits, m.of(0), ledger.input('groupage.wait-days'))
    : m.of(0)
  const main = datesOf(context, load, alone ? wait : m.of(0))
  for (const [id, day, label] of alone ? DAYS : [...DAYS, ...OF_CONTAINER]) put(id, label, main[day])
  let delivered = main.delivery
  let shared: ConsignmentDates<N> | undefined
  if (option.groupage) {
    shared = alone ? main : datesOf(context, load, wait)
  }
  if (shared && !alone) {
    for (const [id, day, label] of DAYS)
      put(`shared.${id}`, `Shared container: ${label.toLowerCase()}`, shared[day])
    delivered = m.max(main.delivery, shared.delivery)
  }
  put('delivered', 'Everything delivered', delivered)
  const months = ledger.input('storage.months')
  put(
    'home',
    'Everything in the new home, storage over',
    delivered.plus(m.ceil(months.times(m.of(DAYS_A_MONTH)))),
  )
  put(
    'carrier-notice',
    'Hidden damage reported to the carrier',
    delivered.plus(m.ceil(ledger.input('insurance.carrier-notice-days'))),
  )
  put(
    'notice',
    'Damage reported to the insurer',
    delivered.plus(m.ceil(ledger.input('insurance.notice-days'))),
  )
  put(
    'cover-end',
    'Transit cover stops at the latest, sooner on delivery',
    main.discharge.plus(m.ceil(ledger.input('insurance.cover-days-after-discharge'))),
  )
  ledger.put('time.door-to-door', 'Days from loading to delivery', 'day', delivered.minus(load))
  ledger.put('time.port.charged-days', 'Days at the port beyond the free ones', 'day', main.demurrageDays)
  if (!alone) {
    ledger.put(
      'time.away.charged-days',
      'Days the container is out beyond the free ones',
      'day',
      main.detentionDays,
    )
  }
  if (shared && !alone) {
    ledger.put(
      'time.shared.charged-days',
      'Days of the shared container’s goods at the port beyond the free ones',
      'day',
      shared.demurrageDays,
    )
  }
}

function datesOf<N extends Num<N>>(context: PlanContext<N>, load: N, fill: N): ConsignmentDates<N> {
  const { ledger } = context
  return consignmentDates(
    ledger.m,
    load,
    ledger.day('import-on'),
    {
      toPort: ledger.input('time.to-port-days'),
      fill,
      closing: ledger.input('time.closing-days'),
      crossing: ledger.input('time.crossing-days'),
      clearance: ledger.input('time.clearance-days'),
      delay: ledger.input('delay.days'),
      delivery: ledger.input('time.delivery-days'),
      ...(ledger.inputs.numbers.has('time.biosecurity-days') && {
        inspection: ledger.input('time.biosecurity-days'),
      }),
      emptyReturn: ledger.input('time.empty-return-days'),
    },
    freeTimes(context),
  )
}

/** The year of loading and the two after it: no container waits longer. */
const yearsFrom = (day: string): readonly number[] =>
  [0, 1, 2].map((later) => Number(day.slice(0, 4)) + later)

/** Free time as the plan reads the tariff: the commonest reading unless a choice says otherwise. */
export function freeTimes<N extends Num<N>>({ ledger, household, reference }: PlanContext<N>): FreeTimes<N> {
  const wholeDays = (id: string) => ledger.m.round(ledger.input(id), 0)
  const count = (id: string) => DAY_COUNTS.find((word) => word === ledger.choice(id)) ?? 'calendar'
  const counts = [count('port.free-count'), count('port.charged-count')]
  const reading = {
    freeCount: count('port.free-count'),
    chargedCount: count('port.charged-count'),
    start: CLOCK_STARTS.find((word) => word === ledger.choice('port.clock-start')) ?? 'next day',
    // Nobody looks at them where every day counts.
    holidays: counts.includes('working')
      ? holidaysOf(
          reference.portHolidays,
          household.facts.destination_country,
          yearsFrom(ledger.choice('load-on')),
        )
      : [],
  }
  return {
    port: { ...reading, freeDays: wholeDays('time.port-free-days') },
    away: { ...reading, freeDays: wholeDays('time.detention-free-days') },
  }
}

/** What the wait beyond the free days costs, where the goods spend it, and the other place beside it. */
export interface PortWait<N> {
  /** Demurrage, and for a shared container its storage at the freight station, as this plan pays it. */
  readonly demurrage: N
  readonly detention: N
  /** A warehouse for the days beyond the free ones, as this plan pays it; 0 where the goods stay in the port. */
  readonly warehouse: N
}

/**
 * The price of waiting beyond the free days, side by side: in the container at the port, or fetched on the last free
 * day into a warehouse under customs control. The choice `port-wait` says which of them the plan pays.
 */
export function portWaitCells<N extends Num<N>>(
  context: PlanContext<N>,
  carriage: TransportPlan<N>,
): PortWait<N> {
  const { ledger } = context
  const { m } = ledger
  const { option } = carriage
  const none = m.of(0)
  const shared = option.groupage
    ? freightStation(
        context,
        carriage,
        ledger.get(option.container === undefined ? 'time.port.charged-days' : 'time.shared.charged-days'),
      )
    : none
  if (option.container === undefined) {
    ledger.putStatementLine('time.port.delay-cost', 'Storage at the freight station for these days', shared)
    return { demurrage: shared, detention: none, warehouse: none }
  }
  const charged = ledger.get('time.port.charged-days')
  const demurrage = ledger.putStatementLine(
    'time.port.delay-cost',
    'Demurrage of these days',
    dayCharges(m, charged, dayTiers(context, 'demurrage', option.container)).times(carriage.containers),
  )
  const warehouse = ledger.putStatementLine(
    'time.storage.cost',
    'The same days in a warehouse: handling in and out, and the way from there by lorry',
    warehouseInstead(context, charged),
  )
  ledger.putStatementLine(
    'time.storage.saves',
    'What the warehouse would save against the port (below zero: costs more)',
    demurrage.minus(warehouse),
  )
  const fetched = ledger.put(
    'time.storage.chosen',
    'Goods wait in the warehouse (1 yes, 0 no)',
    '1',
    inWarehouse(context, charged, demurrage, warehouse),
  )
  const stays = m.of(1).minus(fetched)
  const detention = dayCharges(
    m,
    ledger.get('time.away.charged-days'),
    dayTiers(context, 'detention', option.container),
  ).times(carriage.containers)
  return {
    demurrage: demurrage.times(stays).plus(shared),
    // A container emptied at the warehouse goes back from there.
    detention: detention.times(stays),
    warehouse: warehouse.times(fetched),
  }
}

function inWarehouse<N extends Num<N>>({ ledger }: PlanContext<N>, charged: N, port: N, warehouse: N): N {
  const { m } = ledger
  const where = ledger.choice('port-wait')
  if (where === 'port') return m.of(0)
  const wished = where === 'warehouse' ? m.of(1) : m.choose(warehouse, port, m.of(0), m.of(1))
  return m.choose(none(m), charged, m.of(0), wished)
}

const none = <N extends Num<N>>(m: PlanContext<N>['ledger']['m']): N => m.of(0)

/**
 * Goods fetched into a warehouse for days: space by the month, handling in and out, and a lorry to the door, for
 * which a shared load's price stands; the container's own haulage brought it to the warehouse.
 */
function warehouseInstead<N extends Num<N>>({ ledger }: PlanContext<N>, days: N): N {
  const { m } = ledger
  const packed = ledger.get('volume.packed')
  const space = ledger.money('price.storage').times(packed).times(days).div(m.of(DAYS_A_MONTH))
  const handled = ledger.money('storage.handling').times(packed).times(m.of(2))
  const lorry = ledger.money('price.destination-haulage.groupage').times(packed)
  return space.plus(m.choose(m.of(0), days, m.of(0), handled.plus(lorry)))
}

/** Goods of a shared container that wait at the freight station: by volume and month. */
function freightStation<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  carriage: TransportPlan<N>,
  days: N,
): N {
  return ledger
    .money('price.demurrage.groupage')
    .times(carriage.groupageUnits)
    .times(days)
    .div(ledger.m.of(DAYS_A_MONTH))
}

/** The steps of a daily port tariff for one container type, in the household's currency. */
export function dayTiers<N extends Num<N>>(
  { ledger, reference }: PlanContext<N>,
  charge: 'demurrage' | 'detention',
  container: string,
): readonly DayTier<N>[] {
  return reference.portCharges
    .filter((tier) => tier.charge === charge && tier.container.split('|').includes(container))
    .map((tier) => ({
      fromDay: tier.from_day.toNumber(),
      untilDay: tier.until_day?.toNumber(),
      price: ledger.money(`price.${tier.id}`),
    }))
}
