import { periodEnd } from '../customs/calendar.js'
import type { Move, Plan } from '../plan/move.js'
import { dayNumber, isoDay } from '../time/day-number.js'

/** By when somebody has to be told in writing, and by when an action has to be brought. ISO dates. */
export interface NoticeDue {
  readonly id: string
  readonly label: string
  readonly against: string
  readonly apparent: string
  readonly hidden: string
  readonly suit: string | undefined
  readonly ifMissed: string
  readonly source: string
  readonly confirmed: string
}

/**
 * The notices that conventions, law and the policy ask for, counted from the day of delivery, which itself is not
 * counted. Which of them rules depends on the contract and the country: keep the earliest.
 *
 * @param delivered ISO date
 */
export function noticesDue(move: Move, plan: Plan, delivered: string): NoticeDue[] {
  const after = (days: number): string => isoDay(dayNumber(delivered) + days)
  const policy = plan.inputs.numbers.get('insurance.notice-days')
  const rules = move.reference.claimNotice.map(
    (row): NoticeDue => ({
      id: row.id,
      label: row.label,
      against: row.against,
      apparent: after(row.apparent_days.toNumber()),
      hidden: after(row.hidden_days.toNumber()),
      suit: periodEnd(delivered, row.suit_months.toNumber(), 'month'),
      ifMissed: row.if_missed,
      source: row.source,
      confirmed: row.confirmed,
    }),
  )
  if (!policy || plan.inputs.choices.get('cover')?.value === 'none') return rules
  const insurer: NoticeDue = {
    id: 'policy',
    label: 'Transit cover, by its conditions',
    against: 'insurer',
    apparent: after(policy.likely.toNumber()),
    hidden: after(policy.likely.toNumber()),
    suit: undefined,
    ifMissed: 'The insurer may refuse, or pay less; read the certificate',
    source: policy.source,
    confirmed: policy.confirmed,
  }
  return [insurer, ...rules]
}

/** What goes with a claim, as insurers commonly ask for it (common practice, no source). */
export const DOCUMENTS: readonly string[] = [
  'certificate of insurance or policy',
  'valued inventory as handed to the insurer before the voyage',
  'packing list with carton numbers, and the condition list of both ends, signed',
  'bill of lading or sea waybill, and the delivery note with the reservations on it',
  'photographs of the carton, the packing and the thing, before anything is thrown away',
  'written offers for repair, or prices of the like at the destination',
  'notices to carrier and mover, with their answers: the insurer takes your rights against them over',
  'a surveyor’s report where the insurer asks for one; keep everything until it has been seen',
]
