import type { Decimal } from 'decimal.js'
import { freightOnLane, inForce } from '../cost/freight-lane.js'
import type { Confirmed, NumberInput } from '../quantity/arithmetic.js'
import { Exact, exact } from '../quantity/exact.js'
import { m3FromFt3 } from '../quantity/units.js'
import { wordOf } from '../tables/fields.js'
import type { Household } from '../tables/household.js'
import { PROVIDERS, STREETS } from '../tables/household-columns.js'
import { nearest, suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'
import type { Reference } from '../tables/reference.js'
import { dateReadings, numberReadings } from '../tables/written.js'
import { CLOCK_STARTS, DAY_COUNTS } from '../time/free-time.js'
import { boxM3 } from '../volume/line-volume.js'
import { limitsOf } from './limits.js'
import { roomId } from './rooms.js'
import { transportOptions } from './transport-options.js'
import { isFor } from './where.js'

/** The word for the least-cost cover that the household can bear; it is replaced before a plan is written. */
export const ADVISED_COVER = 'advised'

/** An input that is not a number: a container, a provider, a cover, a date. */
export interface ChoiceInput {
  readonly id: string
  readonly label: string
  readonly kind: 'option' | 'date'
  readonly value: string
  readonly allowed: readonly string[]
}

/** Words of the choices `packed.*`: whether everything goes in, as far as anybody has tried. */
export const PACKED = ['by volume', 'everything', 'not everything'] as const

/** Every input of a plan by its id: the one place where a scenario may change something. */
export interface InputTable {
  readonly numbers: ReadonlyMap<string, NumberInput>
  readonly choices: ReadonlyMap<string, ChoiceInput>
}

/** One change to one input, as a scenario column, `--set` or a notebook states it. */
export interface Change {
  readonly id: string
  readonly value: string
  readonly place?: { readonly file: string; readonly line: number }
}

/** Where goods wait once the free days at the port are over; `cheaper` takes what costs less at each point. */
export const PORT_WAITS = ['port', 'warehouse', 'cheaper'] as const

interface Given {
  readonly low?: Decimal | undefined
  readonly likely: Decimal
  readonly high?: Decimal | undefined
}

/** Where a figure is from, how sure it is, and until when it may be relied on. */
interface Provenance {
  readonly source: string
  readonly confirmed: Confirmed
  readonly still_true_on?: string | undefined
  readonly good_for_days?: number | undefined
}

/** Services done by hand, that friends or hired hands may do as well. */
export const HAND_WORK = ['packing', 'dismantling', 'loading', 'unloading', 'unpacking', 'assembly'] as const

/** Sizes of crew that figures.csv has a loading speed for. */
export const CREWS = [1, 2, 3, 4, 5, 6, 7, 8] as const

/** Friends or hired hands of a job where services.csv does not say. */
const USUAL_HANDS = 3

const stated = (source: string) => ({ source, confirmed: 'stated' as Confirmed })

/**
 * The inputs of a household's plan before any scenario changes them: reference figures, then what the
 * household's files say, then its own rates over both.
 *
 * @returns the table, or a problem for each rate that names no input or that stands outside low and high
 */
export function inputTable(household: Household, reference: Reference): Read<InputTable> {
  const { table, problems } = inputsOf(household, reference)
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: table }
}

/** The same, with the table as far as it goes, so that scenarios can be checked beside what is wrong in the rates. */
export function inputsOf(
  household: Household,
  reference: Reference,
): { readonly table: InputTable; readonly problems: readonly Problem[] } {
  const numbers = new Map<string, NumberInput>()
  const choices = new Map<string, ChoiceInput>()
  const problems: Problem[] = []
  const put = (id: string, label: string, unit: string, given: Given, from: Provenance) =>
    numbers.set(id, {
      id,
      label,
      unit,
      low: given.low ?? given.likely,
      likely: given.likely,
      high: given.high ?? given.likely,
      source: from.source,
      confirmed: from.confirmed,
      lookedOn: from.still_true_on,
      goodForDays: from.good_for_days,
    })
  const option = (id: string, label: string, value: string, allowed: readonly string[]) =>
    choices.set(id, { id, label, kind: 'option', value, allowed })
  const day = (id: string, label: string, value: string) =>
    choices.set(id, { id, label, kind: 'date', value, allowed: [] })

  const { facts } = household
  for (const f of reference.figures) {
    if (
      (f.from === undefined || f.from <= facts.as_of) &&
      (f.until === undefined || facts.as_of <= f.until) &&
      isFor(f.where, facts)
    ) {
      put(f.id, f.label, f.unit, f, f)
    }
  }
  const region = (country: string) => reference.countries.find((c) => c.code === country)?.region ?? ''
  const lane = {
    fromRegion: region(facts.origin_country),
    toRegion: region(facts.destination_country),
    on: facts.load_on,
  }
  const freight = freightOnLane(reference.freight, lane)
  for (const f of freight) put(`price.freight.${f.id}`, f.label, `${f.currency}/${f.per}`, f, f)
  for (const size of [...reference.containers.map((c) => c.id), 'groupage']) {
    const own = household.rates.find((r) => r.id === `price.freight.${size}`)
    if (numbers.has(`price.freight.${size}`)) continue
    const unit = `${own?.currency ?? facts.currency}/${size === 'groupage' ? 'm3' : 'container'}`
    if (own) put(own.id, `Ocean freight, ${size}`, unit, own, stated('rates.csv'))
    else {
      problems.push({
        file: 'household.csv',
        line: 1,
        column: 'destination_country',
        found: `${facts.origin_country} to ${facts.destination_country}`,
        expected: `a freight price of ${size} from ${lane.fromRegion} to ${lane.toRegion} on ${lane.on} in freight.csv`,
        fix: `Add a row price.freight.${size} with the carrier's or forwarder's price to rates.csv.`,
      })
    }
  }
  option('freight-basis', 'Freight: with its surcharges, or before them', freight[0]?.basis ?? 'all-in', [
    'all-in',
    'base',
  ])
  for (const s of reference.services.filter((row) => inForce(row, facts.load_on))) {
    const unit = s.driver === 'percentage' ? '1' : `${s.currency ?? facts.currency}/${s.per ?? s.driver}`
    if (s.likely !== undefined && s.id !== 'freight')
      put(`price.${s.id}`, s.label, unit, { low: s.low, likely: s.likely, high: s.high }, s)
    if (s.groupage_likely !== undefined && s.id !== 'freight') {
      const given = { low: s.groupage_low, likely: s.groupage_likely, high: s.groupage_high }
      put(
        `price.${s.id}.groupage`,
        `${s.label}, shared container`,
        `${s.currency ?? facts.currency}/${s.groupage_driver}`,
        given,
        s,
      )
    }
    if (s.minimum !== undefined)
      put(
        `price.${s.id}.minimum`,
        `${s.label}, least charge`,
        s.currency ?? facts.currency,
        { likely: s.minimum },
        s,
      )
    option(`provider.${s.id}`, `${s.label}: who does it`, 'by level', ['by level', ...s.providers])
  }
  for (const [side, country] of [
    ['origin', facts.origin_country],
    ['destination', facts.destination_country],
  ] as const) {
    const wage = wageOf(reference, country)
    const own = household.rates.find((r) => r.id === `cost.${side}.wage`)
    const growth = {
      label: `Yearly rise of wages at the ${side === 'origin' ? 'old' : 'new'} home`,
      id: `cost.${side}.wage-growth`,
    }
    put(growth.id, growth.label, '1', { likely: wage?.growth ?? new Exact(0) }, wage ?? stated('rates.csv'))
    if (wage)
      put(
        `cost.${side}.wage`,
        `Hourly ${wage.kind} of ${wage.year}, ${wage.who}, ${wage.label}`,
        `${wage.currency}/h`,
        wage,
        wage,
      )
    else if (own)
      put(own.id, `Hourly labour cost at the ${side}`, `${facts.currency}/h`, own, stated('rates.csv'))
    else {
      problems.push({
        file: household.factsFile,
        line: household.factLines.get(`${side}_country`) ?? 1,
        column: `${side}_country`,
        found: country,
        expected: 'a country of wages.csv, or the hourly labour cost in rates.csv',
        fix: `Add a row cost.${side}.wage with the cost of an hour in ${facts.currency} to rates.csv.`,
      })
    }
  }
  for (const x of household.exchange) {
    if (x.to === facts.currency) {
      put(
        `exchange.${x.from}`,
        `${x.from} in ${x.to} on ${x.on}`,
        `${x.to}/${x.from}`,
        { likely: x.rate },
        stated(x.source ?? 'exchange.csv'),
      )
    }
  }
  for (const c of reference.covers) {
    put(`cover.${c.id}.rate`, `${c.label}: premium rate`, '1', c, c)
    put(`cover.${c.id}.minimum`, `${c.label}: least premium`, c.currency, { likely: c.minimum_premium }, c)
    put(
      `cover.${c.id}.deductible`,
      `${c.label}: deductible for each claim`,
      c.currency,
      { likely: c.deductible },
      c,
    )
  }
  for (const c of reference.containers) {
    put(`container.${c.id}.length`, `${c.label}: inside length`, 'mm', { likely: c.inside_length_mm }, c)
    put(`container.${c.id}.width`, `${c.label}: inside width`, 'mm', { likely: c.inside_width_mm }, c)
    put(`container.${c.id}.height`, `${c.label}: inside height`, 'mm', { likely: c.inside_height_mm }, c)
    put(`container.${c.id}.tare`, `${c.label}: tare`, 'kg', { likely: c.tare_kg }, c)
    put(`container.${c.id}.max-gross`, `${c.label}: greatest gross mass`, 'kg', { likely: c.max_gross_kg }, c)
    put(`container.${c.id}.teu`, `${c.label}: twenty-foot units`, '1', { likely: c.teu }, c)
    option(`packed.${c.id}`, `${c.label}: what packing piece by piece found`, 'by volume', [...PACKED])
    put(
      `packed.${c.id}.m3`,
      `${c.label}: packed volume that went in piece by piece`,
      'm3',
      { likely: new Exact(0) },
      stated('packing'),
    )
  }
  for (const c of reference.cartons) {
    const sides =
      c.length_cm && c.width_cm && c.height_cm
        ? boxM3(exact, c.length_cm, c.width_cm, c.height_cm)
        : m3FromFt3(exact, c.ft3)
    put(`carton.${c.id}.volume`, `${c.label}: outside volume`, 'm3', { likely: sides }, c)
    put(
      `carton.${c.id}.limit`,
      `${c.label}: greatest content`,
      'kg',
      { likely: c.content_limit_kg ?? c.mass_high_kg },
      c,
    )
  }
  for (const i of reference.items) {
    put(`item.${i.id}.cube`, `${i.label}: stow cube`, 'ft3', { likely: i.ft3 }, i)
    put(`item.${i.id}.mass`, `${i.label}: mass`, 'kg', { likely: i.mass_kg }, i)
  }
  for (const service of HAND_WORK) {
    const row = household.services.find((s) => s.service === service)
    const what = reference.services.find((s) => s.id === service)?.label ?? service
    put(
      `friends.${service}`,
      `${what}: friends who help, where they do it`,
      'person',
      { likely: new Exact(row?.friends ?? USUAL_HANDS) },
      stated('services.csv'),
    )
    put(
      `hired.${service}`,
      `${what}: hands hired by the day, where they do it`,
      'person',
      { likely: new Exact(row?.hired ?? USUAL_HANDS) },
      stated('services.csv'),
    )
  }
  for (const t of reference.portCharges)
    put(
      `price.${t.id}`,
      `${t.charge} a day from day ${t.from_day}`,
      `${t.currency}/day`,
      { likely: t.price },
      t,
    )

  const own = stated('household.csv')
  const money = facts.currency
  put('origin.floor', 'Floors at the old home', '1', { likely: facts.origin_floor }, own)
  put('origin.carry-m', 'Carry at the old home', 'm', { likely: facts.origin_carry_m }, own)
  put('destination.floor', 'Floors at the new home', '1', { likely: facts.destination_floor }, own)
  put('destination.carry-m', 'Carry at the new home', 'm', { likely: facts.destination_carry_m }, own)
  put('own.people', 'People of the household who work', 'person', { likely: facts.own_people }, own)
  put('own.hour-value', 'Value of an hour of own work', `${money}/h`, { likely: facts.own_hour_value }, own)
  put('storage.months', 'Months in storage', 'month', { likely: facts.storage_months }, own)
  put(
    'delay.days',
    'Days that the release is late: examination, congestion, papers',
    'day',
    { likely: facts.delay_days },
    own,
  )
  put('insured.share', 'Sum insured over replacement value', '1', { likely: new Exact(1) }, own)
  put('loss.tolerance', 'Loss the household could bear', money, { likely: facts.loss_tolerance }, own)
  if (facts.loss_chance)
    put(
      'loss.chance',
      'Accepted chance of bearing more than the household says it could',
      '1',
      { likely: facts.loss_chance },
      own,
    )
  put(
    'loss.ruin',
    'Loss that would ruin the household, 0 where it does not say',
    money,
    { likely: facts.loss_ruin ?? new Exact(0) },
    own,
  )
  const employer = facts.employer_currency ?? money
  put(
    'employer.lump-sum',
    "Employer's lump sum",
    employer,
    { likely: facts.employer_lump_sum ?? new Exact(0) },
    own,
  )
  put(
    'employer.share',
    "Employer's share of the bill",
    '1',
    { likely: facts.employer_share ?? new Exact(0) },
    own,
  )
  if (facts.employer_cap)
    put(
      'employer.cap',
      "Most that the employer's share may come to",
      employer,
      { likely: facts.employer_cap },
      own,
    )
  for (const [side, street, permit] of [
    ['origin', facts.origin_street, facts.origin_permit],
    ['destination', facts.destination_street, facts.destination_permit],
  ] as const) {
    const home = side === 'origin' ? 'old' : 'new'
    option(`${side}.street`, `What the street at the ${home} home allows`, street ?? 'wait', STREETS)
    option(`${side}.permit`, `Permit to stand at the ${home} door`, permit === false ? 'no' : 'yes', [
      'yes',
      'no',
    ])
  }
  option('route-risk', 'Route through waters listed for war', facts.route_risk ?? 'peaceful', [
    'peaceful',
    'war',
  ])
  option('origin.lift', 'Lift at the old home', facts.origin_lift ? 'yes' : 'no', ['yes', 'no'])
  option('destination.lift', 'Lift at the new home', facts.destination_lift ? 'yes' : 'no', ['yes', 'no'])
  option('transport', 'Container, or share of one', facts.transport, [
    'cheapest',
    ...transportOptions(reference).map(({ id }) => id),
  ])
  option('service-level', 'Who does the work', facts.service_level, ['diy', 'part', 'full', 'own'])
  option('cover', 'Transit cover', facts.cover, ['none', ADVISED_COVER, ...reference.covers.map((c) => c.id)])
  option('pallets', 'Goods on pallets', facts.pallets ? 'yes' : 'no', ['yes', 'no'])
  option('port-wait', 'Where the goods wait beyond the free days', 'port', PORT_WAITS)
  option('port.free-count', 'Which days count as free', 'calendar', DAY_COUNTS)
  option('port.charged-count', 'Which days are charged', 'calendar', DAY_COUNTS)
  option('port.clock-start', 'First day on the clock after discharge or gate-out', 'next day', CLOCK_STARTS)
  option('materials-reused', 'Packing materials used a second time', 'no', ['yes', 'no'])
  option('crew', 'Movers in a crew', 'by load', ['by load', ...CREWS.map(String)])
  const persons = household.people.map((p) => p.person)
  option('importer', 'Who declares the goods', 'least charges', ['least charges', 'each owner', ...persons])
  option('relief-counting', 'Relief at the discretion of customs: left out, or counted in', 'excluded', [
    'excluded',
    'included',
  ])
  day('load-on', 'Day of loading', facts.load_on)
  day('import-on', 'Day of import declaration', facts.import_on)
  if (facts.goods_wanted_on)
    day('goods-wanted-on', 'Day by which the goods are wanted', facts.goods_wanted_on)
  if (facts.home_wanted_on)
    day('home-wanted-on', 'Day by which the home is to be lived in', facts.home_wanted_on)
  const survey = numbers.get('survey.room-factor')
  if (survey) {
    for (const line of household.inventory) {
      const id = `survey.room.${roomId(household, line.room)}`
      if (!numbers.has(id))
        put(id, `${line.room}: volume as it turns out, over the list`, '1', survey, survey)
    }
    // Each room has its own; the pattern they were made from is no input.
    numbers.delete('survey.room-factor')
  }
  for (const line of household.inventory) inventoryInputs(line, put, option, household)
  for (const v of household.vehicles) {
    const size = reference.vehicleClasses.find((c) => c.id === v.class)
    const from = v.length_mm !== undefined || size === undefined ? stated('vehicles.csv') : size
    const id = `vehicle.${v.vehicle}`
    put(
      `${id}.length`,
      `${v.label}: length`,
      'mm',
      { likely: v.length_mm ?? size?.length_mm ?? new Exact(0) },
      from,
    )
    put(
      `${id}.width`,
      `${v.label}: width`,
      'mm',
      { likely: v.width_mm ?? size?.width_mm ?? new Exact(0) },
      from,
    )
    put(
      `${id}.height`,
      `${v.label}: height`,
      'mm',
      { likely: v.height_mm ?? size?.height_mm ?? new Exact(0) },
      from,
    )
    put(
      `${id}.mass`,
      `${v.label}: kerb mass`,
      'kg',
      { likely: v.mass_kg ?? size?.kerb_kg ?? new Exact(0) },
      from,
    )
    const currency = v.currency ?? money
    put(`${id}.value`, `${v.label}: value today`, currency, { likely: v.value }, stated('vehicles.csv'))
    put(
      `${id}.replacement-value`,
      `${v.label}: replacement value`,
      currency,
      { likely: v.replacement_value },
      stated('vehicles.csv'),
    )
    option(`take.${v.vehicle}`, `${v.label}: ship or leave`, v.take, ['ship', 'leave'])
    option(`deck.${v.vehicle}`, `${v.label}: deck over it`, v.deck ? 'yes' : 'no', ['yes', 'no'])
  }
  for (const c of household.consignments) {
    const parts = [
      ['freight', 'carriage to the place of entry', c.freight],
      ['insurance', 'cover', c.insurance],
      ['inland', 'carriage from there to the door', c.inland],
    ] as const
    for (const [part, label, given] of parts) {
      const likely = given ?? new Exact(0)
      const unit = c.currency ?? money
      put(
        `consignment.${c.consignment}.${part}`,
        `Consignment ${c.consignment}: ${label}`,
        unit,
        { likely },
        stated('consignments.csv'),
      )
    }
  }
  for (const [i, q] of household.quotes.entries()) {
    const from = stated('quotes.csv')
    put(`quote.${q.quote}.volume`, `${q.quote}: volume quoted`, 'm3', { likely: q.volume_m3 }, from)
    put(
      `quote.${q.quote}.row-${i + 1}`,
      `${q.quote}: ${q.services}`,
      q.currency ?? money,
      { likely: q.price },
      from,
    )
  }
  for (const rate of household.rates) {
    const known = numbers.get(rate.id)
    const low = rate.low ?? rate.likely
    const high = rate.high ?? rate.likely
    if (!known) {
      problems.push({
        ...rate.place,
        column: 'id',
        found: rate.id,
        expected: 'an input of the plan',
        fix: suggestion(rate.id, [...numbers.keys()]),
      })
    } else if (outside(rate, known)) {
      problems.push({
        ...rate.place,
        column: 'likely',
        found: [rate.low, rate.likely, rate.high].filter((figure) => figure !== undefined).join(' / '),
        expected: `a number${ofUnit(known.unit)} ${limitsOf(known).words}`,
        fix: `Write figures inside that range, as in ${known.likely}.`,
      })
    } else if (low.gt(rate.likely) || high.lt(rate.likely)) {
      problems.push({
        ...rate.place,
        column: 'likely',
        found: `${low} / ${rate.likely} / ${high}`,
        expected: 'low, likely and high in rising order',
        fix: 'Swap the figures that are out of order.',
      })
    } else {
      const amount = /^[A-Z]{3}(\/|$)/.test(known.unit)
      if (rate.currency !== undefined && !amount) {
        problems.push({
          ...rate.place,
          column: 'currency',
          found: rate.currency,
          expected: `nothing: ${rate.id} is no amount of money but is measured in ${known.unit}`,
          fix: 'Leave the cell empty.',
        })
        continue
      }
      numbers.set(rate.id, {
        ...known,
        // An amount without a currency is the household's, as everywhere in its files.
        unit: amount ? `${rate.currency ?? money}${known.unit.slice(3)}` : known.unit,
        lookedOn: undefined,
        goodForDays: undefined,
        low,
        likely: rate.likely,
        high,
        ...stated(rate.source ?? 'rates.csv'),
      })
    }
  }
  problems.push(...missingRates(numbers, money))
  return { table: { numbers, choices }, problems }
}

function inventoryInputs(
  line: Household['inventory'][number],
  put: (
    id: string,
    label: string,
    unit: string,
    given: Given,
    from: { source: string; confirmed: Confirmed },
  ) => void,
  option: (id: string, label: string, value: string, allowed: readonly string[]) => void,
  household: Household,
): void {
  const id = `line.${line.line}`
  const from = stated('inventory.csv')
  const currency = line.currency ?? household.facts.currency
  put(`${id}.quantity`, `${line.item}: how many`, '1', { likely: line.quantity }, from)
  if (line.volume_m3)
    put(`${id}.volume`, `${line.item}: volume of one`, 'm3', { likely: line.volume_m3 }, from)
  if (line.volume_ft3)
    put(`${id}.volume`, `${line.item}: volume of one`, 'ft3', { likely: line.volume_ft3 }, from)
  for (const [side, given] of [
    ['length', line.length_cm],
    ['width', line.width_cm],
    ['height', line.height_cm],
  ] as const) {
    if (given) put(`${id}.${side}`, `${line.item}: ${side}`, 'cm', { likely: given }, from)
  }
  if (line.mass_kg) put(`${id}.mass`, `${line.item}: mass of one`, 'kg', { likely: line.mass_kg }, from)
  put(
    `${id}.value`,
    `${line.item}: value of one today`,
    currency,
    { likely: line.value ?? new Exact(0) },
    from,
  )
  put(
    `${id}.replacement-value`,
    `${line.item}: replacement value of one`,
    currency,
    { likely: line.replacement_value ?? line.value ?? new Exact(0) },
    from,
  )
  option(`take.${line.line}`, `${line.item}: ship, leave or carry`, line.take, ['ship', 'leave', 'carry'])
}

/** A country's row of wages.csv: of movers where there is one, else of the whole economy. */
export function wageOf(reference: Reference, country: string) {
  const rows = reference.wages.filter((w) => w.country === country)
  return rows.find((w) => w.who === 'movers') ?? rows[0]
}

/** Inputs in money that every plan turns into the household's currency, so that a rate for each must be there. */
const CONVERTED = /^(price|cover|cost|door|mover|employer)\.|^labour\.friend-thanks$|^storage\.handling$/

function missingRates(numbers: ReadonlyMap<string, NumberInput>, money: string): Problem[] {
  const used = [...numbers.values()].filter(
    ({ id, unit }) => CONVERTED.test(id) && /^[A-Z]{3}(\/|$)/.test(unit),
  )
  const currencies = new Set(used.map(({ unit }) => unit.slice(0, 3)))
  return [...currencies]
    .filter((currency) => currency !== money && !numbers.has(`exchange.${currency}`))
    .map((currency) => ({
      file: 'exchange.csv',
      line: 1,
      column: 'from',
      found: 'no such row',
      expected: `a rate from ${currency} into ${money}: prices of the reference tables are in ${currency}`,
      fix: `Add a row ${currency},${money},… with the rate and its date.`,
    }))
}

/**
 * The table with some inputs changed. A number becomes a range of one.
 *
 * @returns the changed table, or a problem for each unknown id (with the nearest ones) and each value that does not fit
 */
export function withChanges(table: InputTable, changes: readonly Change[]): Read<InputTable> {
  const numbers = new Map(table.numbers)
  const choices = new Map(table.choices)
  const problems: Problem[] = []
  for (const { id, value, place } of changes) {
    const where = { file: place?.file ?? 'change', line: place?.line ?? 1 }
    const number = numbers.get(id)
    const choice = choices.get(id)
    if (number) {
      const [one, other] = numberReadings(value, false)
      const limits = limitsOf(number)
      if (one !== undefined && other === undefined && limits.allow(new Exact(one))) {
        const likely = new Exact(one)
        numbers.set(id, { ...number, low: likely, likely, high: likely, ...stated(place?.file ?? 'changed') })
      } else {
        problems.push({
          ...where,
          column: id,
          found: value,
          expected: `a number${ofUnit(number.unit)} ${limits.words}`,
          fix:
            one !== undefined && other !== undefined
              ? `Write ${one} or ${other}, whichever is meant.`
              : `Write the number alone, as in ${number.likely}.`,
        })
      }
    } else if (choice) {
      const days = choice.kind === 'date' ? dateReadings(value) : []
      const word = choice.kind === 'date' ? undefined : wordOf(choice.allowed, value)
      const [day] = days
      if (word !== undefined) choices.set(id, { ...choice, value: word })
      else if (day !== undefined && days.length === 1) choices.set(id, { ...choice, value: day })
      else if (choice.kind === 'date') {
        problems.push({
          ...where,
          column: id,
          found: value,
          expected: 'a day of the calendar as year-month-day',
          fix:
            days.length > 1
              ? `Write ${days.join(' or ')}, whichever is meant.`
              : `Write for example ${choice.value}.`,
        })
      } else {
        problems.push({
          ...where,
          column: id,
          found: value,
          expected: `one of ${choice.allowed.join(', ')}`,
          fix: suggestion(value, choice.allowed),
        })
      }
    } else {
      const names = nearest(id, [...numbers.keys(), ...choices.keys()])
      problems.push({
        ...where,
        column: 'id',
        found: id,
        expected: 'an input of the plan',
        fix: `Nearest: ${names.join(', ')}.`,
      })
    }
  }
  const [loading, importing] = [choices.get('load-on')?.value ?? '', choices.get('import-on')?.value ?? '']
  if (importing < loading) {
    const place = changes.findLast(({ id }) => id === 'load-on' || id === 'import-on')?.place
    problems.push({
      file: place?.file ?? 'change',
      line: place?.line ?? 1,
      column: 'import-on',
      found: importing,
      expected: `a day on or after ${loading}, when the container is loaded`,
      fix: 'Change both days, or only the one that is wrong.',
    })
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: { numbers, choices } }
}

const ofUnit = (unit: string): string => (unit === '1' ? '' : ` of ${unit}`)

function outside(rate: Household['rates'][number], known: NumberInput): boolean {
  const { allow } = limitsOf(known)
  return [rate.low, rate.likely, rate.high].some((figure) => figure !== undefined && !allow(figure))
}

/** The word for a provider choice once the service level is known. */
export const isProvider = (word: string): word is (typeof PROVIDERS)[number] =>
  (PROVIDERS as readonly string[]).includes(word)
