import type { Decimal } from 'decimal.js'
import { Exact, exact } from '../../quantity/exact.js'
import { m3FromFt3 } from '../../quantity/units.js'
import { boxM3 } from '../../volume/line-volume.js'
import { type CsvFile, cellKey, type Place } from '../csv.js'
import type { Household } from '../household.js'
import { householdFacts } from '../household-columns.js'
import { type Problem, short } from '../problem.js'
import type { Ground } from './agreement.js'
import { untouchedTemplates } from './template.js'

type Asked = { readonly place: Place; readonly row: string; readonly column: string; readonly found: string }

/**
 * What is possible but unlikely, and worth a second look: sizes, masses and values outside those of likely.csv, dates
 * out of their usual order, exchange rates that are off, files that are still the template.
 *
 * @returns problems of the kind `unlikely`; a cell that could not be read is not questioned
 */
export function questions(household: Household, ground: Ground, files: readonly CsvFile[]): Problem[] {
  const asked: Problem[] = []
  const ask = ({ place, row, column, found }: Asked, expected: string, fix: string) => {
    if (ground.doubtful.has(cellKey(place, column))) return
    asked.push({ ...place, row, column, found: short(found), expected, fix, kind: 'unlikely' })
  }
  const likely = new Map(ground.reference.likely.map((row) => [row.id, row]))
  /** Asks where a figure lies outside the row of likely.csv. */
  const inside = (id: string, figure: Decimal, at: Asked, fix: string) => {
    const row = likely.get(id)
    if (!row || (figure.gte(row.low) && figure.lte(row.high))) return
    const unit = row.unit === '1' || row.unit === 'each' ? '' : ` ${row.unit}`
    ask(at, `${row.label} from ${row.low} to ${row.high}${unit}${told(figure, at.found)}`, fix)
  }
  const usd = dollars(likely)

  factQuestions(household, ground, inside, usd)
  for (const p of household.people) {
    const at = (column: 'leaves_on' | 'arrives_on' | 'abroad_since'): Asked => ({
      place: p.place,
      row: p.person,
      column,
      found: p[column],
    })
    const { as_of, load_on } = household.facts
    inside('years.abroad', years(p.abroad_since, as_of), at('abroad_since'), 'Look at the year.')
    inside('days.load-to-leave', days(load_on, p.leaves_on), at('leaves_on'), 'Look at both dates.')
    inside('days.leave-to-arrive', days(p.leaves_on, p.arrives_on), at('arrives_on'), 'Look at both dates.')
  }

  const items = new Map(ground.reference.items.map((item) => [item.id, item]))
  for (const line of household.inventory) {
    const at = (column: string, found: string): Asked => ({
      place: line.place,
      row: line.line,
      column,
      found,
    })
    const doubted = (...columns: string[]) =>
      ground.doubtful.size > 0 && columns.some((column) => ground.doubtful.has(cellKey(line.place, column)))
    const item = line.item_code === undefined ? undefined : items.get(line.item_code)
    inside('line.quantity', line.quantity, at('quantity', `${line.quantity}`), 'Count again.')
    const [sizeColumn, size] = sizeOf(line)
    const sizeCell = line[sizeColumn]
    if (size && sizeCell !== undefined && !doubted(sizeColumn)) {
      const where = at(sizeColumn, `${sizeCell}`)
      const perPiece = 'Give the size of one piece.'
      inside('line.volume', size, where, perPiece)
      if (item) inside('line.item-volume', size.div(m3FromFt3(exact, item.ft3)), where, perPiece)
    }
    for (const column of ['length_cm', 'width_cm', 'height_cm'] as const) {
      const side = line[column]
      if (side) inside('line.side', side, at(column, `${side}`), 'Give it in centimetres.')
    }
    if (line.mass_kg && !doubted('mass_kg')) {
      const where = at('mass_kg', `${line.mass_kg}`)
      const before = asked.length
      inside('line.mass', line.mass_kg, where, 'Give the mass of one piece in kilograms.')
      if (item && asked.length === before)
        inside('line.item-mass', line.mass_kg.div(item.mass_kg), where, 'Give the mass of one piece.')
      const volume = size ?? (item && m3FromFt3(exact, item.ft3))
      if (volume?.gt(0) && asked.length === before && !doubted(sizeColumn))
        inside('line.density', line.mass_kg.div(volume), where, 'Look at mass and size.')
    }
    const currency = line.currency ?? household.facts.currency
    for (const column of ['value', 'replacement_value'] as const) {
      const value = line[column]
      const rate = usd(currency)
      if (value && rate) {
        const fix = `Give the value of one piece in ${currency}.`
        inside('line.value', value.times(rate), at(column, `${value}`), fix)
      }
    }
    if (line.replacement_value && line.value && line.replacement_value.lt(line.value)) {
      const where = at('replacement_value', `${line.replacement_value}`)
      const fix = 'It is the price of the same thing new at the destination.'
      ask(where, `at least ${line.value}, what it would sell for`, fix)
    }
    acquired(line.acquired_on, at, household, inside, ask)
  }
  if (household.inventory.length === 0 && !ground.unread.has('inventory.csv')) {
    const file = household.factsFile.replace(/household\.csv$/i, 'inventory.csv')
    const at = { place: { file, line: 1 }, row: '', column: 'file', found: 'no lines' }
    ask(at, 'the things that move, a line each', 'Add them, unless only a vehicle moves.')
  }

  for (const v of household.vehicles) {
    const at = (column: string, found: string): Asked => ({ place: v.place, row: v.vehicle, column, found })
    if (v.mass_kg) inside('vehicle.mass', v.mass_kg, at('mass_kg', `${v.mass_kg}`), 'Give kilograms.')
    const rate = usd(v.currency ?? household.facts.currency)
    if (rate) inside('vehicle.value', v.value.times(rate), at('value', `${v.value}`), 'Look at the currency.')
    if (v.replacement_value.lt(v.value)) {
      const fix = 'It is the price of the same thing at the destination.'
      ask(at('replacement_value', `${v.replacement_value}`), `at least ${v.value}, its value today`, fix)
    }
    if (v.made_on !== undefined && v.made_on > v.acquired_on)
      ask(at('made_on', v.made_on), `a day on or before ${v.acquired_on}, when it was bought`, 'Swap them?')
    acquired(v.acquired_on, at, household, inside, ask)
  }

  exchangeQuestions(household, likely, inside, ask)
  asked.push(...untouchedTemplates(files))
  for (const { file, encoding } of files) {
    if (encoding === undefined) continue
    const at = { place: { file, line: 1 }, row: '', column: 'file', found: encoding }
    ask(at, 'a text file in UTF-8', 'It was read; look at the accents. Save it as CSV UTF-8.')
  }
  return asked
}

type Inside = (id: string, figure: Decimal, at: Asked, fix: string) => void
type Ask = (at: Asked, expected: string, fix: string) => void
type Likely = ReadonlyMap<string, Ground['reference']['likely'][number]>

function factQuestions(
  { facts, factsFile, factLines }: Household,
  { unread }: Ground,
  inside: Inside,
  usd: (currency: string) => Decimal | undefined,
): void {
  if (unread.has('household.csv')) return
  const at = (fact: keyof typeof facts): Asked => ({
    place: { file: factsFile, line: factLines.get(fact) ?? 1 },
    row: '',
    column: fact,
    found: `${facts[fact]}`,
  })
  for (const name of Object.keys(householdFacts.shape) as (keyof typeof facts)[]) {
    const figure = facts[name]
    if (!(figure instanceof Exact)) continue
    const rate = name === 'own_hour_value' ? usd(facts.currency) : new Exact(1)
    if (rate) inside(`fact.${name.replaceAll('_', '-')}`, figure.times(rate), at(name), 'Look at it again.')
  }
  inside('days.plan-to-load', days(facts.as_of, facts.load_on), at('load_on'), 'Look at as_of and load_on.')
  // The wrong order of these two is refused; a long while between them is only asked about.
  if (facts.import_on >= facts.load_on)
    inside(
      'days.load-to-import',
      days(facts.load_on, facts.import_on),
      at('import_on'),
      'Look at both dates.',
    )
}

function acquired(
  on: string | undefined,
  at: (column: string, found: string) => Asked,
  { facts }: Household,
  inside: Inside,
  ask: Ask,
): void {
  if (on === undefined) return
  if (on > facts.load_on)
    ask(at('acquired_on', on), `a day on or before ${facts.load_on}, the day of loading`, 'Look at the year.')
  else inside('years.owned', years(on, facts.load_on), at('acquired_on', on), 'Look at the year.')
}

function exchangeQuestions({ exchange, facts }: Household, likely: Likely, inside: Inside, ask: Ask): void {
  const latest = new Map<string, (typeof exchange)[number]>()
  for (const x of exchange) {
    const pair = `${x.from}${x.to}`
    const before = latest.get(pair)
    if (!before || x.on > before.on) latest.set(pair, x)
  }
  for (const x of latest.values()) {
    const row = `${x.from}-${x.to}`
    const at = { place: x.place, row, column: 'rate', found: `${x.rate}` }
    const [low, high] = usualRate(x.from, x.to, likely)
    const off = likely.get('exchange.off')
    if (low && high && off && (x.rate.lt(low.times(off.low)) || x.rate.gt(high.times(off.high)))) {
      const range = `${low.toSignificantDigits(2)} to ${high.toSignificantDigits(2)}`
      ask(at, `about ${range} ${x.to} for one ${x.from}`, 'Look at the point, and which way round it is.')
    }
    const back = latest.get(`${x.to}${x.from}`)
    if (back && x.from < x.to)
      inside('exchange.both-ways', x.rate.times(back.rate), at, `Line ${back.place.line} is the other way.`)
    inside(
      'exchange.age',
      days(x.on, facts.as_of),
      { ...at, column: 'on', found: x.on },
      'Look up a new rate.',
    )
  }
}

/** Least and most that one unit of a currency has been worth in another, where likely.csv knows both. */
function usualRate(from: string, to: string, likely: Likely): readonly [Decimal?, Decimal?] {
  const one = new Exact(1)
  const forOne = (currency: string) =>
    currency === 'USD' ? { low: one, high: one } : likely.get(`usd.${currency.toLowerCase()}`)
  const [a, b] = [forOne(from), forOne(to)]
  return a && b ? [b.low.div(a.high), b.high.div(a.low)] : []
}

/** What one unit of a currency is worth in US dollars, roughly: the middle of what it has been. */
function dollars(likely: Likely): (currency: string) => Decimal | undefined {
  const known = new Map<string, Decimal | undefined>()
  return (currency) => {
    if (!known.has(currency)) {
      const [low, high] = usualRate(currency, 'USD', likely)
      known.set(currency, low && high ? low.plus(high).div(2) : undefined)
    }
    return known.get(currency)
  }
}

type SizeColumn = 'volume_m3' | 'volume_ft3' | 'length_cm'

function sizeOf(line: Household['inventory'][number]): readonly [SizeColumn, Decimal?] {
  if (line.volume_m3) return ['volume_m3', line.volume_m3]
  if (line.volume_ft3) return ['volume_ft3', m3FromFt3(exact, line.volume_ft3)]
  const { length_cm, width_cm, height_cm } = line
  if (length_cm && width_cm && height_cm) return ['length_cm', boxM3(exact, length_cm, width_cm, height_cm)]
  return ['length_cm']
}

/** The figure that was compared, where it is not the one that stands in the cell. */
const told = (figure: Decimal, found: string): string =>
  figure.toString() === found ? '' : `; here ${figure.toSignificantDigits(3)}`

/** Whole days from one date to another; ISO dates are read as midnight at Greenwich, so that every day has 24 hours. */
const days = (from: string, to: string): Decimal =>
  new Exact(Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000))
const years = (from: string, to: string): Decimal => days(from, to).div('365.25')
