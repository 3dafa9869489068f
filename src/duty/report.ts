import type { IsoDate } from '../tables/fields.js'
import { CUSTOMS_CAUTION, PROOF_CAUTION, RESTRICTED_CAUTION, VEHICLE_CAUTION } from './caution.js'
import type { Undetermined } from './charge.js'
import { documentsDue } from './documents.js'
import type { DutyLine, DutyMove } from './move.js'
import { insideOneTerritory, jurisdictionOf, type LineAssessment, type Verdict } from './relief.js'
import { restrictions } from './restrictions.js'
import { notDetermined, reasons } from './sentences.js'
import type { CustomsTables } from './tables.js'

/** What was found for a move with one importer; the findings of a plan fit. */
export interface CustomsFound {
  readonly move: DutyMove
  readonly importer: string
  readonly assessments: readonly LineAssessment[]
  readonly undetermined: readonly Undetermined[]
}

/** Customs told in words and plain data, for a brief: no amounts, which are cells of the plan. */
export interface CustomsReport {
  readonly summary: string
  readonly verdicts: readonly {
    readonly what: string
    readonly verdict: string
    readonly reason: string
    readonly source: string
  }[]
  readonly dutiable: readonly {
    readonly line: string
    readonly item: string
    readonly reason: string
    readonly cells: { readonly value?: string; readonly duty?: string; readonly tax?: string }
  }[]
  readonly documents: readonly { readonly name: string; readonly note: string }[]
  readonly deadlines: readonly { readonly what: string; readonly on: IsoDate; readonly note: string }[]
  readonly restricted: readonly { readonly item: string; readonly why: string; readonly todo: string }[]
  readonly notDetermined: readonly string[]
  readonly cautions: readonly string[]
}

/**
 * The customs step in words: verdicts gathered by rule, what is charged and why, papers, deadlines, restricted
 * goods, what could not be determined and whom to ask, and the cautions.
 *
 * @param on the day of the brief: deadlines before it are told as missed
 * @param carried lines that travel with the people, which rules on goods bind too
 * @param cellsOf ids of the plan's cells for a line, where it has them
 */
export function customsReport(
  tables: CustomsTables,
  found: CustomsFound,
  on: IsoDate,
  carried: readonly DutyLine[] = [],
  cellsOf: (line: string) => CustomsReport['dutiable'][number]['cells'] = () => ({}),
): CustomsReport {
  const { move, assessments, importer } = found
  const jurisdiction = jurisdictionOf(tables, move.destination)
  const authority = jurisdiction?.authority ?? `the customs authority of ${move.destination}`
  const inside = insideOneTerritory(tables, move)
  const due = inside ? [] : documentsDue(tables, move, on)
  const hits = restrictions(tables, move, [...move.lines, ...carried])
  const open = assessments.filter(({ verdict }) => verdict !== 'qualifies')
  return {
    summary: summaryOf(found, jurisdiction?.label ?? move.destination, authority, inside),
    verdicts: byRule(assessments),
    dutiable: open.map((one) => ({
      line: one.line.id,
      item: one.line.label,
      reason: reasonOf(one),
      cells: cellsOf(one.line.id),
    })),
    documents: due.map(({ label, form, why }) => ({ name: form ? `${label} (${form})` : label, note: why })),
    deadlines: due.flatMap(({ label, due: day, daysLeft, why }) =>
      day === undefined ? [] : [{ what: label, on: day, note: (daysLeft ?? 0) < 0 ? `missed: ${why}` : why }],
    ),
    restricted: hits.map(({ label, rule, where, jurisdiction: place, matched }) => ({
      item: label,
      why: `${rule.kind} at ${where}, ${place}: ${rule.reason} (matched: ${matched}; ${rule.source}, ${rule.confirmed})`,
      todo: rule.what_to_do,
    })),
    notDetermined: [
      ...new Set([
        ...found.undetermined.map(({ what, why }) => `${what}: ${why}`),
        ...assessments.flatMap(({ by }) => (by.duty ? notDetermined(by.duty) : [])),
      ]),
    ],
    cautions: [
      ...(importer === '' ? [] : [`The entry is taken to be made by ${importer}.`]),
      ...(jurisdiction?.caveats ? [jurisdiction.caveats] : []),
      CUSTOMS_CAUTION,
      PROOF_CAUTION,
      RESTRICTED_CAUTION,
      ...(move.lines.some((line) => line.kind !== 'goods') ? [VEHICLE_CAUTION] : []),
    ],
  }
}

const count = (n: number) => (n === 1 ? '1 line' : `${n} lines`)

function summaryOf(found: CustomsFound, place: string, authority: string, inside: boolean): string {
  if (inside) return `A move inside the customs territory of ${place}: there is no import.`
  const of = (verdict: Verdict) => found.assessments.filter((one) => one.verdict === verdict).length
  const parts: [number, string][] = [
    [of('qualifies'), 'should be free'],
    [of('discretionary'), 'may be freed by the authority'],
    [of('unknown'), 'cannot be decided from these tables'],
    [of('refused'), 'would be charged'],
  ]
  const told = parts.flatMap(([n, what]) => (n > 0 ? [`${count(n)} ${what}`] : []))
  return `${place}, imported by ${found.importer}: ${told.join(', ') || 'nothing is shipped'}. Ask ${authority}.`
}

function reasonOf(one: LineAssessment): string {
  const worst = one.levies.duty === one.verdict ? one.by.duty : one.by.tax
  const route = worst ?? one.routes[0]
  if (route === undefined) return 'The tables hold no rule for this person there.'
  const why = reasons(route)
  return why.length > 0 ? why.join(' ') : 'Every test is met.'
}

/** Lines that one rule decides alike, gathered: a hundred lines make a few rows. */
function byRule(assessments: readonly LineAssessment[]): CustomsReport['verdicts'] {
  const groups = new Map<string, { verdict: Verdict; lines: LineAssessment[] }>()
  for (const one of assessments) {
    const key = `${one.by.duty?.row.id} ${one.by.tax?.row.id} ${one.verdict}`
    const group = groups.get(key)
    if (group) group.lines.push(one)
    else groups.set(key, { verdict: one.verdict, lines: [one] })
  }
  return [...groups.values()].map(({ verdict, lines }) => {
    const [first] = lines
    const rows = [...new Set([first?.by.duty?.row, first?.by.tax?.row].flatMap((row) => row ?? []))]
    const shared = [...new Set(lines.map(reasonOf))]
    return {
      what: lines.length === 1 ? (first?.line.label ?? '') : count(lines.length),
      verdict,
      reason: `${rows.map((row) => row.label).join('; ') || 'no rule'}: ${shared.length === 1 ? shared[0] : 'see each line below.'}`,
      source: rows
        .map((row) => `${row.source} (${row.confirmed}${row.still_true_on ? `, ${row.still_true_on}` : ''})`)
        .join('; '),
    }
  })
}
