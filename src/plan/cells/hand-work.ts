import { crewOverhead } from '../../cost/crew.js'
import { crewBill } from '../../cost/labour.js'
import { type Hands, hiredByTheDay, sharedHours } from '../../cost/team.js'
import type { Num } from '../../quantity/arithmetic.js'
import type { Provider } from '../../tables/household-columns.js'
import { HAND_WORK } from '../inputs.js'
import { type PlanContext, providerOf } from '../plan-context.js'
import { type HandWork, SIDE, type Side, task } from './hand-task.js'
import { type Hourly, moversHourCell } from './movers-hour.js'

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
