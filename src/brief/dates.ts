import type { TimelineStep } from '../charts/specs/index.js'
import { amount, day as dayOf } from '../paper/sentence.js'
import type { Words } from '../paper/words.js'
import type { Move, Plan } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
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
export function moveDates(move: Move, plan: Plan, words: Words): MoveDates {
  const { line } = words
  const day = (id: string): string | undefined => {
    return dayIn(plan.sheet.cells.get(`time.on.${id}`)?.value)
  }
  const end = (id: string, which: 'low' | 'high'): string => {
    const value = plan.range.cells.get(`time.on.${id}`)?.value[which]
    return value ? words.locale.day(dayIn(value) ?? '') : ''
  }
  const input = (id: string) => plan.inputs.numbers.get(id)
  const likely = (id: string) => amount(input(id)?.likely ?? exact.of(0), 'day')
  const span = (id: string): string => {
    const row = input(id)
    if (!row) return ''
    return words.locale.range(row.low, row.high, 'day', (low, high) => words.say('fact.and', { low, high }))
  }
  const choice = (id: string): string => plan.inputs.choices.get(id)?.value ?? ''
  const shared = (day('shared.sailing') ?? '') > (day('sailing') ?? '')
  const alone = day('last-free-day') === undefined
  const waits = line`after ${span('groupage.wait-days')} of waiting for the container to fill`
  const toTheDoor = input('time.biosecurity-days')
    ? line`${span('time.delivery-days')} from release to the door, ${span('time.biosecurity-days')} of inspection at a depot on the way`
    : line`${span('time.delivery-days')} from release to the door`
  const why: readonly (readonly [id: string, why: string])[] = [
    ['booking', line`booking takes ${span('time.booking-days')} before the ship closes`],
    ['packing', line`from the packing hours of this plan, the people and their hours a day`],
    [
      'loading',
      line`stated by the household; cover and lists of goods in force before the first carton leaves`,
    ],
    [
      'cut-off',
      alone ? waits : line`${likely('time.to-port-days')} after loading; later goods miss their ship`,
    ],
    ['sailing', line`${likely('time.closing-days')} after the closing date`],
    [
      'discharge',
      line`${span('time.crossing-days')} at sea, so between ${end('discharge', 'low')} and ${end('discharge', 'high')}`,
    ],
    [
      'last-free-day',
      choice('port.free-count') === 'working'
        ? line`${likely('time.port-free-days')} after discharge, working days; demurrage from the next day`
        : line`${likely('time.port-free-days')} after discharge, calendar days; demurrage from the next day`,
    ],
    [
      'release',
      line`the later of customs done (${dayOf(day('clearance') ?? '')}) and the import declaration, and ${likely('delay.days')} of delay`,
    ],
    ['delivery', toTheDoor],
    [
      'empty-due',
      line`${likely('time.detention-free-days')} free after it leaves the port; detention after that`,
    ],
    ['empty-back', line`${span('time.empty-return-days')} after delivery`],
    ...(shared
      ? [
          ['shared.sailing', waits] as const,
          ['shared.discharge', line`${span('time.crossing-days')} at sea`] as const,
          ['shared.delivery', toTheDoor] as const,
        ]
      : []),
    [
      'carrier-notice',
      line`${likely('insurance.carrier-notice-days')} after delivery by the sea conventions; what can be seen goes on the delivery note`,
    ],
    ['notice', line`certificates commonly give ${likely('insurance.notice-days')}; read yours`],
    [
      'cover-end',
      line`${likely('insurance.cover-days-after-discharge')} after discharge, sooner on delivery; storage needs its own cover`,
    ],
  ]
  const deadlines = why.flatMap(([id, reason]): Deadline[] => {
    const on = day(id)
    const label = plan.sheet.cells.get(`time.on.${id}`)?.label
    return on && label
      ? [{ on, what: words.label(`date.${id}`, label), why: reason, cell: `time.on.${id}` }]
      : []
  })
  const entry = choice('import-on') || move.household.facts.import_on
  deadlines.push({
    on: entry,
    what: words.label('date.import', 'Import declaration'),
    why: line`stated by the household`,
    cell: 'import-on',
  })
  const step = (label: string, from: string, until = from): TimelineStep[] => {
    const [start, stop] = [day(from), day(until)]
    return start && stop ? [{ label, from: start, until: stop }] : []
  }
  return {
    deadlines: deadlines.sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0)),
    steps: [
      ...step(line`Booked by`, 'booking'),
      ...step(line`Packing`, 'packing', 'loading'),
      ...step(line`Loading`, 'loading'),
      ...step(
        alone ? line`To the port, waiting for the container to fill` : line`To the port`,
        'loading',
        'sailing',
      ),
      ...step(line`At sea`, 'sailing', 'discharge'),
      ...step(line`Port and customs`, 'discharge', 'release'),
      ...step(line`Last free day at the port`, 'last-free-day'),
      { label: words.label('date.import', 'Import declaration'), from: entry, until: entry },
      ...step(line`On the way to the door`, 'release', 'delivery'),
      ...(shared ? step(line`Shared container: loading to the door`, 'loading', 'shared.delivery') : []),
      ...step(line`Damage reported by`, 'carrier-notice', 'notice'),
    ],
  }
}
