import {
  containerStands,
  DOOR_WAYS,
  type DoorWay,
  lorryWaits,
  type Street,
  smallTrucks,
  waysOf,
} from '../../cost/door.js'
import type { Num } from '../../quantity/arithmetic.js'
import type { PlanContext } from '../plan-context.js'
import type { TransportPlan } from '../transport-options.js'
import type { HandWork } from './hand-task.js'
import type { Job } from './hand-work.js'

/** What the container at one door costs: with the hands that load or unload it, and as if the mover's crew did. */
export interface DoorCost<N> {
  readonly paid: N
  readonly byMover: N
}

const DOORS = { origin: 'loading', destination: 'unloading' } as const

/** The ways in words; the number of a way is its place in `DOOR_WAYS`, counted from 1. */
export const WAY_WORDS: Readonly<Record<DoorWay, string>> = {
  wait: 'the lorry waits',
  stand: 'the container stands and is fetched later',
  'small-trucks': 'small trucks to the depot',
}

/**
 * The container at a door in every way, side by side, and the cheapest that the street allows. A shared container
 * comes and goes on a collecting truck: nothing waits.
 */
export function doorCells<N extends Num<N>>(
  context: PlanContext<N>,
  side: 'origin' | 'destination',
  { option, containers }: TransportPlan<N>,
  jobs: ReadonlyMap<HandWork, Job<N>>,
): DoorCost<N> {
  const { ledger } = context
  const { m } = ledger
  const work = jobs.get(DOORS[side])
  const allowed = waysOf(ledger.choice(`${side}.street`) as Street)
  if (option.container === undefined || !work) return { paid: m.of(0), byMover: m.of(0) }
  const home = side === 'origin' ? 'old' : 'new'
  const stands = containerStands(
    containers,
    ledger.money('door.drop-fee'),
    ledger.input('door.stand-days'),
    ledger.money('door.stand-price'),
  )
  const trucks = smallTrucks(
    m,
    ledger.get('volume.packed'),
    ledger.money('door.small-trucks.price'),
    ledger.money('door.small-trucks.minimum'),
    ledger.input('door.small-trucks.extra-handling'),
    work.moversBill,
  )
  const waits = (hours: N) =>
    lorryWaits(m, hours, containers, ledger.input('door.free-hours'), ledger.money('door.waiting-price'))
  const inWay = (way: DoorWay, cost: N): N =>
    ledger.putStatementLine(
      `door.${side}.${way}`,
      `At the ${home} door: ${WAY_WORDS[way]}${allowed.includes(way) ? '' : ', which the street does not allow'}`,
      cost,
    )
  const costs: Readonly<Record<DoorWay, N>> = {
    wait: inWay('wait', waits(work.hours)),
    stand: inWay('stand', stands),
    'small-trucks': inWay('small-trucks', trucks),
  }
  const least = ledger.put(
    `door.${side}.least`,
    `At the ${home} door: the cheapest way allowed`,
    ledger.currency,
    allowed.map((way) => costs[way]).reduce((a, b) => m.min(a, b)),
  )
  ledger.put(
    `door.${side}.way`,
    `At the ${home} door: ${DOOR_WAYS.map((way, i) => `${i + 1} ${WAY_WORDS[way]}`).join(', ')}`,
    '1',
    [...allowed]
      .reverse()
      .reduce((way, next) => m.choose(least, costs[next], m.of(DOOR_WAYS.indexOf(next) + 1), way), m.of(0)),
  )
  const byCrew: Readonly<Record<DoorWay, N>> = { ...costs, wait: waits(work.crew.hours) }
  // Small trucks cost the same for any container; without one there is no door to bring it to.
  const forContainer = (amount: N) => m.choose(m.of(0), containers, m.of(0), amount)
  return {
    paid: forContainer(least),
    byMover: forContainer(allowed.map((way) => byCrew[way]).reduce((a, b) => m.min(a, b))),
  }
}

/** Days that a container or its lorry takes up the street at a door, at least one. */
export const daysAtTheDoor = <N extends Num<N>>(
  { ledger }: PlanContext<N>,
  side: 'origin' | 'destination',
  jobs: ReadonlyMap<HandWork, Job<N>>,
): N => {
  const { m } = ledger
  const hours = jobs.get(DOORS[side])?.hours ?? m.of(0)
  return m.max(m.of(1), m.ceil(hours.div(ledger.input('labour.workday-hours'))))
}
