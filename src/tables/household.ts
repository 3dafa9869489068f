import { type CsvFile, type Grid, type Place, type Row, readGrid, readTable, withPoint } from './csv.js'
import { factsOf, type IsoDate } from './fields.js'
import {
  exchangeColumns,
  type HouseholdFacts,
  householdFacts,
  inventoryColumns,
  personColumns,
  quoteColumns,
  rateColumns,
  serviceColumns,
  vehicleColumns,
} from './household-columns.js'
import { suggestion } from './nearest.js'
import { type Problem, problemsOf, type Read } from './problem.js'
import { missing, type Reference } from './reference.js'

/** One column of changes to the plan: input id to the new value, as written. */
export interface Scenario {
  readonly name: string
  readonly changes: readonly { readonly id: string; readonly value: string; readonly place: Place }[]
}

/** Everything a household's folder says, read and cross-checked. */
export interface Household {
  readonly facts: HouseholdFacts
  readonly people: readonly Row<typeof personColumns>[]
  readonly inventory: readonly Row<typeof inventoryColumns>[]
  readonly vehicles: readonly Row<typeof vehicleColumns>[]
  readonly services: readonly Row<typeof serviceColumns>[]
  readonly rates: readonly Row<typeof rateColumns>[]
  readonly exchange: readonly Row<typeof exchangeColumns>[]
  readonly scenarios: readonly Scenario[]
  readonly quotes: readonly Row<typeof quoteColumns>[]
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
} as const

/**
 * Reads a household's files and checks that they agree with each other and with the reference tables.
 *
 * @param files name and text of each CSV file of the folder
 * @returns the household, or every problem of every file, in the order of the files
 */
export function readHousehold(files: readonly CsvFile[], reference: Reference): Read<Household> {
  const find = (name: string) => files.find((f) => f.file.endsWith(`/${name}`) || f.file === name)
  const need = <T>(name: string, read: (csv: CsvFile) => Read<T>): Read<T> => {
    const csv = find(name)
    return csv ? read(csv) : missing(name)
  }
  const may = <T>(name: string, read: (csv: CsvFile) => Read<readonly T[]>): Read<readonly T[]> => {
    const csv = find(name)
    return csv ? read(csv) : { ok: true, value: [] }
  }
  const facts = need(HOUSEHOLD_FILES.household, readFacts)
  const people = need(HOUSEHOLD_FILES.people, (csv) => readTable(csv, personColumns))
  const inventory = need(HOUSEHOLD_FILES.inventory, (csv) => readTable(csv, inventoryColumns))
  const exchange = need(HOUSEHOLD_FILES.exchange, (csv) => readTable(csv, exchangeColumns))
  const vehicles = may(HOUSEHOLD_FILES.vehicles, (csv) => readTable(csv, vehicleColumns))
  const services = may(HOUSEHOLD_FILES.services, (csv) => readTable(csv, serviceColumns))
  const rates = may(HOUSEHOLD_FILES.rates, (csv) => readTable(csv, rateColumns))
  const scenarios = may(HOUSEHOLD_FILES.scenarios, readScenarios)
  const quotes = may(HOUSEHOLD_FILES.quotes, (csv) => readTable(csv, quoteColumns))
  const all = [facts, people, inventory, exchange, vehicles, services, rates, scenarios, quotes]
  if (
    !facts.ok ||
    !people.ok ||
    !inventory.ok ||
    !exchange.ok ||
    !vehicles.ok ||
    !services.ok ||
    !rates.ok ||
    !scenarios.ok ||
    !quotes.ok
  ) {
    return { ok: false, problems: problemsOf(all) }
  }
  const household: Household = {
    facts: facts.value,
    people: people.value,
    inventory: inventory.value,
    vehicles: vehicles.value,
    services: services.value,
    rates: rates.value,
    exchange: exchange.value,
    scenarios: scenarios.value,
    quotes: quotes.value,
  }
  const problems = disagreements(household, reference, find(HOUSEHOLD_FILES.household)?.file ?? '')
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: household }
}

/** household.csv holds one fact a row: `fact,value,note`. */
function readFacts(csv: CsvFile): Read<HouseholdFacts> {
  const grid = readGrid(csv)
  if (!grid.ok) return grid
  const { header, rows, headerLine, decimalComma } = grid.value
  const at = { file: csv.file, line: headerLine, column: 'header' }
  const factColumn = header.indexOf('fact')
  const valueColumn = header.indexOf('value')
  if (factColumn < 0 || valueColumn < 0) {
    const problem = { ...at, found: header.join(','), expected: 'the columns fact,value,note' }
    return { ok: false, problems: [{ ...problem, fix: 'Write fact,value,note in the first line.' }] }
  }
  const known = Object.keys(householdFacts.shape) as (keyof typeof householdFacts.shape)[]
  const problems: Problem[] = []
  const raw: Record<string, string> = Object.fromEntries(known.map((name) => [name, '']))
  const lines = new Map<string, number>()
  for (const { line, cells } of rows) {
    const fact = cells[factColumn] ?? ''
    const where = { file: csv.file, line, column: 'fact', found: fact }
    if (!(known as string[]).includes(fact)) {
      problems.push({ ...where, expected: 'a fact of this file', fix: suggestion(fact, known) })
    } else if (lines.has(fact)) {
      problems.push({
        ...where,
        expected: 'each fact once',
        fix: `It stands in line ${lines.get(fact)} already.`,
      })
    } else {
      const value = cells[valueColumn] ?? ''
      const isNumber =
        factsOf(householdFacts.shape[fact as keyof typeof householdFacts.shape]).kind === 'number'
      raw[fact] = decimalComma && isNumber ? withPoint(value) : value
      lines.set(fact, line)
    }
  }
  const read = householdFacts.safeParse(raw)
  if (!read.success) {
    for (const issue of read.error.issues) {
      const fact = String(issue.path[0])
      const line = lines.get(fact)
      const fix = (issue as { params?: { fix?: string } }).params?.fix ?? ''
      problems.push({
        file: csv.file,
        line: line ?? headerLine,
        column: fact,
        found: raw[fact] ?? '',
        expected: issue.message,
        fix: line === undefined ? `Add a row ${fact}. ${fix}` : fix,
      })
    }
  }
  problems.sort((a, b) => a.line - b.line)
  if (problems.length > 0 || !read.success) return { ok: false, problems }
  return { ok: true, value: read.data }
}

/** scenarios.csv: first column `id`, then a column a scenario; a blank cell leaves the input as it is. */
function readScenarios(csv: CsvFile): Read<readonly Scenario[]> {
  const grid = readGrid(csv)
  if (!grid.ok) return grid
  const { header, headerLine } = grid.value
  const [first, ...names] = header
  if (first !== 'id' || names.length === 0) {
    const problem = { file: csv.file, line: headerLine, column: 'header', found: header.join(',') }
    const fix = 'Write id in the first cell of the first line and a name for each scenario after it.'
    return { ok: false, problems: [{ ...problem, expected: 'id, then a column a scenario', fix }] }
  }
  const repeated = names.find((name, i) => name === '' || names.indexOf(name) !== i)
  if (repeated !== undefined) {
    const problem = { file: csv.file, line: headerLine, column: 'header', found: repeated }
    return {
      ok: false,
      problems: [{ ...problem, expected: 'a name of its own for each scenario', fix: 'Rename one.' }],
    }
  }
  return {
    ok: true,
    value: names.map((name, i) => ({ name, changes: changesOf(csv.file, grid.value, i + 1) })),
  }
}

function changesOf(file: string, { rows, decimalComma }: Grid, column: number): Scenario['changes'] {
  return rows.flatMap(({ line, cells }) => {
    const value = cells[column] ?? ''
    if (value === '') return []
    const point = decimalComma ? withPoint(value) : value
    return [{ id: cells[0] ?? '', value: point, place: { file, line } }]
  })
}

/** What each file says on its own may be right and still not fit together. */
function disagreements(household: Household, reference: Reference, factsFile: string): Problem[] {
  const problems: Problem[] = []
  const refuse = (place: Place, column: string, found: string, expected: string, fix: string) =>
    problems.push({ ...place, column, found, expected, fix })
  const oneKnown = (
    place: Place,
    column: string,
    found: string | undefined,
    known: readonly string[],
    what: string,
  ) => {
    if (found !== undefined && !known.includes(found))
      refuse(place, column, found, what, suggestion(found, known))
  }
  const once = <T extends { place: Place }>(rows: readonly T[], column: keyof T & string) => {
    const seen = new Map<unknown, number>()
    for (const row of rows) {
      const earlier = seen.get(row[column])
      if (earlier !== undefined) {
        refuse(
          row.place,
          column,
          String(row[column]),
          'a mark of its own',
          `It stands in line ${earlier} already.`,
        )
      }
      seen.set(row[column], row.place.line)
    }
  }

  const { facts, people, inventory, vehicles, services, exchange } = household
  const factsPlace = { file: factsFile, line: 1 }
  const countries = reference.countries.map((c) => c.code)
  const currencies = reference.currencies.map((c) => c.code)
  oneKnown(factsPlace, 'origin_country', facts.origin_country, countries, 'a country of countries.csv')
  oneKnown(
    factsPlace,
    'destination_country',
    facts.destination_country,
    countries,
    'a country of countries.csv',
  )
  oneKnown(factsPlace, 'currency', facts.currency, currencies, 'a currency of currencies.csv')
  if (facts.import_on < facts.load_on) {
    refuse(
      factsPlace,
      'import_on',
      facts.import_on,
      `a day on or after ${facts.load_on}, when the container is loaded`,
      'Put the later date.',
    )
  }

  once(people, 'person')
  if (people.length === 0) {
    const place = { file: factsFile.replace(/household\.csv$/, 'people.csv'), line: 1 }
    refuse(place, 'person', '', 'at least one person who moves', 'Add a row.')
  }
  for (const p of people) {
    const order = (column: 'leaves_on' | 'arrives_on', earlier: IsoDate, what: string) => {
      if (p[column] < earlier)
        refuse(p.place, column, p[column], `a day on or after ${earlier}, ${what}`, 'Put the later date.')
    }
    order('leaves_on', p.abroad_since, 'when residence there began')
  }

  const persons = people.map((p) => p.person)
  const rated = new Set([
    facts.currency,
    ...exchange.filter((x) => x.to === facts.currency).map((x) => x.from),
  ])
  const ownCurrency = (place: Place, column: string, found: string | undefined) => {
    oneKnown(place, column, found, currencies, 'a currency of currencies.csv')
    if (found !== undefined && currencies.includes(found) && !rated.has(found)) {
      refuse(
        place,
        column,
        found,
        `a currency with a rate into ${facts.currency}`,
        `Add a row ${found},${facts.currency},… to exchange.csv.`,
      )
    }
  }
  once(inventory, 'line')
  const items = reference.items.map((i) => i.id)
  const packings = ['none', 'wrapped', 'crated', ...reference.cartons.map((c) => c.id)]
  for (const line of inventory) {
    oneKnown(line.place, 'item_code', line.item_code, items, 'a row of items.csv')
    oneKnown(
      line.place,
      'packing',
      line.packing,
      packings,
      'none, wrapped, crated or a carton of cartons.csv',
    )
    oneKnown(line.place, 'owner', line.owner, persons, 'a person of people.csv')
    ownCurrency(line.place, 'currency', line.currency)
    const sides = [line.length_cm, line.width_cm, line.height_cm].filter((side) => side !== undefined).length
    if (sides > 0 && sides < 3) {
      refuse(
        line.place,
        'length_cm',
        `${sides} of 3 sides`,
        'length, width and height, or none of them',
        'Measure the missing side.',
      )
    }
    if (line.volume_m3 !== undefined && line.volume_ft3 !== undefined) {
      refuse(
        line.place,
        'volume_m3',
        `${line.volume_m3} m3 and ${line.volume_ft3} ft3`,
        'one volume',
        'Keep one of the two.',
      )
    }
    if (
      line.volume_m3 === undefined &&
      line.volume_ft3 === undefined &&
      sides === 0 &&
      line.item_code === undefined
    ) {
      const fix = 'Give volume_m3, volume_ft3, the three sides in cm, or an item_code.'
      refuse(line.place, 'volume_m3', '', 'a size', fix)
    }
  }
  once(vehicles, 'vehicle')
  const marks = inventory.map((line) => line.line)
  for (const v of vehicles) {
    if (marks.includes(v.vehicle)) {
      refuse(v.place, 'vehicle', v.vehicle, 'a mark that no inventory line has', 'Write another, as in V-01.')
    }
  }
  const classes = reference.vehicleClasses.map((c) => c.id)
  for (const v of vehicles) {
    oneKnown(v.place, 'class', v.class, classes, 'a row of vehicle-classes.csv')
    oneKnown(v.place, 'owner', v.owner, persons, 'a person of people.csv')
    ownCurrency(v.place, 'currency', v.currency)
    const sized =
      v.length_mm !== undefined &&
      v.width_mm !== undefined &&
      v.height_mm !== undefined &&
      v.mass_kg !== undefined
    if (v.class === undefined && !sized) {
      refuse(
        v.place,
        'class',
        '',
        'a class, or length, width, height and mass',
        'Give the class of vehicle-classes.csv.',
      )
    }
  }
  once(services, 'service')
  for (const s of services) {
    const known = reference.services.find((row) => row.id === s.service)
    oneKnown(
      s.place,
      'service',
      s.service,
      reference.services.map((row) => row.id),
      'a service of services.csv',
    )
    oneKnown(s.place, 'provider', s.provider, known?.providers ?? [s.provider], `one who may do ${s.service}`)
  }
  const quoted = new Map<string, string>()
  for (const q of household.quotes) {
    for (const service of quotedServices(q.services)) {
      oneKnown(
        q.place,
        'services',
        service,
        reference.services.map((row) => row.id),
        'services of services.csv',
      )
    }
    ownCurrency(q.place, 'currency', q.currency)
    const volume = quoted.get(q.quote) ?? q.volume_m3.toString()
    quoted.set(q.quote, volume)
    if (volume !== q.volume_m3.toString()) {
      refuse(
        q.place,
        'volume_m3',
        q.volume_m3.toString(),
        `${volume}, as in the quote's other rows`,
        'Write one volume for one quote.',
      )
    }
  }
  for (const x of exchange) {
    oneKnown(x.place, 'from', x.from, currencies, 'a currency of currencies.csv')
    oneKnown(x.place, 'to', x.to, currencies, 'a currency of currencies.csv')
  }
  return problems.sort((a, b) => (a.file === b.file ? a.line - b.line : 0))
}

/** The services one price of a quote is for. */
export const quotedServices = (cell: string): string[] =>
  cell.split('|').flatMap((word) => (word.trim() === '' ? [] : [word.trim()]))
