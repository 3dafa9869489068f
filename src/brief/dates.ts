import type { TimelineStep } from '../charts/specs/index.js'
import { dayText } from '../paper/format.js'
import type { Move, Plan } from '../plan/move.js'
import { dayIn } from '../time/day-number.js'

/** A day by which something has to be done, and why then. */
export interface Deadline {
  readonly on: string
  readonly what: string
  readonly why: string
  /** The cell the day was read from. */
  readonly cell?: string
}

/** The calendar of one plan, in words. */
export interface MoveDates {
  readonly deadlines: readonly Deadline[]
  readonly steps: readonly TimelineStep[]
}

/** The days of a plan as its cells `time.on.*` have them, each with the reason for it; nothing is worked out here. */
export function moveDates(move: Move, plan: Plan): MoveDates {
  const day = (id: string): string | undefined => {
    return dayIn(plan.sheet.cells.get(`time.on.${id}`)?.value)
  }
  const end = (id: string, which: 'low' | 'high'): string => {
    const value = plan.range.cells.get(`time.on.${id}`)?.value[which]
    return value ? dayText(dayIn(value) ?? '') : ''
  }
  const input = (id: string) => plan.inputs.numbers.get(id)
  const likely = (id: string): string => String(input(id)?.likely ?? '')
  const span = (id: string): string => `${input(id)?.low} to ${input(id)?.high} days`
  const choice = (id: string): string => plan.inputs.choices.get(id)?.value ?? ''
  const shared = (day('shared.sailing') ?? '') > (day('sailing') ?? '')
  const alone = day('last-free-day') === undefined
  const waits = `after ${span('groupage.wait-days')} of waiting for the container to fill`
  const toTheDoor = [
    `${span('time.delivery-days')} from release to the door`,
    ...(input('time.biosecurity-days')
      ? [`${span('time.biosecurity-days')} of inspection at a depot on the way`]
      : []),
  ].join(', ')
  const why: readonly (readonly [id: string, why: string])[] = [
    ['booking', `booking takes ${span('time.booking-days')} before the ship closes`],
    ['packing', 'from the packing hours of this plan, the people and their hours a day'],
    ['loading', 'stated by the household; cover and lists of goods in force before the first carton leaves'],
    [
      'cut-off',
      alone ? waits : `${likely('time.to-port-days')} days after loading; later goods miss their ship`,
    ],
    ['sailing', `${likely('time.closing-days')} days after the closing date`],
    [
      'discharge',
      `${span('time.crossing-days')} at sea, so between ${end('discharge', 'low')} and ${end('discharge', 'high')}`,
    ],
    [
      'last-free-day',
      `${likely('time.port-free-days')} ${choice('port.free-count')} days after discharge; demurrage from the next day`,
    ],
    [
      'release',
      `the later of customs done (${dayText(day('clearance') ?? '')}) and the import declaration, and ${likely('delay.days')} days of delay`,
    ],
    ['delivery', toTheDoor],
    [
      'empty-due',
      `${likely('time.detention-free-days')} free days after it leaves the port; detention after that`,
    ],
    ['empty-back', `${span('time.empty-return-days')} after delivery`],
    ...(shared
      ? [
          ['shared.sailing', waits] as const,
          ['shared.discharge', `${span('time.crossing-days')} at sea`] as const,
          ['shared.delivery', toTheDoor] as const,
        ]
      : []),
    ['notice', `certificates commonly give ${likely('insurance.notice-days')} days; read yours`],
    [
      'cover-end',
      `${likely('insurance.cover-days-after-discharge')} days after discharge, sooner on delivery; storage needs its own cover`,
    ],
  ]
  const deadlines = why.flatMap(([id, reason]): Deadline[] => {
    const on = day(id)
    const label = plan.sheet.cells.get(`time.on.${id}`)?.label
    return on && label ? [{ on, what: label, why: reason, cell: `time.on.${id}` }] : []
  })
  const entry = choice('import-on') || move.household.facts.import_on
  deadlines.push({ on: entry, what: 'Import declaration', why: 'stated by the household', cell: 'import-on' })
  const step = (label: string, from: string, until = from): TimelineStep[] => {
    const [start, stop] = [day(from), day(until)]
    return start && stop ? [{ label, from: start, until: stop }] : []
  }
  return {
    deadlines: deadlines.sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0)),
    steps: [
      ...step('Booked by', 'booking'),
      ...step('Packing', 'packing', 'loading'),
      ...step('Loading', 'loading'),
      ...step(alone ? 'To the port, waiting for the container to fill' : 'To the port', 'loading', 'sailing'),
      ...step('At sea', 'sailing', 'discharge'),
      ...step('Port and customs', 'discharge', 'release'),
      ...step('Last free day at the port', 'last-free-day'),
      { label: 'Import declaration', from: entry, until: entry },
      ...step('On the way to the door', 'release', 'delivery'),
      ...(shared ? step('Shared container: loading to the door', 'loading', 'shared.delivery') : []),
      ...step('Damage reported by', 'notice'),
    ],
  }
}
