import { readMoveWith } from '../plan/index.js'
import type { Move } from '../plan/move.js'
import type { References } from '../plan/plan-context.js'
import { type CsvFile, readGrid } from '../tables/csv.js'
import { applied, csvSheet, setCell, valueIn } from '../tables/csv-edit.js'
import { HOUSEHOLD_FILES } from '../tables/household.js'
import { isUnlikely, type Problem, type Read } from '../tables/problem.js'
import type { Study } from './study-file.js'

/** A household's files, read as text, and the tables that hold for it. */
export interface HouseholdFiles {
  /** As the study names it. */
  readonly name: string
  readonly files: readonly CsvFile[]
  readonly reference: References
  readonly ofFolder: readonly Problem[]
}

/** One household between two countries, read and checked. */
export interface Case {
  readonly household: string
  readonly origin: string
  readonly destination: string
  readonly move: Move
}

/**
 * Every household between every pair of countries. A household is read again for each pair with the countries changed
 * in its own text, so that whatever hangs on a country is found as if it had been written so: wages, lane, currency,
 * customs. What the household states itself, such as a wage in rates.csv, stays as stated.
 *
 * @returns the cases, or what keeps a household from being planned between two countries
 */
export function casesOf(study: Study, households: readonly HouseholdFiles[]): Read<readonly Case[]> {
  const cases: Case[] = []
  const problems: Problem[] = []
  const { origin_country: origins, destination_country: destinations } = study.moves
  const asWritten = [undefined]
  for (const household of households) {
    for (const origin of origins.length > 0 ? origins : asWritten) {
      for (const destination of destinations.length > 0 ? destinations : asWritten) {
        const countries = [
          { fact: 'origin_country', of: origin },
          { fact: 'destination_country', of: destination },
        ].flatMap(({ fact, of }) => (of ? [{ fact, value: of.value }] : []))
        const files = withFacts(household.files, countries)
        const read = readMoveWith(household.reference, files, household.ofFolder)
        if (read.ok) {
          const { origin_country, destination_country } = read.value.household.facts
          cases.push({
            household: household.name,
            origin: origin_country,
            destination: destination_country,
            move: read.value,
          })
          continue
        }
        const where = countries.length > 0 ? ` (${countries.map(({ value }) => value).join(' to ')})` : ''
        for (const problem of read.problems.filter((p) => !isUnlikely(p)))
          problems.push({ ...problem, file: `${household.name}${where}: ${problem.file}` })
      }
    }
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: cases }
}

/** A household's files with some facts of household.csv changed in its text; a fact that is not there is added. */
function withFacts(
  files: readonly CsvFile[],
  facts: readonly { readonly fact: string; readonly value: string }[],
): readonly CsvFile[] {
  return files.map((csv) => {
    // A torn file stays as it is: reading it says what is wrong.
    if (!csv.file.endsWith(HOUSEHOLD_FILES.household) || !readGrid(csv).ok) return csv
    const text = facts.reduce((now, { fact, value }) => {
      const sheet = csvSheet(now)
      const row = sheet?.rows.find((r) => valueIn(sheet, r, 'fact').toLowerCase() === fact)
      return sheet && row ? applied(now, setCell(sheet, row, 'value', value)) : now
    }, csv.text)
    return { ...csv, text }
  })
}
