import { crewForTheDay, packersForTheDay } from '../../cost/crew.js'
import { accessFactor, crewHours } from '../../cost/labour.js'
import { packingHours } from '../../cost/packing-work.js'
import type { Num } from '../../quantity/arithmetic.js'
import { KG_PER_LB } from '../../quantity/units.js'
import { CREWS, HAND_WORK } from '../inputs.js'
import { type PlanContext, providerOf } from '../plan-context.js'

export type HandWork = (typeof HAND_WORK)[number]
export type Side = 'origin' | 'destination'

/** What has to be done, before anybody is sent for it. */
export interface Task<N> {
  readonly side: Side
  /** Hours that one trained worker would need alone. */
  readonly solo: N
  readonly crew: { readonly people: N; readonly hours: N }
  /** Done in passing by a crew that is there for another job: no visit of its own is billed. */
  readonly inPassing: boolean
}

export const SIDE: Readonly<Record<HandWork, Side>> = {
  packing: 'origin',
  dismantling: 'origin',
  loading: 'origin',
  unloading: 'destination',
  unpacking: 'destination',
  assembly: 'destination',
}

export const isHandWork = (service: string): service is HandWork =>
  (HAND_WORK as readonly string[]).includes(service)

/** What a job takes, from the volume, the mass and the doors. */
export function task<N extends Num<N>>(context: PlanContext<N>, service: HandWork, label: string): Task<N> {
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
