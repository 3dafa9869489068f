import { Exact } from '../../quantity/exact.js'
import type { Household } from '../../tables/household.js'
import { STREETS } from '../../tables/household-columns.js'
import type { Reference } from '../../tables/reference.js'
import { CLOCK_STARTS, DAY_COUNTS } from '../../time/free-time.js'
import { roomId } from '../rooms.js'
import { transportOptions } from '../transport-options.js'
import {
  ADVISED_COVER,
  CREWS,
  HAND_WORK,
  type InputGathering,
  PORT_WAITS,
  stated,
  USUAL_HANDS,
} from './table.js'

/** Every input that the household's files give. */
export function householdInputs(gathering: InputGathering, household: Household, reference: Reference): void {
  exchangeInputs(gathering, household)
  handWorkInputs(gathering, household, reference)
  factInputs(gathering, household)
  employerInputs(gathering, household)
  choiceInputs(gathering, household, reference)
  roomInputs(gathering, household)
  for (const line of household.inventory) inventoryInputs(line, gathering, household)
  vehicleInputs(gathering, household, reference)
  consignmentInputs(gathering, household)
  quoteInputs(gathering, household)
}

function exchangeInputs({ put }: InputGathering, household: Household): void {
  const { facts } = household
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
}

function handWorkInputs({ put }: InputGathering, household: Household, reference: Reference): void {
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
}

function factInputs({ put }: InputGathering, { facts }: Household): void {
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
}

function employerInputs({ put }: InputGathering, { facts }: Household): void {
  const own = stated('household.csv')
  const employer = facts.employer_currency ?? facts.currency
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
}

function choiceInputs(
  { option, day, problems }: InputGathering,
  household: Household,
  reference: Reference,
): void {
  const { facts } = household
  // Words of a fact that name a row of a table, which somebody's own tables may not have.
  const fromTable = (fact: 'transport' | 'cover', label: string, words: readonly string[], file: string) => {
    const found = facts[fact]
    option(fact, label, found, words)
    if (words.includes(found)) return
    const expected = `one of ${words.join(', ')}`
    const fix = `Take one of these, or put the row ${found.split('+')[0]} of ${file} back.`
    const line = household.factLines.get(fact) ?? 1
    problems.push({ file: household.factsFile, line, column: fact, found, expected, fix })
  }
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
  const carriages = transportOptions(reference).map(({ id }) => id)
  fromTable('transport', 'Container, or share of one', ['cheapest', ...carriages], 'containers.csv')
  option('service-level', 'Who does the work', facts.service_level, ['diy', 'part', 'full', 'own'])
  const covers = reference.covers.map(({ id }) => id)
  fromTable('cover', 'Transit cover', ['none', ADVISED_COVER, ...covers], 'covers.csv')
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
}

function roomInputs({ numbers, put }: InputGathering, household: Household): void {
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
}

function inventoryInputs(
  line: Household['inventory'][number],
  { put, option }: InputGathering,
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

function vehicleInputs({ put, option }: InputGathering, household: Household, reference: Reference): void {
  const money = household.facts.currency
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
}

function consignmentInputs({ put }: InputGathering, household: Household): void {
  const money = household.facts.currency
  for (const c of household.consignments) {
    const parts = [
      ['freight', 'carriage to the place of entry', c.freight],
      ['insurance', 'cover', c.insurance],
      ['inland', 'carriage from there to the door', c.inland],
    ] as const
    for (const [part, label, given] of parts) {
      put(
        `consignment.${c.consignment}.${part}`,
        `Consignment ${c.consignment}: ${label}`,
        c.currency ?? money,
        { likely: given ?? new Exact(0) },
        stated('consignments.csv'),
      )
    }
  }
}

function quoteInputs({ put }: InputGathering, household: Household): void {
  const money = household.facts.currency
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
}
