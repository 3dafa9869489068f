import { freightOnLane, inForce } from '../../cost/freight-lane.js'
import { Exact, exact } from '../../quantity/exact.js'
import { m3FromFt3 } from '../../quantity/units.js'
import type { Household } from '../../tables/household.js'
import type { Reference } from '../../tables/reference.js'
import { boxM3 } from '../../volume/line-volume.js'
import { isFor } from '../where.js'
import { type InputGathering, PACKED, stated } from './table.js'

type Figure = Reference['figures'][number]

/** Every input that a row of the reference tables gives this household. */
export function referenceInputs(gathering: InputGathering, household: Household, reference: Reference): void {
  figureInputs(gathering, household, reference)
  freightInputs(gathering, household, reference)
  serviceInputs(gathering, household, reference)
  wageInputs(gathering, household, reference)
  coverInputs(gathering, reference)
  containerInputs(gathering, reference)
  goodsInputs(gathering, household, reference)
  portInputs(gathering, reference)
}

function figureInputs({ put }: InputGathering, household: Household, reference: Reference): void {
  const { as_of: today } = household.facts
  for (const f of reference.figures) {
    const holds = (f.from === undefined || f.from <= today) && (f.until === undefined || today <= f.until)
    if (holds && hasUseFor(f, household, reference)) put(f.id, f.label, f.unit, f, f)
  }
}

/** Whether a figure can matter to this household at all; one that cannot is not offered as an input. */
function hasUseFor({ where, only_for }: Figure, household: Household, reference: Reference): boolean {
  const { facts, inventory, vehicles, quotes } = household
  const inEurope = (code: string) => reference.countries.find((c) => c.code === code)?.region === 'Europe'
  if (!isFor(where, facts)) return false
  switch (only_for) {
    case 'vehicles':
      return vehicles.length > 0
    case 'quotes':
      return quotes.length > 0
    case 'unweighed goods':
      return inventory.some((line) => !line.mass_kg && !line.item_code)
    case 'roads of Europe':
      return inEurope(facts.origin_country) || inEurope(facts.destination_country)
    default:
      return true
  }
}

function freightInputs(
  { numbers, put, option, problems }: InputGathering,
  household: Household,
  reference: Reference,
): void {
  const { facts } = household
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
}

function serviceInputs({ put, option }: InputGathering, household: Household, reference: Reference): void {
  const { facts } = household
  for (const s of reference.services.filter((row) => inForce(row, facts.load_on))) {
    const here = isFor(s.where, facts)
    const unit = s.driver === 'percentage' ? '1' : `${s.currency ?? facts.currency}/${s.per ?? s.driver}`
    if (here && s.likely !== undefined && s.id !== 'freight')
      put(`price.${s.id}`, s.label, unit, { low: s.low, likely: s.likely, high: s.high }, s)
    if (here && s.groupage_likely !== undefined && s.id !== 'freight') {
      const given = { low: s.groupage_low, likely: s.groupage_likely, high: s.groupage_high }
      put(
        `price.${s.id}.groupage`,
        `${s.label}, shared container`,
        `${s.currency ?? facts.currency}/${s.groupage_driver}`,
        given,
        s,
      )
    }
    if (here && s.minimum !== undefined)
      put(
        `price.${s.id}.minimum`,
        `${s.label}, least charge`,
        s.currency ?? facts.currency,
        { likely: s.minimum },
        s,
      )
    option(`provider.${s.id}`, `${s.label}: who does it`, 'by level', ['by level', ...s.providers])
  }
}

function wageInputs({ put, problems }: InputGathering, household: Household, reference: Reference): void {
  const { facts } = household
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
}

/** A country's row of wages.csv: of movers where there is one, else of the whole economy. */
export function wageOf(reference: Reference, country: string) {
  const rows = reference.wages.filter((w) => w.country === country)
  return rows.find((w) => w.who === 'movers') ?? rows[0]
}

function coverInputs({ put }: InputGathering, reference: Reference): void {
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
}

function containerInputs({ put, option }: InputGathering, reference: Reference): void {
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
}

/** Cartons and items of the tables that the household's list speaks of, where it does not say better itself. */
function goodsInputs({ put }: InputGathering, { inventory }: Household, reference: Reference): void {
  for (const c of reference.cartons) {
    if (!inventory.some((line) => line.packing === c.id)) continue
    const sides =
      c.length_cm && c.width_cm && c.height_cm
        ? boxM3(exact, c.length_cm, c.width_cm, c.height_cm)
        : m3FromFt3(exact, c.ft3)
    put(`carton.${c.id}.volume`, `${c.label}: outside volume`, 'm3', { likely: sides }, c)
    const limit = { likely: c.content_limit_kg ?? c.mass_high_kg }
    if (c.holds !== 'one') put(`carton.${c.id}.limit`, `${c.label}: greatest content`, 'kg', limit, c)
  }
  for (const i of reference.items) {
    const lines = inventory.filter((line) => line.item_code === i.id)
    if (lines.some((line) => !line.volume_m3 && !line.volume_ft3))
      put(`item.${i.id}.cube`, `${i.label}: stow cube`, 'ft3', { likely: i.ft3 }, i)
    if (lines.some((line) => !line.mass_kg))
      put(`item.${i.id}.mass`, `${i.label}: mass`, 'kg', { likely: i.mass_kg }, i)
  }
}

function portInputs({ put }: InputGathering, reference: Reference): void {
  for (const t of reference.portCharges)
    put(
      `price.${t.id}`,
      `${t.charge} a day from day ${t.from_day}`,
      `${t.currency}/day`,
      { likely: t.price },
      t,
    )
}
