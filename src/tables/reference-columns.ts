import { z } from 'zod'
import { code, count, date, number, oneOf, optional, someOf, text, yesNo } from './fields.js'
import { PROVIDERS } from './household-columns.js'

/** What every reference row ends with: where it is from, how sure we are, when somebody last looked. */
export const provenance = {
  source: text({ description: 'where the row comes from', example: 'ISO 668' }),
  confirmed: oneOf(['looked up', 'secondary', 'from memory', 'common practice'], {
    description: 'how sure we are',
    example: 'looked up',
  }),
  still_true_on: optional(
    date({
      description: 'the last day somebody looked at the row; from memory: the day it was written down',
      example: '2026-11-25',
    }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
}

/** A price's time: the days it holds, and how long after somebody looked it is still to be trusted. */
const dated = {
  from: optional(date({ description: 'the first day it holds; blank: not known', example: '2026-01-01' })),
  until: optional(date({ description: 'the last day it holds; blank: still', example: '2026-12-31' })),
}
const goodForDays = {
  good_for_days: optional(
    count({ description: 'days after still_true_on for which it may be relied on', example: '90', min: 0 }),
  ),
}

const id = text({ description: 'stable id', example: 'labour.packing' })
const label = text({ description: 'name for people', example: 'Packing' })
const positive = (description: string, unit: string) => number({ description, unit, example: '1', min: 0 })
const range = {
  low: optional(number({ description: 'the least it may be', example: '1' })),
  likely: number({ description: 'what it most likely is', example: '2' }),
  high: optional(number({ description: 'the most it may be', example: '3' })),
}
const optionalRange = { ...range, likely: optional(range.likely) }
const currency = code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', { description: 'currency', example: 'USD' })

export const containerColumns = z.object({
  id: code(/^[A-Z0-9]{4}$/, 'an ISO 6346 size type', { description: 'ISO 6346 size type', example: '45G1' }),
  label,
  teu: positive('twenty-foot units', '1'),
  outside_length_mm: positive('outside length', 'mm'),
  outside_width_mm: positive('outside width', 'mm'),
  outside_height_mm: positive('outside height', 'mm'),
  inside_length_mm: positive('usual inside length', 'mm'),
  inside_width_mm: positive('usual inside width', 'mm'),
  inside_height_mm: positive('usual inside height', 'mm'),
  min_inside_length_mm: positive('least inside length the standard allows', 'mm'),
  min_inside_width_mm: positive('least inside width the standard allows', 'mm'),
  min_inside_height_mm: positive('least inside height the standard allows', 'mm'),
  door_width_mm: positive('door opening, width', 'mm'),
  door_height_mm: positive('door opening, height', 'mm'),
  tare_kg: positive('mass of the empty container', 'kg'),
  max_gross_kg: positive('greatest gross mass', 'kg'),
  capacity_m3: positive('quoted capacity', 'm3'),
  line_load_kg_per_m: positive('greatest load per metre of length', 'kg/m'),
  with_share: yesNo({
    description: 'is it also offered with the rest in a shared container',
    example: 'no',
  }),
  ...provenance,
})

export const cartonColumns = z.object({
  id,
  label,
  length_cm: optional(positive('outside length', 'cm')),
  width_cm: optional(positive('outside width', 'cm')),
  height_cm: optional(positive('outside height', 'cm')),
  ft3: positive('published volume', 'ft3'),
  content_limit_kg: optional(positive('greatest content', 'kg')),
  mass_low_kg: positive('usual packed mass, least', 'kg'),
  mass_likely_kg: positive('usual packed mass', 'kg'),
  mass_high_kg: positive('usual packed mass, most', 'kg'),
  holds: optional(
    oneOf(['loose', 'one'], { description: 'loose goods, or one piece made for it', example: 'loose' }),
  ),
  goods: text({ description: 'what goes into it', example: 'books' }),
  ...provenance,
})

export const itemColumns = z.object({
  id,
  label,
  also: optional(
    text({ description: 'other everyday words for it, separated by |', example: 'couch|settee' }),
  ),
  group: text({ description: 'kind of thing', example: 'seating' }),
  ft3: positive('stow cube', 'ft3'),
  length_cm: positive('length', 'cm'),
  width_cm: positive('width', 'cm'),
  height_cm: positive('height', 'cm'),
  mass_kg: positive('mass', 'kg'),
  upright: oneOf(['any', 'yes'], { description: 'must it stay upright', example: 'any' }),
  stack: oneOf(['any', 'light', 'nothing'], { description: 'what may stand on it', example: 'light' }),
  flat: optional(oneOf(['0', '1'], { description: '1 if taken apart or folded', example: '0' })),
  class: text({ description: 'goods class of customs/classes.csv', example: 'furniture' }),
  packing: text({ description: 'how it is mostly packed, as inventory.csv has it', example: 'wrapped' }),
  ...provenance,
})

/** room-starters.csv: what a room is begun with where somebody starts a list from nothing. */
export const roomStarterColumns = z.object({
  room: text({ description: 'kind of room', example: 'Living room' }),
  item_code: text({ description: 'a row of items.csv', example: 'sofa-3-seat' }),
  quantity: count({ description: 'how many', example: '1', min: 1, max: 99 }),
  ...provenance,
})

export const vehicleClassColumns = z.object({
  id,
  label,
  length_mm: positive('length', 'mm'),
  width_mm: positive('width without mirrors', 'mm'),
  width_mirrors_mm: positive('width with mirrors', 'mm'),
  height_mm: positive('height', 'mm'),
  kerb_kg: positive('kerb mass', 'kg'),
  ...provenance,
})

const where = optional(
  text({
    description: 'countries it is for: to:US, from:GB, not-to:AU, separated by |; blank: everywhere',
    example: 'to:US',
  }),
)

export const figureColumns = z.object({
  id,
  label,
  ...range,
  unit: text({ description: 'unit', example: 'm3' }),
  where,
  from: optional(date({ description: 'the day it became true', example: '2007-07-01' })),
  until: optional(date({ description: 'the last day it was true', example: '2007-07-01' })),
  ...goodForDays,
  only_for: optional(
    oneOf(['vehicles', 'quotes', 'unweighed goods', 'roads of Europe'], {
      description: 'the households it can matter to; blank: all',
      example: 'vehicles',
    }),
  ),
  ...provenance,
})

/** Figures that no plan reads: formulas of their own take them, and they back the figures that plans do read. */
export const backgroundColumns = figureColumns.omit({ where: true, only_for: true })

/** What a load plan assumes of pieces, cartons and vehicles: a row a figure, named by id. */
export const stowageColumns = z.object({
  id,
  label,
  value: positive('the figure', 'as in the column unit'),
  unit: text({ description: 'unit', example: 'kg' }),
  ...provenance,
})

export const wageColumns = z.object({
  country: code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', { description: 'country', example: 'PL' }),
  label,
  who: oneOf(['movers', 'whole economy'], {
    description: 'whose pay it is: of movers where a statistic has it',
    example: 'whole economy',
  }),
  ...range,
  currency,
  year: count({ description: 'year of the figure', example: '2024', min: 1990 }),
  kind: oneOf(['labour cost', 'wage'], {
    description: 'with or without the employer contribution',
    example: 'labour cost',
  }),
  growth: positive('yearly rise from then to the year of the move, a share of one', '1'),
  ...provenance,
})

export const DRIVERS = [
  'fixed',
  'consignment',
  'm3',
  'crew-hour',
  'hour',
  'container',
  'container-day',
  'teu',
  'day',
  'door',
  'percentage',
  'event',
  'm3-month',
  'each',
] as const
export const PHASES = ['origin', 'crossing', 'destination'] as const

export const serviceColumns = z.object({
  id,
  label,
  phase: oneOf(PHASES, { description: 'part of the move', example: 'origin' }),
  driver: oneOf(DRIVERS, { description: 'what the price is multiplied with', example: 'container' }),
  ...optionalRange,
  currency: optional(currency),
  per: optional(text({ description: 'unit of the price', example: 'container' })),
  groupage_driver: optional(oneOf(DRIVERS, { description: 'driver in a shared container', example: 'm3' })),
  groupage_low: optionalRange.low,
  groupage_likely: optionalRange.likely,
  groupage_high: optionalRange.high,
  minimum: optional(positive('least charge', '1')),
  counts: optional(
    text({
      description:
        'what the driver counts, where it is not the usual: a cell or an input of the plan; for a percentage the services, or the phase, that it is a share of',
      example: 'volume.crated',
    }),
  ),
  where,
  in_all_in: yesNo({
    description: 'is it inside a freight price that is all-in, so that it is not charged again',
    example: 'no',
  }),
  in_every_quote: yesNo({
    description: "is it inside every mover's price, so that a quote which does not name it has it",
    example: 'no',
  }),
  self_pays: optional(
    number({
      description: 'share of the price left to pay when the household does it',
      example: '0',
      min: 0,
      max: 1,
      unit: '1',
    }),
  ),
  providers: someOf(PROVIDERS, { description: 'who may do it', example: 'mover|self' }),
  carriage: yesNo({
    description:
      'does the price hang on how the goods are carried: a part of the carriage cost of each option',
    example: 'no',
  }),
  customs_value: oneOf(['border', 'inland', 'none'], {
    description: 'carriage to the place of entry, from there to the door, or no part of the customs value',
    example: 'none',
  }),
  ...dated,
  ...goodForDays,
  meaning: text({ description: 'what is done', example: 'declares the goods for export' }),
  ...provenance,
})

export const serviceLevelColumns = z.object({
  service: id,
  diy: oneOf(PROVIDERS, { description: 'provider when the household does it itself', example: 'self' }),
  part: oneOf(PROVIDERS, { description: 'provider under part service', example: 'mover' }),
  full: oneOf(PROVIDERS, { description: 'provider under full service', example: 'mover' }),
  ...provenance,
})

export const coverColumns = z.object({
  id,
  label,
  ...range,
  minimum_premium: positive('least premium', '1'),
  currency,
  deductible: positive('deductible for each claim', '1'),
  requires: someOf(['packing', 'unpacking', 'survey', 'loading'], {
    description: 'services that must be done by the mover',
    example: 'packing|unpacking',
  }),
  basis: text({ description: 'what the cover answers for', example: 'Institute Cargo Clauses (A)' }),
  ...provenance,
})

export const perilColumns = z.object({
  id,
  label,
  'all-risks': text({ description: 'answer under all risks', example: 'yes' }),
  'named-wide': text({ description: 'answer under the wide named perils', example: 'yes' }),
  'named-narrow': text({ description: 'answer under the narrow named perils', example: 'no' }),
  'total-loss': text({ description: 'answer under total loss only', example: 'no' }),
  ...provenance,
})

export const portChargeColumns = z.object({
  id,
  charge: oneOf(['demurrage', 'detention'], {
    description: 'inside or outside the terminal',
    example: 'demurrage',
  }),
  container: text({ description: 'ISO 6346 size types, separated by |', example: '22G1' }),
  from_day: positive('first charged day after free time', 'day'),
  until_day: optional(positive('last charged day of the tier', 'day')),
  price: positive('price a day', '1'),
  currency,
  ...provenance,
})

export const currencyColumns = z.object({
  code: currency,
  label,
  minor_units: positive('digits after the point', '1'),
  ...provenance,
})

export const countryColumns = z.object({
  code: code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', { description: 'country', example: 'PL' }),
  label,
  currency,
  region: text({ description: 'part of the world', example: 'Europe' }),
  also: optional(
    text({ description: 'other names people write for it, separated by |', example: 'Holland' }),
  ),
  ...provenance,
})

/** Between which figures nobody asks again; outside them `check` questions the cell, and confirmed.csv answers. */
export const likelyColumns = z.object({
  id,
  label,
  low: number({ description: 'below this it is questioned', example: '0.01' }),
  high: number({ description: 'above this it is questioned', example: '400' }),
  unit: text({ description: 'unit', example: 'kg' }),
  ...provenance,
})

/** Freight from port to port by lane and time: a row a container size type, and one for a shared container. */
export const freightColumns = z.object({
  id: text({ description: 'ISO 6346 size type, or groupage', example: '45G1' }),
  label,
  from_region: text({
    description: 'regions of countries.csv it leaves from, separated by |',
    example: 'Europe',
  }),
  to_region: text({ description: 'regions of countries.csv it goes to, separated by |', example: 'Oceania' }),
  ...dated,
  basis: oneOf(['all-in', 'base'], {
    description: 'with the surcharges that services.csv marks in_all_in, or before them',
    example: 'all-in',
  }),
  ...range,
  currency,
  per: text({ description: 'unit of the price', example: 'container' }),
  ...goodForDays,
  ...provenance,
})

/** Days of the calendar, or tasks, before which something has to be done. */
export const MILESTONES = [
  'leave',
  'arrive',
  'loading',
  'cut-off',
  'sailing',
  'discharge',
  'release',
  'delivery',
  'due',
] as const

export const holidayColumns = z.object({
  id,
  country: code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', {
    description: 'country of the port',
    example: 'PL',
  }),
  rule: text({
    description:
      'the day: `05-01`; `05-01 observed`, the next Monday where it falls on a weekend; `07-04 nearest`, the Friday before a Saturday, the Monday after a Sunday; `easter-2`; `1 monday 06` the first Monday of June, `-1` the last',
    example: 'easter+1',
  }),
  label: text({ description: 'what is held', example: 'Easter Monday' }),
  from_year: optional(number({ description: 'first year in which it is held', example: '2025', min: 1900 })),
  until_year: optional(number({ description: 'last year in which it is held', example: '2030', min: 1900 })),
  ...provenance,
})

export const leadTimeColumns = z.object({
  id,
  label: text({ description: 'what has to be done', example: 'Cover applied for and in force' }),
  owner: oneOf(['household', 'mover', 'packer', 'broker'], {
    description: 'who has to do it; packer: whoever packs in this plan',
    example: 'household',
  }),
  before: text({
    description: `what waits for it: another row of this table, or ${MILESTONES.join(', ')}`,
    example: 'packing',
  }),
  only_for: optional(
    oneOf(['vehicle', 'container', 'cover', 'quarantine', 'storage', 'stamp'], {
      description: 'the case it is needed in; blank: always',
      example: 'vehicle',
    }),
  ),
  low: optional(number({ description: 'days it takes at the least', example: '2', unit: 'day', min: 0 })),
  likely: optional(number({ description: 'days it most likely takes', example: '5', unit: 'day', min: 0 })),
  high: optional(number({ description: 'days it takes at the most', example: '14', unit: 'day', min: 0 })),
  days_cell: optional(
    text({ description: 'cell of the plan that says the days instead', example: 'time.packing-days' }),
  ),
  if_missed: text({ description: 'what missing it leads to', example: 'The next ship with room' }),
  cost_cell: optional(
    text({ description: 'cell of the plan that says what a miss costs', example: 'time.port.first-day' }),
  ),
  ...provenance,
})

export const claimNoticeColumns = z.object({
  id,
  label,
  against: text({ description: 'who has to be told', example: 'sea carrier' }),
  apparent_days: positive('days after delivery for damage that can be seen; 0: at the door', 'day'),
  hidden_days: positive('days after delivery for damage that cannot be seen from outside', 'day'),
  suit_months: positive('months after delivery in which an action has to be brought', 'month'),
  if_missed: text({ description: 'what missing the notice leads to', example: 'The claim is gone' }),
  ...provenance,
})
