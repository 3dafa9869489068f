import type { Decimal } from 'decimal.js'
import { periodEnd } from '../customs/calendar.js'
import { documentsDue } from '../customs/papers/documents.js'
import type { Move, Plan } from '../plan/move.js'
import { dayNumber } from '../time/day-number.js'

/** A day after which something costs money or a right is lost. Days are day numbers. */
export interface MoveDeadline {
  readonly id: string
  readonly label: string
  readonly owner: string
  readonly on: number
  /** Days between the day planned for it and the deadline; undefined where the plan has no day for it. */
  readonly slack?: number | undefined
  readonly ifMissed: string
  readonly missCosts?: Decimal | undefined
  readonly rule: string
  readonly confirmed: string
}

/** The days of a plan that must not pass: free time, relief, cover, notice of claim, and the time without disposal. */
export function deadlinesOf(move: Move, plan: Plan): MoveDeadline[] {
  const value = (id: string): Decimal | undefined => plan.sheet.cells.get(id)?.value
  // A day that the carriage taken does not have counts as 0.
  const day = (id: string): number | undefined => value(`time.on.${id}`)?.toNumber() || undefined
  const input = (id: string) => {
    const row = plan.inputs.numbers.get(id)
    return { rule: row?.source ?? '', confirmed: row?.confirmed ?? 'stated' }
  }
  const declared = value('import-on')?.toNumber()
  const out: MoveDeadline[] = []
  const put = (id: string, on: number | undefined, facts: Omit<MoveDeadline, 'id' | 'on'>) => {
    if (on !== undefined) out.push({ id, on, ...facts })
  }
  const spare = (on: number | undefined, planned: number | undefined) =>
    on === undefined || planned === undefined ? undefined : on - planned
  put('cut-off', day('cut-off'), {
    label: 'Closing date: goods in the port of loading',
    owner: 'mover',
    ifMissed: 'The next ship with room, and the carrier’s charge for the change',
    ...input('time.to-port-days'),
  })
  put('import', declared, {
    label: 'Import declared',
    owner: 'broker',
    slack: spare(day('last-free-day'), declared),
    ifMissed: 'Each day past the free ones is charged; relief is judged by the day of declaration',
    missCosts: value('time.port.first-day'),
    rule: 'household.csv',
    confirmed: 'stated',
  })
  put('last-free-day', day('last-free-day'), {
    label: 'Last free day at the port',
    owner: 'mover',
    slack: spare(day('last-free-day'), day('release')),
    ifMissed: 'Demurrage from the next day, more later',
    missCosts: value('time.port.first-day'),
    ...input('time.port-free-days'),
  })
  put('empty-due', day('empty-due'), {
    label: 'Empty container back at the depot',
    owner: 'mover',
    slack: spare(day('empty-due'), day('empty-back')),
    ifMissed: 'Detention from the next day, more later',
    ...input('time.detention-free-days'),
  })
  put('condition', day('delivered'), {
    label: 'Condition list signed at the door, damage and missing cartons written on the delivery note',
    owner: 'household',
    ifMissed: 'Goods count as delivered whole unless the contrary is proved',
    rule: 'Hague-Visby Rules art. III(6); claim-notice.csv',
    confirmed: 'secondary',
  })
  put('carrier-notice', day('carrier-notice'), {
    label: 'Hidden damage reported in writing to the sea carrier',
    owner: 'household',
    slack: spare(day('carrier-notice'), day('delivered')),
    ifMissed:
      'Goods count as delivered whole unless the contrary is proved, and the insurer loses its recourse',
    ...input('insurance.carrier-notice-days'),
  })
  put('notice', day('notice'), {
    label: 'Hidden damage reported in writing to insurer and mover',
    owner: 'household',
    slack: spare(day('notice'), day('delivered')),
    ifMissed: 'The insurer may refuse, or pay less',
    ...input('insurance.notice-days'),
  })
  if (plan.inputs.choices.get('cover')?.value !== 'none') {
    put('cover-end', day('cover-end'), {
      label: 'Transit cover stops at the latest',
      owner: 'household',
      slack: spare(day('cover-end'), day('delivered')),
      ifMissed: 'What happens after it is not insured; have it extended in writing before',
      ...input('insurance.cover-days-after-discharge'),
    })
  }
  for (const { row, due, label } of documentsDue(
    move.reference.customs,
    plan.sheet.customs.move,
    move.household.facts.as_of,
  )) {
    if (due === undefined || !row.id.endsWith('last-day')) continue
    put(`relief.${row.id}`, dayNumber(due), {
      label: `${label.charAt(0).toUpperCase()}${label.slice(1)}`,
      owner: 'household',
      slack: spare(dayNumber(due), declared),
      ifMissed: `Duty and tax as if nothing were freed: ${row.why}`,
      missCosts: value('duty.relief-saves'),
      rule: row.source,
      confirmed: row.confirmed,
    })
  }
  const bound = plan.sheet.customs.assessments
    .flatMap(({ routes, verdict }) => (verdict === 'refused' ? [] : routes))
    .filter(({ verdict }) => verdict !== 'refused')
    .flatMap(({ row }) => (typeof row.no_disposal === 'number' ? [{ row, months: row.no_disposal }] : []))
    .reduce<{ row: { source: string; confirmed: string }; months: number } | undefined>(
      (longest, next) => (longest && longest.months >= next.months ? longest : next),
      undefined,
    )
  const importOn = plan.inputs.choices.get('import-on')?.value
  if (bound && importOn) {
    put('no-disposal', dayNumber(periodEnd(importOn, bound.months, 'month')), {
      label: `End of the ${bound.months} months in which relieved goods may not be sold, lent or hired out`,
      owner: 'household',
      ifMissed: 'Duty and tax on what was sold, at the rates and value of that day',
      rule: bound.row.source,
      confirmed: bound.row.confirmed,
    })
  }
  return out.sort((a, b) => a.on - b.on)
}
