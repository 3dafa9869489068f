import type { Decimal } from 'decimal.js'
import { exact } from '../../quantity/index.js'
import type { IsoDate } from '../../tables/fields.js'
import { addDays, daysBetween } from '../calendar.js'
import type { DutyMove } from '../move.js'
import { type VehicleDeadline, vehicleDeadlines } from '../papers/restrictions.js'
import { insideOneTerritory } from '../relief/assess.js'
import type { CustomsTables } from '../tables.js'
import type { Counting } from './charge-lines.js'
import { type CarriageAmounts, type CustomsOutcome, customsOutcome } from './importer.js'

/** One thing to change, and what it saves in charges, in the currency of the charges. */
export interface Change {
  readonly kind: 'import-on' | 'move-on' | 'leave-behind'
  /** The new day of import or of leaving. */
  readonly on?: IsoDate
  /** Days later than planned; negative is earlier. */
  readonly days?: number
  readonly lines?: readonly string[]
  readonly before: Decimal
  readonly after: Decimal
  readonly saves: Decimal
  /** What each day of waiting saves on average. */
  readonly perDay?: Decimal
  readonly sentence: string
}

/** What would bring the charges down, and whether anything brings them to nil. */
export interface WhatIf {
  readonly total: Decimal
  /** The earliest day of import at which nothing is charged; undefined where no day in reach does it. */
  readonly nilOn: IsoDate | undefined
  /** Lines to leave behind so that nothing is charged. */
  readonly nilWithout: readonly string[]
  readonly changes: readonly Change[]
  /** Days on which a vehicle becomes too old for a rule, or old enough. */
  readonly deadlines: readonly VehicleDeadline[]
}

const MAX_DAYS = 24 * 31

/** So many lines are looked at one by one, the dearest first: a list of what to leave is read, not scrolled. */
const LINES_ONE_BY_ONE = 40

/**
 * What would change the charges: importing on another day, moving everything by some days, leaving lines behind.
 *
 * Only days on which some test turns are tried (the day a time of ownership is reached, the last day of a window),
 * up to two years ahead, so the earliest day found is the earliest there is. Of the charged lines the forty dearest
 * are looked at one by one, and all of them together.
 *
 * @returns changes that save something, the greatest saving first
 */
export function whatWouldChange(
  tables: CustomsTables,
  move: DutyMove,
  carriage: CarriageAmounts,
  counting: Counting = 'excluded',
): WhatIf {
  const now = customsOutcome(tables, move, carriage, counting)
  const total = totalOf(now)
  const none = exact.of(0)
  const deadlines = vehicleDeadlines(tables, move)
  if (insideOneTerritory(tables, move)) {
    return { total: none, nilOn: move.importOn, nilWithout: [], changes: [], deadlines: [] }
  }
  if (total === undefined || total.isZero()) {
    return {
      total: total ?? none,
      nilOn: isNil(now) ? move.importOn : undefined,
      nilWithout: [],
      changes: [],
      deadlines,
    }
  }
  // Rates stay those of the planned day: a change of law is not a saving.
  const outcomeOf = (changed: DutyMove) => customsOutcome(tables, changed, carriage, counting, move.importOn)
  const retry = (changed: DutyMove) => totalOf(outcomeOf(changed))
  const changes: Change[] = []
  let nilOn: IsoDate | undefined
  for (const on of turningDays(now, move, 'import')) {
    const then = outcomeOf({ ...move, importOn: on })
    const after = totalOf(then)
    if (after === undefined || after.gte(total)) continue
    const days = daysBetween(move.importOn, on)
    if (isNil(then) && (nilOn === undefined || on < nilOn)) nilOn = on
    changes.push(
      change('import-on', total, after, {
        on,
        days,
        sentence: `Import on ${on}, ${later(days)}: saves ${total.minus(after).toFixed(2)}.`,
      }),
    )
  }
  for (const days of new Set(
    turningDays(now, move, 'leave').map((on) => daysBetween(earliestLeaving(move), on)),
  )) {
    if (days <= 0) continue
    const after = retry(postponed(move, days))
    if (after === undefined || after.gte(total)) continue
    const on = addDays(earliestLeaving(move), days)
    changes.push(
      change('move-on', total, after, {
        on,
        days,
        sentence: `Leave on ${on} and move everything by ${days === 1 ? 'a day' : `${days} days`}: saves ${total.minus(after).toFixed(2)}.`,
      }),
    )
  }
  const charged = chargedLines(now)
  for (const id of charged.slice(0, LINES_ONE_BY_ONE)) {
    const after = retry(without(move, [id]))
    if (after === undefined || after.gte(total)) continue
    const label = move.lines.find((line) => line.id === id)?.label ?? id
    changes.push(
      change('leave-behind', total, after, {
        lines: [id],
        sentence: `Leave ${label} (${id}) behind: saves ${total.minus(after).toFixed(2)}.`,
      }),
    )
  }
  const afterAll = charged.length > 1 ? retry(without(move, charged)) : undefined
  if (afterAll?.lt(total)) {
    changes.push(
      change('leave-behind', total, afterAll, {
        lines: charged,
        sentence: `Leave all ${charged.length} charged lines behind: saves ${total.minus(afterAll).toFixed(2)}.`,
      }),
    )
  }
  const nilWithout = isNil(outcomeOf(without(move, charged))) ? charged : []
  return {
    total,
    nilOn,
    nilWithout,
    changes: changes.toSorted((a, b) => b.saves.comparedTo(a.saves)),
    deadlines,
  }
}

/** What a way of importing may come to: open lines count as charged, so that not knowing is no saving. */
const totalOf = ({ best: { charges } }: CustomsOutcome): Decimal | undefined =>
  charges && (charges.ifRefused ?? charges.total)

/** Nothing to pay, and nothing open that might be. */
const isNil = ({ best }: CustomsOutcome): boolean =>
  best.undetermined.length === 0 && (best.charges?.total.isZero() ?? false)

const later = (days: number) => (days < 0 ? `${-days} days earlier` : `${days} days later`)

function change(
  kind: Change['kind'],
  before: Decimal,
  after: Decimal,
  more: Partial<Change> & { sentence: string },
): Change {
  const saves = before.minus(after)
  const perDay = more.days && more.days > 0 ? { perDay: saves.div(more.days) } : {}
  return { kind, before, after, saves, ...perDay, ...more }
}

/** Lines that bear a charge, the dearest first; then those whose charge is not determined. */
export function chargedLines(outcome: CustomsOutcome): string[] {
  const { charges, undetermined } = outcome.best
  if (charges === undefined) return []
  const dear = charges.perLine
    .map((line) => ({ id: line.id, charge: line.duty.plus(line.tax).plus(line.excise) }))
    .filter(({ charge }) => charge.gt(0))
    .toSorted((a, b) => b.charge.comparedTo(a.charge))
    .map(({ id }) => id)
  return [...new Set([...dear, ...undetermined.flatMap(({ lines }) => lines)])]
}

/** The days on which a failed test of any person would turn, by what the test counts to. */
function turningDays(outcome: CustomsOutcome, move: DutyMove, by: 'import' | 'leave'): IsoDate[] {
  const days = new Set<IsoDate>()
  for (const { assessments } of outcome.options) {
    for (const { routes } of assessments) {
      for (const { tests } of routes) {
        for (const { test, outcome, meetsOn, anchor } of tests) {
          if (outcome === 'pass' || meetsOn === undefined) continue
          if (Math.abs(daysBetween(move.importOn, meetsOn)) > MAX_DAYS) continue
          const turnsByImport =
            test === 'window' || test === 'vehicle-age' || anchor === 'import' || test === 'earlier-relief'
          if (by === 'import' ? turnsByImport : !turnsByImport) days.add(meetsOn)
        }
      }
    }
  }
  // Goods cannot be imported before they are loaded.
  return [...days].filter((day) => by === 'leave' || day >= move.loadOn).toSorted()
}

const earliestLeaving = (move: DutyMove): IsoDate =>
  move.people.map((person) => person.leaves_on).toSorted()[0] ?? move.loadOn

function postponed(move: DutyMove, days: number): DutyMove {
  return {
    ...move,
    loadOn: addDays(move.loadOn, days),
    importOn: addDays(move.importOn, days),
    people: move.people.map((person) => ({
      ...person,
      leaves_on: addDays(person.leaves_on, days),
      arrives_on: addDays(person.arrives_on, days),
      ...(person.first_arrival_on && { first_arrival_on: addDays(person.first_arrival_on, days) }),
    })),
    lines: move.lines.map((line) =>
      line.importOn ? { ...line, importOn: addDays(line.importOn, days) } : line,
    ),
  }
}

/** The move without some of its lines. */
export const without = (move: DutyMove, ids: readonly string[]): DutyMove => ({
  ...move,
  lines: move.lines.filter((line) => !ids.includes(line.id)),
})
