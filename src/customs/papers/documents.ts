import type { IsoDate } from '../../tables/fields.js'
import { addDays, addMonths, daysBetween } from '../calendar.js'
import type { DutyLine, DutyMove } from '../move.js'
import type { CustomsTables } from '../tables.js'
import type { DocumentRow } from './columns.js'

/** A paper to have in hand, and by when. */
export interface DocumentDue {
  readonly row: DocumentRow
  readonly side: 'origin' | 'destination'
  readonly label: string
  readonly form: string | undefined
  readonly why: string
  /** Undefined where the sources give no day. */
  readonly due: IsoDate | undefined
  /** Days left on the day asked about; negative is too late. */
  readonly daysLeft: number | undefined
}

/**
 * The papers for both ends of a move with their deadlines, earliest first; those without a day come last.
 *
 * @param on the day from which days left are counted
 */
export function documentsDue(tables: CustomsTables, move: DutyMove, on: IsoDate): DocumentDue[] {
  const at = (country: string) => tables.jurisdictionOfCountry.get(country)?.id ?? ''
  const statuses = move.people.map((person) => person.status)
  const kinds = new Set(move.lines.map((line) => line.kind))
  const rows = [
    ...(tables.documents.get(at(move.destination)) ?? []).filter((row) => row.side === 'destination'),
    ...(tables.documents.get(at(move.origin)) ?? []).filter((row) => row.side === 'origin'),
    ...(tables.documents.get('any') ?? []),
  ]
  return rows
    .filter((row) => row.kinds.length === 0 || row.kinds.some((kind) => kinds.has(kind)))
    .filter((row) => row.goods.length === 0 || move.lines.some((line) => isOfAny(tables, line, row.goods)))
    .filter((row) => row.statuses.length === 0 || row.statuses.some((status) => statuses.includes(status)))
    .map((row) => {
      const due = dueOn(row, move)
      return {
        row,
        side: row.side,
        label: row.label,
        form: row.form,
        why: row.why,
        due,
        daysLeft: due === undefined ? undefined : daysBetween(on, due),
      }
    })
    .toSorted((a, b) =>
      (a.due ?? '9999') < (b.due ?? '9999') ? -1 : (a.due ?? '9999') > (b.due ?? '9999') ? 1 : 0,
    )
}

function isOfAny(tables: CustomsTables, line: DutyLine, goods: readonly string[]): boolean {
  const group = tables.classes.get(line.class)?.group
  return goods.some((name) => name === line.class || name === group || line.materials?.includes(name))
}

function dueOn(row: DocumentRow, move: DutyMove): IsoDate | undefined {
  const event = row.anchor && eventDay(row.anchor, move)
  if (event === undefined) return undefined
  const months = addMonths(event, row.offset_months?.toNumber() ?? 0)
  return addDays(months, row.offset_days?.toNumber() ?? 0)
}

function eventDay(anchor: NonNullable<DocumentRow['anchor']>, move: DutyMove): IsoDate | undefined {
  // With several people the first of them sets the clock.
  const first = (days: readonly (IsoDate | undefined)[]) => days.flatMap((day) => day ?? []).toSorted()[0]
  switch (anchor) {
    case 'load':
      return move.loadOn
    case 'import':
      return move.importOn
    case 'leave':
      return first(move.people.map((person) => person.leaves_on))
    case 'arrive':
      return first(move.people.map((person) => person.arrives_on))
    case 'first-arrival':
      return first(move.people.map((person) => person.first_arrival_on ?? person.arrives_on))
  }
}
