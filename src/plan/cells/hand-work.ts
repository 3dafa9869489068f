import { crewForTheDay, crewOverhead, packersForTheDay } from '../../cost/crew.js'
import { accessFactor, crewBill, crewHours } from '../../cost/labour.js'
import { escalated, moversHour, moversLabourCost } from '../../cost/movers-hour.js'
import { packingHours } from '../../cost/packing-work.js'
import { type Hands, hiredByTheDay, sharedHours } from '../../cost/team.js'
import type { Num } from '../../quantity/arithmetic.js'
import { KG_PER_LB } from '../../quantity/units.js'
import type { Provider } from '../../tables/household-columns.js'
import { CREWS, HAND_WORK, wageOf } from '../inputs.js'
import { type PlanContext, providerOf } from '../plan-context.js'

export type HandWork = (typeof HAND_WORK)[number]
type Side = 'origin' | 'destination'

/** One job done by hand: what a mover's crew would need and ask, and what the hands that do it need and cost. */
export interface Job<N> {
  readonly side: Side
  /** Hours from start to end by a mover's crew, and how many they are. */
  readonly crew: { readonly people: N; readonly hours: N }
  /** What the mover asks for it. */
  readonly moversBill: N
  /** Hours from start to end by whoever does it under this plan. */
  readonly hours: N
  /** Hours of the household's own people in it. */
  readonly ownHours: N
  /** What friends or hired hands cost; 0 where the household works alone. */
  readonly handsBill: N
}

/** What has to be done, before anybody is sent for it. */
interface Task<N> {
  readonly side: Side
  /** Hours that one trained worker would need alone. */
  readonly solo: N
  readonly crew: { readonly people: N; readonly hours: N }
  /** Done in passing by a crew that is there for another job: no visit of its own is billed. */
  readonly inPassing: boolean
}

const SIDE: Readonly<Record<HandWork, Side>> = {
  packing: 'origin',
  dismantling: 'origin',
  loading: 'origin',
  unloading: 'destination',
  unpacking: 'destination',
  assembly: 'destination',
}

export const isHandWork = (service: string): service is HandWork =>
  (HAND_WORK as readonly string[]).includes(service)

/** Every job by hand: written down with its hours, its crew and its bill. */
export function handWorkCells<N extends Num<N>>(context: PlanContext<N>): ReadonlyMap<HandWork, Job<N>> {
  const hourly = {
    origin: moversHourCell(context, 'origin'),
    destination: moversHourCell(context, 'destination'),
  }
  const { ledger } = context
  const crewDay = ledger.put(
    'work.crew-day',
    'Lorry and foreman of a crew, whatever its wage',
    `${ledger.currency}/day`,
    ledger.money('mover.lorry-day').plus(ledger.money('mover.supervisor-day')),
  )
  return new Map(HAND_WORK.map((service) => [service, job(context, service, hourly[SIDE[service]], crewDay)]))
}

/** Jobs in another arithmetic: the same whichever way the goods are carried, they are worked out once for all ways. */
export function liftedJobs<N extends Num<N>, G extends Num<G>>(
  jobs: ReadonlyMap<HandWork, Job<G>>,
  lift: (value: G) => N,
): ReadonlyMap<HandWork, Job<N>> {
  return new Map(
    [...jobs].map(([service, { side, crew, moversBill, hours, ownHours, handsBill }]) => [
      service,
      {
        side,
        crew: { people: lift(crew.people), hours: lift(crew.hours) },
        moversBill: lift(moversBill),
        hours: lift(hours),
        ownHours: lift(ownHours),
        handsBill: lift(handsBill),
      },
    ]),
  )
}

interface Hourly<N> {
  readonly labourCost: N
  readonly billed: N
}

/** What an hour of a mover costs and is billed at one end, in the money of the year of the move. */
function moversHourCell<N extends Num<N>>(context: PlanContext<N>, side: Side): Hourly<N> {
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

function job<N extends Num<N>>(
  context: PlanContext<N>,
  service: HandWork,
  hourly: Hourly<N>,
  crewDay: N,
): Job<N> {
  const { ledger, reference } = context
  const { m } = ledger
  const label = reference.services.find((s) => s.id === service)?.label ?? service
  const { side, solo, crew: sent, inPassing } = task(context, service, label)
  const provider = providerOf(context, service)
  const id = `work.${service}`
  const crew = {
    people: ledger.put(`${id}.crew`, `${label}: people a mover sends`, 'person', sent.people),
    hours: ledger.put(`${id}.crew-hours`, `${label}: hours a mover's crew needs`, 'h', sent.hours),
  }
  ledger.put(
    `${id}.person-hours`,
    `${label}: person-hours of a trained crew`,
    'h',
    crew.hours.times(crew.people),
  )
  const dayHours = ledger.input('labour.workday-hours')
  const visit = inPassing
    ? crew.hours.times(crew.people).times(hourly.billed)
    : crewBill(m, crew.hours, ledger.input('labour.minimum-hours'), crew.people, hourly.billed).plus(
        crewOverhead(m, crew.hours, dayHours, {
          perDay: crewDay,
          perJob: ledger.money('mover.handling'),
        }),
      )
  const moversBill = ledger.putStatementLine(`${id}.movers-bill`, `${label}: what a mover asks`, visit)
  const hands = handsOf(context, service, provider)
  const hours = ledger.put(
    `${id}.hours`,
    `${label}: hours from start to end`,
    'h',
    hands.working.length > 0 ? sharedHours(m, solo, hands.working) : crew.hours,
  )
  const ownHours = hours.times(hands.own)
  if (hands.working.length > 0) {
    const whose = {
      self: 'own hours',
      friends: 'own hours, friends helping',
      hired: 'own hours of supervision',
    }
    const what = provider === 'friends' || provider === 'hired' ? whose[provider] : whose.self
    ledger.put(`${id}.own-hours`, `${label}: ${what}`, 'h', ownHours)
  }
  return {
    side,
    crew,
    moversBill,
    hours,
    ownHours,
    handsBill: handsBill(context, service, provider, hours, hourly),
  }
}

/** Who works for the household in a job, and how many of its own people the job keeps. */
function handsOf<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  service: HandWork,
  provider: Provider,
): { readonly working: readonly Hands<N>[]; readonly own: N } {
  const { m } = ledger
  const family = () => ({ people: ledger.input('own.people'), pace: ledger.input('labour.own-slower') })
  switch (provider) {
    case 'self':
      return { working: [family()], own: ledger.input('own.people') }
    case 'friends':
      return {
        working: [
          family(),
          { people: ledger.input(`friends.${service}`), pace: ledger.input('labour.friends-pace') },
        ],
        own: ledger.input('own.people'),
      }
    case 'hired':
      // Somebody of the household has to stand by: hired hands come without a foreman.
      return {
        working: [{ people: ledger.input(`hired.${service}`), pace: ledger.input('labour.hired-pace') }],
        own: m.of(1),
      }
    default:
      return { working: [], own: m.of(0) }
  }
}

function handsBill<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  service: HandWork,
  provider: Provider,
  hours: N,
  hourly: Hourly<N>,
): N {
  const { m } = ledger
  if (provider === 'friends')
    return hours.times(ledger.input(`friends.${service}`)).times(ledger.money('labour.friend-thanks'))
  if (provider === 'hired') {
    const rate = hourly.labourCost.times(ledger.input('labour.hired-markup'))
    return hiredByTheDay(
      m,
      ledger.input(`hired.${service}`),
      hours,
      ledger.input('labour.workday-hours'),
      rate,
    )
  }
  return m.of(0)
}

function task<N extends Num<N>>(context: PlanContext<N>, service: HandWork, label: string): Task<N> {
  const { ledger } = context
  const { m } = ledger
  const side = SIDE[service]
  const alone = (hours: N) =>
    ledger.put(`work.${service}.one-worker`, `${label}: hours one trained worker would need`, 'h', hours)
  switch (service) {
    case 'packing':
      return packingTask(context, side, alone, {
        cartons: 'labour.packing.cartons-per-person-hour',
        furniture: 'labour.wrapping.m3-per-person-hour',
      })
    case 'unpacking':
      return packingTask(context, side, alone, {
        cartons: 'labour.unpacking.cartons-per-person-hour',
        furniture: 'labour.unwrapping.m3-per-person-hour',
      })
    case 'loading':
      return carryingTask(context, side, service, alone, m.of(1))
    case 'unloading':
      return carryingTask(context, side, service, alone, ledger.input('labour.unloading-speed'))
    default:
      return apartTask(context, side, alone)
  }
}

function packingTask<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  side: Side,
  alone: (hours: N) => N,
  pace: { readonly cartons: string; readonly furniture: string },
): Task<N> {
  const { m } = ledger
  const wrapped = ledger
    .get('volume.to-pack')
    .minus(ledger.get('volume.in-cartons'))
    .minus(ledger.get('volume.crated'))
  const solo = alone(
    packingHours(ledger.get('cartons.total'), m.max(m.of(0), wrapped), {
      cartonsPerHour: ledger.input(pace.cartons),
      wrappedM3PerHour: ledger.input(pace.furniture),
    }),
  )
  const people = packersForTheDay(
    m,
    solo,
    ledger.input('labour.workday-hours'),
    ledger.input('labour.crew-packing'),
    ledger.input('labour.crew-packing-most'),
  )
  return { side, solo, crew: { people, hours: solo.div(people) }, inPassing: false }
}

/** Carrying out or in: the crew grows with the load, so that the job ends within its day. */
function carryingTask<N extends Num<N>>(
  context: PlanContext<N>,
  side: Side,
  service: HandWork,
  alone: (hours: N) => N,
  speed: N,
): Task<N> {
  const { ledger } = context
  const { m } = ledger
  const lb = ledger.get('mass.goods').div(m.of(KG_PER_LB))
  const factor = ledger.put(
    `work.${service}.access`,
    `How much longer carrying takes than at street level beside the lorry, ${side === 'origin' ? 'old' : 'new'} home`,
    '1',
    access(context, side),
  )
  const hours = (size: number) =>
    crewHours(lb, ledger.input(`labour.loading.lb-per-hour.crew${size}`).times(speed), factor)
  const crew = ledger.choice('crew')
  const offers = CREWS.filter((size) => (crew === 'by load' ? size >= 2 : String(size) === crew)).map(
    (size) => ({ size, hours: hours(size) }),
  )
  return {
    side,
    solo: alone(hours(1)),
    crew: crewForTheDay(m, offers, ledger.input('labour.workday-hours')),
    inPassing: false,
  }
}

/** Taking apart and putting together: one worker, in passing where the mover is there anyway. */
function apartTask<N extends Num<N>>(context: PlanContext<N>, side: Side, alone: (hours: N) => N): Task<N> {
  const { ledger } = context
  const pieces = ledger.m.sum(
    furnitureTakenApart(context).map((line) => ledger.input(`line.${line.line}.quantity`)),
  )
  const solo = alone(pieces.times(ledger.input('labour.assembly.hours-per-item')))
  const others: readonly HandWork[] = side === 'origin' ? ['packing', 'loading'] : ['unloading', 'unpacking']
  const inPassing = others.some((service) => providerOf(context, service) === 'mover')
  return { side, solo, crew: { people: ledger.m.of(1), hours: solo }, inPassing }
}

function access<N extends Num<N>>({ ledger }: PlanContext<N>, side: Side): N {
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
  return context.shipment.lines.filter((line) => line.item_code !== undefined && apart.has(line.item_code))
}
