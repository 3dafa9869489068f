import type { IsoDate } from '../tables/fields.js'
import { daysBetween } from './calendar.js'
import { authorityOf } from './charges/importer.js'
import type { DutyMove } from './move.js'
import { documentsDue } from './papers/documents.js'
import { restrictions } from './papers/restrictions.js'
import { jurisdictionOf, reliefRows } from './relief/assess.js'
import { type CustomsTables, holdsOn } from './tables.js'

/** A row of a customs table that a move rests on, and how much it can be trusted. */
export interface ReliedRow {
  readonly table: string
  readonly row: string
  readonly label: string
  readonly confirmed: string
  /** The last day somebody looked; undefined where nobody did. */
  readonly lookedOn: IsoDate | undefined
  /** Days since then on the day asked about. */
  readonly daysOld: number | undefined
  readonly source: string
  /** Whom to ask. */
  readonly ask: string
}

interface Sourced {
  readonly confirmed: string
  readonly still_true_on?: IsoDate | undefined
  readonly source: string
}

const TRUST = ['from memory', 'common practice', 'secondary', 'looked up']

/**
 * The rows of the customs tables that a move relies on, the shakiest first: from memory, then common practice, then
 * secondary, then looked up; within a mark the oldest first.
 *
 * @param on the day from which age is counted
 */
export function reliedOn(tables: CustomsTables, move: DutyMove, on: IsoDate): ReliedRow[] {
  const jurisdiction = jurisdictionOf(tables, move.destination)
  const ask = authorityOf(tables, move.destination)
  const rows: ReliedRow[] = []
  const add = (table: string, row: string, label: string, from: Sourced, whom = ask) => {
    if (rows.some((each) => each.table === table && each.row === row)) return
    const lookedOn = from.still_true_on
    rows.push({
      table,
      row,
      label,
      confirmed: from.confirmed,
      lookedOn,
      // A plan may be dated before the last look.
      daysOld: lookedOn === undefined ? undefined : Math.max(0, daysBetween(lookedOn, on)),
      source: from.source,
      ask: whom,
    })
  }
  const id = jurisdiction?.id ?? ''
  const kinds = new Set(move.lines.map((line) => line.kind))
  const classes = new Set(move.lines.map((line) => line.class))
  for (const person of move.people) {
    for (const row of reliefRows(tables, jurisdiction?.id, person, move.importOn)) {
      if (row.kinds.some((kind) => kinds.has(kind))) add('relief.csv', row.id, row.label, row)
    }
  }
  const holds = <R extends { from?: string | undefined; until?: string | undefined }>(list?: readonly R[]) =>
    (list ?? []).filter((row) => holdsOn(row, move.importOn))
  for (const row of holds(tables.valueBase.get(id)))
    add('value-base.csv', id, 'customs value and tax base', row)
  for (const row of holds(tables.importTax.get(move.destination)))
    add('import-tax.csv', row.country, row.label, row)
  for (const name of classes) {
    const group = tables.classes.get(name)?.group ?? ''
    const row = [name, group, 'any'].flatMap((each) => holds(tables.dutyRates.get(`${id} ${each}`)))[0]
    if (row) add('duty-rates.csv', `${id} ${row.class}`, `duty on ${row.class}`, row)
  }
  for (const row of holds(tables.fees.get(id))) add('fees.csv', row.id, row.label, row)
  for (const row of holds(tables.surcharges.get(id))) add('surcharges.csv', row.id, row.label, row)
  for (const row of tables.vehicleCharges) {
    const meant = row.country === move.destination || row.country === 'any'
    if (meant && row.kinds.some((kind) => kinds.has(kind)))
      add('vehicle-charges.csv', row.id, row.label, row, row.ask)
  }
  for (const { rule, where } of restrictions(tables, move))
    add(
      'goods-rules.csv',
      rule.id,
      rule.reason,
      rule,
      where === 'origin' ? authorityOf(tables, move.origin) : ask,
    )
  for (const { row, side } of documentsDue(tables, move, on))
    add('documents.csv', row.id, row.label, row, side === 'origin' ? authorityOf(tables, move.origin) : ask)
  return rows.toSorted(
    (a, b) => TRUST.indexOf(a.confirmed) - TRUST.indexOf(b.confirmed) || (b.daysOld ?? 0) - (a.daysOld ?? 0),
  )
}
