import type { IsoDate } from '../../tables/fields.js'
import { addMonths, daysBetween, periodEnd, reachedOn } from '../calendar.js'
import type { Jurisdiction } from '../columns.js'
import type { DutyMove, DutyPerson } from '../move.js'
import type { Anchor, ReliefRow, Span } from './columns.js'
import { asked, type Outcome, type Test } from './verdict.js'

/** The day an anchor of a rule stands for; undefined where the household does not say. */
export function anchorDay(
  anchor: Anchor,
  move: DutyMove,
  person: DutyPerson,
  importOn: IsoDate,
): IsoDate | undefined {
  switch (anchor) {
    case 'abroad':
      return person.abroad_since
    case 'leave':
      return person.leaves_on
    case 'ship':
      return [move.loadOn, person.leaves_on].toSorted()[0]
    case 'arrive':
      return person.arrives_on
    case 'first-arrival':
      return person.first_arrival_on ?? person.arrives_on
    case 'import':
      return importOn
    case 'wedding':
      return person.married_on
    case 'inheritance':
      return person.inherited_on
  }
}

/** The grounds on which a person may ask for relief: the main one first. */
export const groundsOf = (person: DutyPerson) => [person.status, ...(person.also ?? [])]

/** The tests of a rule that look at the person alone, in the order a customs officer asks. */
export function personTests(
  row: ReliefRow,
  jurisdiction: Jurisdiction | undefined,
  move: DutyMove,
  person: DutyPerson,
): Test[] {
  if (row.effect === 'none') return [{ test: 'covered', outcome: 'fail', because: row.refusal ?? '' }]
  const tests: Test[] = []
  if (row.national !== undefined) {
    const outcome: Outcome =
      person.nationality === undefined
        ? 'unknown'
        : (jurisdiction?.countries.includes(person.nationality) ?? false) === (row.national === 'yes')
          ? 'pass'
          : 'fail'
    tests.push({
      test: 'nationality',
      outcome,
      because: row.national === 'yes' ? 'nationals only' : 'not for nationals',
    })
  }
  if (row.adult_only) tests.push({ test: 'adult', outcome: person.adult ? 'pass' : 'fail' })
  if (row.first_time) {
    const before = person.lived_there_before
    tests.push({ test: 'first-time', outcome: before === undefined ? 'assumed' : before ? 'fail' : 'pass' })
  }
  tests.push(...earlierRelief(row, move, person))
  if (typeof row.permit_months === 'object' && person.status !== 'returning') {
    tests.push({
      test: 'permit',
      outcome: lasts(person.permit_months, row.permit_months),
      ...asked(row.permit_months),
    })
  } else if (row.permit_months === 'unknown') tests.push({ test: 'permit', outcome: 'unknown' })
  if (person.tiesOnBothSides) {
    tests.push({ test: 'residence', outcome: row.waivable.includes('residence') ? 'waivable' : 'unknown' })
  }
  tests.push(...abroadOrStay(row, move, person))
  if (row.on_application)
    tests.push({ test: 'application', outcome: 'assumed', because: row.discretion ?? '' })
  if (row.effect === 'temporary') tests.push({ test: 'leaves-again', outcome: 'assumed' })
  tests.push(...ceilingTests(row, jurisdiction))
  return tests
}

/** A ceiling that is not known, or stated in money other than that of the charges, leaves the relief open. */
function ceilingTests(row: ReliefRow, jurisdiction: Jurisdiction | undefined): Test[] {
  if (row.ceiling === 'unknown') return [{ test: 'ceiling', outcome: 'unknown' }]
  const { ceiling_currency: currency, ceiling_amount: amount } = row
  if (currency === undefined || jurisdiction === undefined || currency === jurisdiction.currency) return []
  const because = `of ${amount} ${currency}, and what it is in ${jurisdiction.currency} the authority fixes`
  return [{ test: 'ceiling', outcome: 'unknown', because }]
}

/** Is a time the household states long enough? `no end` is. */
function lasts(months: number | 'no end' | undefined, { months: needed, over }: Span): Outcome {
  if (months === undefined) return 'unknown'
  if (months === 'no end') return 'pass'
  return (over ? months > needed : months >= needed) ? 'pass' : 'fail'
}

function earlierRelief(row: ReliefRow, move: DutyMove, person: DutyPerson): Test[] {
  if (typeof row.again_months !== 'number') return []
  const used = person.relief_used_on
  if (used === undefined) return [{ test: 'earlier-relief', outcome: 'assumed', needed: row.again_months }]
  const free = addMonths(used, row.again_months)
  const late = Math.max(0, daysBetween(move.importOn, free))
  return [
    {
      test: 'earlier-relief',
      outcome: late > 0 ? 'fail' : 'pass',
      needed: row.again_months,
      meetsOn: free,
      daysShort: late,
    },
  ]
}

/** Months lived abroad; where the law says so, a long planned stay serves as well. */
function abroadOrStay(row: ReliefRow, move: DutyMove, person: DutyPerson): Test[] {
  const abroad = abroadTests(row, move, person)
  if (typeof row.stay_months !== 'object' || abroad.every(({ outcome }) => outcome === 'pass')) return abroad
  const planned = person.permit_months
  const settles = person.status === 'settler' || person.status === 'returning' || person.status === 'marriage'
  const outcome = planned === undefined && settles ? 'assumed' : lasts(planned, row.stay_months)
  // A stay that is too short, or not told, leaves the months abroad to decide.
  if (outcome === 'fail') return abroad
  return [{ test: 'stay', outcome, ...asked(row.stay_months) }]
}

function abroadTests(row: ReliefRow, move: DutyMove, person: DutyPerson): Test[] {
  if (row.abroad_months === 'unknown') return [{ test: 'abroad', outcome: 'unknown' }]
  const anchor = row.abroad_to ?? 'leave'
  const to = anchorDay(anchor, move, person, move.importOn)
  if (to === undefined) return []
  const tests: Test[] = []
  if (typeof row.abroad_months === 'object') {
    const meetsOn = reachedOn(person.abroad_since, row.abroad_months)
    const daysShort = Math.max(0, daysBetween(to, meetsOn))
    const failed = row.waivable.includes('abroad') ? 'waivable' : 'fail'
    tests.push({
      test: 'abroad',
      outcome: daysShort === 0 ? 'pass' : failed,
      ...asked(row.abroad_months),
      from: person.abroad_since,
      to,
      anchor,
      meetsOn,
      daysShort,
    })
  }
  if (typeof row.abroad_under === 'number' && addMonths(person.abroad_since, row.abroad_under) <= to) {
    tests.push({
      test: 'abroad',
      outcome: 'fail',
      because: `this band ends at ${row.abroad_under} months abroad`,
      to,
    })
  }
  return tests
}

/** Whether the goods enter inside the window of a rule. */
export function windowTests(row: ReliefRow, move: DutyMove, person: DutyPerson, importOn: IsoDate): Test[] {
  if (row.after === 'unknown') return [{ test: 'window', outcome: 'unknown' }]
  if (row.window_from === undefined || row.window_from === 'import') return []
  const event = anchorDay(row.window_from, move, person, importOn)
  if (event === undefined) return [{ test: 'window', outcome: 'unknown', anchor: row.window_from }]
  const failed: Outcome = row.waivable.includes('window') ? 'waivable' : 'fail'
  const common = { test: 'window', anchor: row.window_from, from: event, to: importOn } as const
  if (importOn < event) {
    if (typeof row.before !== 'number') return []
    // Counted from the import: within so long of it the person must have settled.
    const settleBy = periodEnd(importOn, row.before, row.window_unit, row.roll)
    const daysShort = Math.max(0, daysBetween(settleBy, event))
    return [
      {
        ...common,
        outcome: daysShort === 0 ? 'pass' : failed,
        needed: row.before,
        daysShort,
        meetsOn: settleBy,
      },
    ]
  }
  if (typeof row.after !== 'number') return []
  const last = periodEnd(event, row.after, row.window_unit, row.roll)
  const daysShort = Math.max(0, daysBetween(last, importOn))
  return [
    { ...common, outcome: daysShort === 0 ? 'pass' : failed, needed: row.after, daysShort, meetsOn: last },
  ]
}
