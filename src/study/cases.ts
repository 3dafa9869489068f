import { OWN_CUSTOMS_FILE, withOwnRows } from '../customs/own-rows.js'
import { readMoveWith, readReferences } from '../plan/index.js'
import { type Move, scenariosOf } from '../plan/move.js'
import type { References } from '../plan/plan-context.js'
import { type CsvFile, readGrid } from '../tables/csv.js'
import { applied, csvSheet, setCell, valueIn } from '../tables/csv-edit.js'
import { HOUSEHOLD_FILES } from '../tables/household.js'
import { isUnlikely, type Problem, type Read } from '../tables/problem.js'
import type { Study } from './study-file.js'

/** The reference tables as text. */
export interface ReferenceFiles {
  readonly tables: readonly CsvFile[]
  readonly customs: readonly CsvFile[]
}

/** A household's files as text: plain data, which can be handed to another thread. */
export interface HouseholdTexts {
  /** As the study names it. */
  readonly name: string
  readonly files: readonly CsvFile[]
  readonly ofFolder: readonly Problem[]
}

/** A household's files, and the tables that hold for it. */
export interface HouseholdFiles extends HouseholdTexts {
  readonly reference: References
}

/** One household between two countries. Plain data. */
export interface Case {
  readonly household: string
  /** Where it moves from and to: as the study says, or as the household has it. */
  readonly origin: string
  readonly destination: string
  readonly currency: string
  /** The scenarios asked for, in the order of its file. */
  readonly scenarios: readonly string[]
}

/** Households with the reference tables, those with answers of an authority of their own with their own. */
export function householdsWith(
  households: readonly HouseholdTexts[],
  { tables, customs }: ReferenceFiles,
): Read<readonly HouseholdFiles[]> {
  const shared = readReferences(tables, customs)
  if (!shared.ok) return shared
  const all: HouseholdFiles[] = []
  for (const household of households) {
    const own = household.files.find(({ file }) => file === OWN_CUSTOMS_FILE)
    const rules = own && withOwnRows(customs, own)
    if (rules && !rules.ok) return rules
    const reference = rules ? readReferences(tables, rules.value) : shared
    if (!reference.ok) return reference
    all.push({ ...household, reference: reference.value })
  }
  return { ok: true, value: all }
}

/**
 * Reads a household between two countries. It is read again for each pair with the countries changed in its own text,
 * so that whatever hangs on a country is found as if it had been written so: wages, lane, currency, customs. What the
 * household states itself, such as a wage in rates.csv, stays as stated.
 *
 * @param origin a country's code; the household's own if left out
 */
export function moveBetween(household: HouseholdFiles, origin?: string, destination?: string): Read<Move> {
  const facts = [
    { fact: 'origin_country', value: origin },
    { fact: 'destination_country', value: destination },
  ].flatMap(({ fact, value }) => (value === undefined ? [] : [{ fact, value }]))
  const read = readMoveWith(household.reference, withFacts(household.files, facts), household.ofFolder)
  if (read.ok) return read
  const where = facts.length > 0 ? ` (${facts.map(({ value }) => value).join(' to ')})` : ''
  const problems = read.problems
    .filter((p) => !isUnlikely(p))
    .map((problem) => ({ ...problem, file: `${household.name}${where}: ${problem.file}` }))
  return { ok: false, problems }
}

/**
 * Every household between every pair of countries, looked through one after the other, so that only one of them is in
 * memory at a time.
 *
 * @param look what is wrong with the study in one of them
 * @returns the cases, or what keeps a household from being planned between two countries
 */
export function casesOf(
  study: Study,
  households: readonly HouseholdFiles[],
  look: (move: Move, household: string) => readonly Problem[],
): Read<readonly Case[]> {
  const { origin_country: origins, destination_country: destinations, scenario: wanted } = study.moves
  const pairs = asked(origins).flatMap((origin) =>
    asked(destinations).map((destination) => ({ origin, destination })),
  )
  const cases: Case[] = []
  const problems: Problem[] = []
  for (const household of households) {
    for (const { origin, destination } of pairs) {
      const read = moveBetween(household, origin, destination)
      const wrong = read.ok ? look(read.value, household.name) : read.problems
      problems.push(...wrong)
      if (!read.ok || wrong.length > 0) continue
      const { facts } = read.value.household
      cases.push({
        household: household.name,
        origin: facts.origin_country,
        destination: facts.destination_country,
        currency: facts.currency,
        scenarios: scenariosOf(read.value)
          .map(({ name }) => name)
          .filter((name) => wanted.length === 0 || wanted.some(({ value }) => value === name)),
      })
    }
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: cases }
}

const asked = (countries: readonly { readonly value: string }[]): readonly (string | undefined)[] =>
  countries.length > 0 ? countries.map(({ value }) => value) : [undefined]

/** A household's files with some facts of household.csv changed in its text. */
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
