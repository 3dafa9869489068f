import type { Decimal } from 'decimal.js'
import { Temporal } from 'temporal-polyfill'
import type { TimelineStep } from '../charts/specs/index.js'
import type { Move, Plan } from '../plan/move.js'
import { providers } from '../plan/providers.js'
import { lastFreeDay } from '../time/free-time.js'
import { dayText } from './names.js'

/** A day by which something has to be done, and why then. */
export interface Deadline {
  readonly on: string
  readonly what: string
  readonly why: string
}

/** The calendar of one plan. */
export interface MoveDates {
  readonly deadlines: readonly Deadline[]
  readonly steps: readonly TimelineStep[]
}

/**
 * The days of a plan, counted from the day of loading with the likely days of each stretch. Booking takes the
 * longest time of its range, because a missed closing date costs more than an early letter.
 *
 * The port's free days are counted in calendar days from the day after discharge, the commonest reading; the
 * carrier's tariff decides.
 */
export function moveDates(move: Move, plan: Plan): MoveDates {
  const load = Temporal.PlainDate.from(
    plan.inputs.choices.get('load-on')?.value ?? move.household.facts.load_on,
  )
  const entry = plan.inputs.choices.get('import-on')?.value ?? move.household.facts.import_on
  const row = (id: string) => plan.inputs.numbers.get(id)
  const days = (id: string): number => whole(row(id)?.likely)
  const shared = plan.sheet.cells.get(`options.${plan.sheet.choices.get('transport')}.groupage-units`)?.value
  const ownBox = plan.sheet.cells.get(`options.${plan.sheet.choices.get('transport')}.boxes`)?.value
  const wait = shared?.gt(0) ? days('groupage.wait-days') : 0
  const booking = load.subtract({ days: whole(row('time.booking-days')?.high) })
  const packing = load.subtract({ days: packingDays(move, plan) })
  const ashore = (end: 'low' | 'high') =>
    load.add({
      days:
        (wait > 0 ? whole(row('groupage.wait-days')?.[end]) : 0) + whole(row('time.crossing-days')?.[end]),
    })
  const sailing = load.add({ days: wait })
  const discharge = sailing.add({ days: days('time.crossing-days') })
  const cleared = discharge.add({ days: Math.max(days('delay.days'), days('time.clearance-days')) })
  // Nothing leaves the port before it is declared, whatever day the ship comes.
  const release = Temporal.PlainDate.compare(cleared, entry) < 0 ? Temporal.PlainDate.from(entry) : cleared
  const delivery = release.add({ days: days('time.delivery-days') })
  const free = (event: Temporal.PlainDate, freeDays: number) =>
    lastFreeDay(event, {
      freeDays,
      freeCount: 'calendar',
      chargedCount: 'calendar',
      start: 'next day',
      holidays: [],
    })
  const lastFree = free(discharge, days('time.port-free-days'))
  const emptyBack = free(release, days('time.detention-free-days'))
  const notice = delivery.add({ days: days('insurance.notice-days') })
  const coverEnd = discharge.add({ days: days('insurance.cover-days-after-discharge') })
  const on = (date: Temporal.PlainDate) => date.toString()
  const span = (id: string) => `${row(id)?.low} to ${row(id)?.high} days`
  const deadlines: Deadline[] = [
    {
      on: on(booking),
      what: 'Survey done, offers compared, space on the ship booked',
      why: `booking takes ${span('time.booking-days')} before the ship closes`,
    },
    {
      on: on(packing),
      what: 'Packing starts at the latest',
      why: 'from the packing hours of this plan, in full days',
    },
    {
      on: on(load),
      what: 'Loading; cover and lists of goods in force before the first carton leaves the house',
      why: 'stated by the household',
    },
    {
      on: on(discharge),
      what: 'Container ashore (likely)',
      why: `${span('time.crossing-days')} at sea, so between ${dayText(on(ashore('low')))} and ${dayText(on(ashore('high')))}${wait > 0 ? `, after ${span('groupage.wait-days')} of waiting for the container to fill` : ''}`,
    },
    { on: entry, what: 'Import declaration', why: 'stated by the household' },
    ...(ownBox?.gt(0)
      ? [
          {
            on: on(lastFree),
            what: 'Last free day at the port',
            why: `${days('time.port-free-days')} calendar days after discharge; demurrage from the next day`,
          },
          {
            on: on(emptyBack),
            what: 'Empty container back at the depot',
            why: `${days('time.detention-free-days')} free days after it leaves the port; detention after that`,
          },
        ]
      : []),
    {
      on: on(delivery),
      what: 'Delivery (likely)',
      why: `${span('time.delivery-days')} from release to the door`,
    },
    {
      on: on(notice),
      what: 'Damage reported in writing',
      why: `certificates commonly give ${days('insurance.notice-days')} days; read yours`,
    },
    {
      on: on(coverEnd),
      what: 'Transit cover stops at the latest',
      why: `${days('insurance.cover-days-after-discharge')} days after discharge, sooner on delivery; storage needs its own cover`,
    },
  ]
  const step = (label: string, from: Temporal.PlainDate, until: Temporal.PlainDate): TimelineStep => ({
    label,
    from: on(from),
    until: on(until),
  })
  return {
    deadlines: deadlines.sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0)),
    steps: [
      step('Booked by', booking, booking),
      step('Packing', packing, load),
      step('Loading', load, load),
      ...(wait > 0 ? [step('Waiting for the container to fill', load, sailing)] : []),
      step('At sea', sailing, discharge),
      step('Port and customs', discharge, release),
      ...(ownBox?.gt(0) ? [step('Last free day at the port', lastFree, lastFree)] : []),
      { label: 'Import declaration', from: entry, until: entry },
      step('On the way to the door', release, delivery),
      step('Damage reported by', notice, notice),
    ],
  }
}

const whole = (days: Decimal | undefined): number => days?.ceil().toNumber() ?? 0

/** Full days of packing: the hours of this plan over the people who pack and the hours of a working day. */
function packingDays(move: Move, plan: Plan): number {
  const own = ['self', 'friends'].includes(providers(move, plan).get('packing') ?? '')
  const hours = plan.sheet.cells.get(own ? 'work.packing.own-hours' : 'work.packing.person-hours')?.value
  const people = plan.inputs.numbers.get(own ? 'own.people' : 'labour.crew-packing')?.likely
  const workday = plan.inputs.numbers.get('labour.workday-hours')?.likely
  if (!hours || !people || !workday) return 0
  return Math.max(1, hours.div(people).div(workday).ceil().toNumber())
}
