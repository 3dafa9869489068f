import type { Jurisdiction } from '../columns.js'
import type { DutyMove } from '../move.js'
import type { CustomsTables } from '../tables.js'
import { insideOneTerritory, verdictsIn } from './assess.js'
import type { Verdict } from './verdict.js'

/** How one household fares in one jurisdiction with one person as the importer. */
export interface ReliefCell {
  readonly jurisdiction: string
  readonly label: string
  readonly person: string
  readonly status: string
  readonly lines: Readonly<Record<Verdict, number>>
  /** Shares of all lines and of the stated value that qualify; 0 to 1. */
  readonly shareOfLines: number
  readonly shareOfValue: number
  /** The verdict of most of the value. */
  readonly verdict: Verdict
  readonly authority: string
}

/**
 * Relief at a glance: the household as it stands, in every jurisdiction of the tables, for each person as importer.
 * Ceilings of value are not part of it: a line under a ceiling counts as qualifying.
 */
export function reliefMatrix(tables: CustomsTables, move: DutyMove): ReliefCell[] {
  const values = move.lines.map((line) => line.value?.toNumber() ?? 0)
  return [...tables.jurisdictions.values()].flatMap((jurisdiction) => {
    const country = jurisdiction.countries.includes(move.destination)
      ? move.destination
      : jurisdiction.countries[0]
    const there = { ...move, destination: country ?? '' }
    return move.people.map((person) => {
      const verdicts = insideOneTerritory(tables, there)
        ? undefined
        : verdictsIn(tables, jurisdiction, there, person)
      return cell(jurisdiction, person.person, person.status, verdicts, values)
    })
  })
}

function cell(
  jurisdiction: Jurisdiction,
  person: string,
  status: string,
  verdicts: readonly Verdict[] | undefined,
  values: readonly number[],
): ReliefCell {
  const lines: Record<Verdict, number> = { qualifies: 0, discretionary: 0, unknown: 0, refused: 0 }
  const worth: Record<Verdict, number> = { qualifies: 0, discretionary: 0, unknown: 0, refused: 0 }
  values.forEach((value, i) => {
    const verdict = verdicts ? (verdicts[i] ?? 'unknown') : 'qualifies'
    lines[verdict] += 1
    worth[verdict] += value
  })
  const value = values.reduce((sum, each) => sum + each, 0)
  const kinds: Verdict[] = ['qualifies', 'discretionary', 'unknown', 'refused']
  const weight = value > 0 ? worth : lines
  return {
    jurisdiction: jurisdiction.id,
    label: jurisdiction.label,
    person,
    status,
    lines,
    shareOfLines: values.length > 0 ? lines.qualifies / values.length : 0,
    shareOfValue: value > 0 ? worth.qualifies / value : 0,
    verdict: kinds.reduce((most, next) => (weight[next] > weight[most] ? next : most)),
    authority: jurisdiction.authority,
  }
}
