import type { z } from 'zod'
import { type CsvFile, cellKey, type Place, type Row, readRows } from './csv.js'
import { disagreements, type Ground } from './household/agreement.js'
import { confirmedColumns, withoutConfirmed } from './household/confirmed.js'
import { readFacts } from './household/facts.js'
import { filledFromItems } from './household/item-defaults.js'
import { questions } from './household/questions.js'
import { readScenarios, type Scenario } from './household/scenarios.js'
import {
  consignmentColumns,
  exchangeColumns,
  type HouseholdFacts,
  type InventoryLine,
  inventoryColumns,
  personColumns,
  quoteColumns,
  rateColumns,
  serviceColumns,
  vehicleColumns,
} from './household-columns.js'
import { inOrder, isUnlikely, type Problem, type Read } from './problem.js'
import { missingFile, type Reference } from './reference.js'

export { quotedServices } from './household/agreement.js'
export type { Scenario } from './household/scenarios.js'

/** Everything a household's folder says, read and cross-checked. */
export interface Household {
  readonly facts: HouseholdFacts
  /** How messages name household.csv, and the line each of its facts stands in. */
  readonly factsFile: string
  readonly factLines: ReadonlyMap<string, number>
  readonly people: readonly Row<typeof personColumns>[]
  readonly inventory: readonly (InventoryLine & { readonly place: Place })[]
  readonly vehicles: readonly Row<typeof vehicleColumns>[]
  readonly services: readonly Row<typeof serviceColumns>[]
  readonly rates: readonly Row<typeof rateColumns>[]
  readonly exchange: readonly Row<typeof exchangeColumns>[]
  readonly scenarios: readonly Scenario[]
  readonly quotes: readonly Row<typeof quoteColumns>[]
  readonly consignments: readonly Row<typeof consignmentColumns>[]
}

/** The files of a household's folder. The first four must be there. */
export const HOUSEHOLD_FILES = {
  household: 'household.csv',
  people: 'people.csv',
  inventory: 'inventory.csv',
  exchange: 'exchange.csv',
  vehicles: 'vehicles.csv',
  services: 'services.csv',
  rates: 'rates.csv',
  scenarios: 'scenarios.csv',
  quotes: 'quotes.csv',
  consignments: 'consignments.csv',
  confirmed: 'confirmed.csv',
} as const
export type HouseholdFile = (typeof HOUSEHOLD_FILES)[keyof typeof HOUSEHOLD_FILES]

/** A household as far as its files can be read, so that later checks go on beside what is wrong in them. */
export interface HouseholdReading {
  /** Whole where no problem is wrong; else examples stand where cells could not be read. */
  readonly household: Household
  /** All that is wrong and, without what confirmed.csv confirms, all that is unlikely; in the order of the files. */
  readonly problems: readonly Problem[]
  readonly ground: Ground
  /** Cells that hold something. */
  readonly filled: number
  /** Leaves out of later questions what confirmed.csv confirms. */
  confirm(problems: readonly Problem[]): readonly Problem[]
}

/**
 * Reads a household's files and checks that they agree with each other and with the reference tables.
 *
 * @param files name and text of each CSV file of the folder
 * @param classes goods classes of the customs tables; without them the column `class` is not checked
 * @returns the household, or everything wrong in every file, in the order of the files
 */
export function readHousehold(
  files: readonly CsvFile[],
  reference: Reference,
  classes?: Ground['classes'],
): Read<Household> {
  const { household, problems } = readHouseholdFiles(files, reference, classes)
  const wrong = problems.filter((p) => !isUnlikely(p))
  return wrong.length > 0 ? { ok: false, problems: wrong } : { ok: true, value: household }
}

/**
 * The same, with what could be read where something is wrong, and with what is only unlikely.
 *
 * @param ofFolder what was found when the files were looked for
 */
export function readHouseholdFiles(
  files: readonly CsvFile[],
  reference: Reference,
  classes?: Ground['classes'],
  ofFolder: readonly Problem[] = [],
): HouseholdReading {
  const problems: Problem[] = [...ofFolder]
  /** A file that is there under another name, of another kind, or unreadable was told of already. */
  const told = (name: string) => ofFolder.some((p) => p.file === name || p.expected.endsWith(name))
  const doubtful = new Set<string>()
  const unread = new Set<HouseholdFile>()
  let filled = 0
  const find = (name: HouseholdFile) => files.find((f) => f.file.endsWith(`/${name}`) || f.file === name)
  const table = <S extends z.ZodObject>(
    name: HouseholdFile,
    columns: S,
    must?: 'must',
  ): readonly Row<S>[] => {
    const csv = find(name)
    if (!csv) {
      if (must && !told(name)) problems.push(missingFile(name))
      if (must || told(name)) unread.add(name)
      return []
    }
    const read = readRows(csv, columns)
    for (const problem of read.problems) problems.push(problem)
    for (const cell of read.doubtful) doubtful.add(cell)
    if (!read.whole) unread.add(name)
    filled += read.filled
    return read.rows
  }

  const factsCsv = find('household.csv')
  const facts = readFacts(factsCsv ?? { file: 'household.csv', text: '' })
  if (factsCsv) problems.push(...facts.problems)
  else if (!told('household.csv')) problems.push(missingFile('household.csv'))
  if (facts.lines.size === 0) unread.add('household.csv')
  for (const cell of facts.doubtful) doubtful.add(cell)
  filled += facts.filled

  const people = table('people.csv', personColumns, 'must')
  const listed = table('inventory.csv', inventoryColumns, 'must')
  const { inventory, problems: unnamed } = filledFromItems(listed, reference.items)
  for (const problem of unnamed) {
    const cell = cellKey(problem, problem.column)
    if (!doubtful.has(cell) && !doubtful.has(cellKey(problem, 'item_code'))) problems.push(problem)
    doubtful.add(cell)
  }
  const exchange = table('exchange.csv', exchangeColumns, 'must')
  const vehicles = table('vehicles.csv', vehicleColumns)
  const services = table('services.csv', serviceColumns)
  const rates = table('rates.csv', rateColumns)
  const scenariosCsv = find('scenarios.csv')
  const scenarios = scenariosCsv ? readScenarios(scenariosCsv) : undefined
  problems.push(...(scenarios?.problems ?? []))
  filled += scenarios?.filled ?? 0
  const quotes = table('quotes.csv', quoteColumns)
  const consignments = table('consignments.csv', consignmentColumns)
  const confirmed = table('confirmed.csv', confirmedColumns)

  const household: Household = {
    facts: facts.facts,
    factsFile: factsCsv?.file ?? 'household.csv',
    factLines: facts.lines,
    people,
    inventory,
    vehicles,
    services,
    rates,
    exchange: exchangeInForce(exchange, facts.facts.as_of),
    scenarios: scenarios?.scenarios ?? [],
    quotes,
    consignments,
  }
  const ground: Ground = { reference, classes, doubtful, unread }
  const apart = disagreements({ ...household, exchange }, ground)
  // A country or a currency that nobody knows is told once; what rests on it is not.
  for (const p of apart) if (p.file === household.factsFile) doubtful.add(cellKey(p, p.column))
  for (const p of apart) problems.push(p)
  // A number that may be thousands is asked about once: what it is as it was read is no second question.
  const asked = new Set(problems.filter(isUnlikely).map((p) => cellKey(p, p.column)))
  for (const p of questions({ ...household, exchange }, ground, files))
    if (!asked.has(cellKey(p, p.column))) problems.push(p)
  const confirm = (found: readonly Problem[]) => withoutConfirmed(found, confirmed)
  return {
    household,
    problems: inOrder(confirm(problems), Object.values(HOUSEHOLD_FILES)),
    ground,
    filled,
    confirm,
  }
}

/**
 * The rate of each pair of currencies that holds on a day: the latest that stood by then, or the earliest after it
 * where none did.
 */
function exchangeInForce(rows: Household['exchange'], asOf: string): Household['exchange'] {
  const pairs = new Map<string, Household['exchange'][number]>()
  for (const row of rows) {
    const pair = `${row.from}${row.to}`
    const before = pairs.get(pair)
    const stood = (x: typeof row) => x.on <= asOf
    const better =
      before === undefined ||
      (stood(row) && (!stood(before) || row.on > before.on)) ||
      (!stood(row) && !stood(before) && row.on < before.on)
    if (better) pairs.set(pair, row)
  }
  return [...pairs.values()]
}
