import { cellKey, type Place } from '../csv.js'
import type { Household, HouseholdFile } from '../household.js'
import { suggestion } from '../nearest.js'
import { type Problem, short } from '../problem.js'
import type { Reference } from '../reference.js'

/** What the checks of a household may lean on: the tables it must agree with, and what of it was not read. */
export interface Ground {
  readonly reference: Reference
  /** Goods classes of the customs tables with what each covers; without them a class is not checked. */
  readonly classes?: ReadonlyMap<string, { readonly label: string; readonly group: string }> | undefined
  /** Cells that stand in for ones that could not be read. */
  readonly doubtful: ReadonlySet<string>
  /** Files that could not be read at all. */
  readonly unread: ReadonlySet<HouseholdFile>
}

/** A list of names that other cells refer to. */
interface Names {
  readonly list: readonly string[]
  readonly has: ReadonlySet<string>
}
const namesOf = (list: readonly string[]): Names => ({ list, has: new Set(list) })

/** What each file says on its own may be right and still not fit together. */
export function disagreements(household: Household, ground: Ground): Problem[] {
  const { reference, classes, doubtful, unread } = ground
  const { facts, people, inventory, vehicles, services, rates, exchange, quotes, consignments } = household
  const problems: Problem[] = []
  const sure = (place: Place, ...columns: string[]) =>
    doubtful.size === 0 || columns.every((column) => !doubtful.has(cellKey(place, column)))
  const refuse = (place: Place, column: string, found: string, expected: string, fix: string) => {
    if (sure(place, column)) problems.push({ ...place, column, found: short(found), expected, fix })
  }
  // A word that is wrong in one line is often wrong in thousands.
  const suggestions = new Map<Names, Map<string, string>>()
  const meant = (found: string, known: Names): string => {
    const before = suggestions.get(known) ?? new Map<string, string>()
    suggestions.set(known, before)
    const fix = before.get(found) ?? suggestion(found, known.list)
    before.set(found, fix)
    return fix
  }
  const oneKnown = (place: Place, column: string, found: string | undefined, known: Names, what: string) => {
    if (found !== undefined && !known.has.has(found)) refuse(place, column, found, what, meant(found, known))
  }
  const once = <T extends { readonly place: Place }>(
    rows: readonly T[],
    column: string,
    key: (row: T) => string,
    what: string,
  ) => {
    const seen = new Map<string, number>()
    for (const row of rows) {
      if (!sure(row.place, column)) continue
      const name = key(row)
      const earlier = seen.get(name)
      if (earlier !== undefined)
        refuse(row.place, column, name, what, `It stands in line ${earlier} already.`)
      else seen.set(name, row.place.line)
    }
  }

  // household.csv
  const factPlace = (fact: string): Place => ({
    file: household.factsFile,
    line: household.factLines.get(fact) ?? 1,
  })
  const sureFact = (...names: string[]) => names.every((fact) => sure(factPlace(fact), fact))
  const byName = countryNames(reference)
  const currencies = namesOf(reference.currencies.map((c) => c.code))
  for (const fact of ['origin_country', 'destination_country'] as const) {
    const found = facts[fact]
    if (reference.countries.some((c) => c.code === found)) continue
    const meant = byName.get(found.toLowerCase())
    const fix = meant ? `Write ${meant}.` : 'Write the two letters of ISO 3166-1, as countries.csv has them.'
    refuse(factPlace(fact), fact, found, 'a country of countries.csv', fix)
  }
  const oneCurrency = (place: Place, column: string, found: string | undefined) =>
    oneKnown(place, column, found, currencies, 'a currency of currencies.csv')
  oneCurrency(factPlace('currency'), 'currency', facts.currency)
  if (sureFact('load_on', 'import_on') && facts.import_on < facts.load_on) {
    const expected = `a day on or after ${facts.load_on}, when the container is loaded`
    refuse(factPlace('import_on'), 'import_on', facts.import_on, expected, 'Put the later date.')
  }

  // people.csv
  once(people, 'person', (p) => p.person, 'a mark of its own')
  if (people.length === 0 && !unread.has('people.csv')) {
    const place = { file: household.factsFile.replace(/household\.csv$/i, 'people.csv'), line: 1 }
    refuse(place, 'person', '', 'at least one person who moves', 'Add a row.')
  }
  for (const p of people) {
    if (sure(p.place, 'abroad_since', 'leaves_on') && p.leaves_on < p.abroad_since) {
      const expected = `a day on or after ${p.abroad_since}, when residence there began`
      refuse(p.place, 'leaves_on', p.leaves_on, expected, 'Put the later date.')
    }
    if (
      p.first_arrival_on !== undefined &&
      sure(p.place, 'first_arrival_on', 'arrives_on') &&
      p.first_arrival_on > p.arrives_on
    ) {
      const expected = `a day on or before ${p.arrives_on}, when residence there begins`
      refuse(p.place, 'first_arrival_on', p.first_arrival_on, expected, 'Leave it blank if there was none.')
    }
  }

  // exchange.csv
  once(exchange, 'from', (x) => `${x.from} to ${x.to} on ${x.on}`, 'one rate for a pair and a day')
  for (const x of exchange) {
    oneCurrency(x.place, 'from', x.from)
    oneCurrency(x.place, 'to', x.to)
    if (x.from === x.to) refuse(x.place, 'to', x.to, 'another currency', 'Take the row away.')
  }
  const rated = new Set([facts.currency, ...exchange.flatMap((x) => (x.to === facts.currency ? x.from : []))])
  const ratesKnown = sureFact('currency') && !unread.has('exchange.csv')
  const unrated = new Set<string>()
  const ownCurrency = (place: Place, column: string, found: string | undefined) => {
    oneCurrency(place, column, found)
    if (found === undefined || !ratesKnown || !currencies.has.has(found) || rated.has(found)) return
    // One row of exchange.csv puts all of them right: told once.
    if (unrated.has(found)) return
    unrated.add(found)
    const fix = `Add a row ${found},${facts.currency},… to exchange.csv.`
    refuse(place, column, found, `a currency with a rate into ${facts.currency}`, fix)
  }

  // inventory.csv
  const persons = namesOf(people.map((p) => p.person))
  const owner = (place: Place, found: string | undefined) => {
    if (people.length > 0 && !unread.has('people.csv'))
      oneKnown(place, 'owner', found, persons, 'a person of people.csv')
  }
  once(inventory, 'line', (l) => l.line, 'a mark of its own')
  const items = namesOf(reference.items.map((i) => i.id))
  const packings = namesOf(['none', 'wrapped', 'crated', ...reference.cartons.map((c) => c.id)])
  for (const line of inventory) {
    const { place } = line
    oneKnown(place, 'item_code', line.item_code, items, 'a row of items.csv')
    oneKnown(place, 'packing', line.packing, packings, 'none, wrapped, crated or a carton of cartons.csv')
    owner(place, line.owner)
    ownCurrency(place, 'currency', line.currency)
    if (classes && !classes.has(line.class)) {
      const expected = 'a goods class of classes.csv'
      refuse(place, 'class', line.class, expected, classFix(line.class, classes))
    }
    if (!sure(place, 'length_cm', 'width_cm', 'height_cm')) continue
    const sides = [line.length_cm, line.width_cm, line.height_cm].filter((side) => side !== undefined).length
    if (sides > 0 && sides < 3) {
      const expected = 'length, width and height, or none of them'
      refuse(place, 'length_cm', `${sides} of 3 sides`, expected, 'Measure the missing side.')
    }
    if (!sure(place, 'volume_m3', 'volume_ft3', 'item_code')) continue
    if (line.volume_m3 !== undefined && line.volume_ft3 !== undefined) {
      const found = `${line.volume_m3} m3 and ${line.volume_ft3} ft3`
      refuse(place, 'volume_m3', found, 'one volume', 'Keep one of the two.')
    }
    if (
      line.volume_m3 === undefined &&
      line.volume_ft3 === undefined &&
      sides === 0 &&
      line.item_code === undefined &&
      sure(place, 'item_code')
    ) {
      const fix = 'Give volume_m3, volume_ft3, the three sides in cm, or an item_code.'
      refuse(place, 'volume_m3', '', 'a size', fix)
    }
  }

  // vehicles.csv
  once(vehicles, 'vehicle', (v) => v.vehicle, 'a mark of its own')
  const marks = new Set(inventory.map((line) => line.line))
  const vehicleClasses = namesOf(reference.vehicleClasses.map((c) => c.id))
  for (const v of vehicles) {
    if (marks.has(v.vehicle))
      refuse(v.place, 'vehicle', v.vehicle, 'a mark that no inventory line has', 'Write another, as in V-01.')
    oneKnown(v.place, 'class', v.class, vehicleClasses, 'a row of vehicle-classes.csv')
    owner(v.place, v.owner)
    ownCurrency(v.place, 'currency', v.currency)
    const sides = ['length_mm', 'width_mm', 'height_mm', 'mass_kg'] as const
    if (v.class === undefined && sure(v.place, ...sides) && sides.some((side) => v[side] === undefined)) {
      const fix = 'Give the class of vehicle-classes.csv.'
      refuse(v.place, 'class', '', 'a class, or length, width, height and mass', fix)
    }
  }

  // consignments.csv
  once(consignments, 'consignment', (c) => c.consignment, 'a mark of its own')
  for (const c of consignments) ownCurrency(c.place, 'currency', c.currency)
  const named = namesOf(consignments.map((c) => c.consignment))
  for (const line of unread.has('consignments.csv') ? [] : inventory) {
    if (line.consignment === undefined) continue
    oneKnown(line.place, 'consignment', line.consignment, named, 'a consignment of consignments.csv')
    if (line.take !== 'ship') {
      const expected = 'ship, for what goes with a consignment'
      refuse(line.place, 'take', line.take, expected, 'Write ship, or leave consignment blank.')
    }
    if (line.import_on !== undefined) {
      const fix = 'Leave it blank: the day of consignments.csv holds.'
      refuse(line.place, 'import_on', line.import_on, 'nothing beside a consignment', fix)
    }
  }

  // services.csv, quotes.csv, rates.csv
  once(services, 'service', (s) => s.service, 'each service once')
  const known = namesOf(reference.services.map((row) => row.id))
  for (const s of services) {
    oneKnown(s.place, 'service', s.service, known, 'a service of services.csv')
    const may = reference.services.find((row) => row.id === s.service)?.providers ?? [s.provider]
    oneKnown(s.place, 'provider', s.provider, namesOf(may), `one who may do ${short(s.service, 30)}`)
  }
  const quoted = new Map<string, string>()
  for (const q of quotes) {
    for (const service of quotedServices(q.services))
      oneKnown(q.place, 'services', service, known, 'services of services.csv')
    ownCurrency(q.place, 'currency', q.currency)
    const volume = quoted.get(q.quote) ?? q.volume_m3.toString()
    quoted.set(q.quote, volume)
    if (volume !== q.volume_m3.toString()) {
      const expected = `${volume}, as in the quote's other rows`
      const fix = 'Write one volume for one quote.'
      refuse(q.place, 'volume_m3', q.volume_m3.toString(), expected, fix)
    }
  }
  once(rates, 'id', (r) => r.id, 'one figure for each input')
  for (const rate of rates) ownCurrency(rate.place, 'currency', rate.currency)
  ownCurrency(factPlace('employer_currency'), 'employer_currency', facts.employer_currency)
  return problems
}

/** The services one price of a quote is for. */
export const quotedServices = (cell: string): string[] =>
  cell.split('|').flatMap((word) => (word.trim() === '' ? [] : [word.trim()]))

/** Country codes by the other names people write for them, lower case. */
function countryNames(reference: Reference): ReadonlyMap<string, string> {
  return new Map(
    reference.countries.flatMap(({ code, label, also }) =>
      [label, ...(also ?? '').split('|')].flatMap((name) =>
        name === '' ? [] : [[name.trim().toLowerCase(), code] as const],
      ),
    ),
  )
}

/** The class whose name, group or description has the word that was written; else a slip of the hand; else the list. */
function classFix(
  found: string,
  classes: ReadonlyMap<string, { readonly label: string; readonly group: string }>,
): string {
  const names = [...classes.keys()]
  if (found.length > 40) return suggestion(found, names)
  const word = found.toLowerCase()
  const near = new RegExp(`(^|[^a-z])${word.replace(/[^a-z]/g, '.').replace(/s$/, 's?')}s?([^a-z]|$)`, 'i')
  const covers = [...classes].filter(([, { label, group }]) => near.test(label) || near.test(group))
  if (names.some((name) => name.toLowerCase() === word)) return suggestion(found, names)
  if (covers.length > 0 && covers.length <= 3)
    return `Did you mean ${covers.map(([name, { label }]) => `${name} (${short(label, 50)})`).join(' or ')}?`
  return suggestion(found, names)
}
