import { z } from 'zod'

import { parseContainerNumber } from '../stowage/container-number.js'
import {
  code,
  codes,
  count,
  countOr,
  date,
  mark,
  number,
  oneOf,
  optional,
  someOf,
  text,
  yesNo,
} from './fields.js'

/** Who carries out or pays for a service. */
export const PROVIDERS = ['mover', 'self', 'friends', 'hired', 'employer', 'none'] as const
export type Provider = (typeof PROVIDERS)[number]

/** Why a person may bring a home: the words customs laws use, in short. */
export const STATUSES = [
  'settler',
  'returning',
  'permit-worker',
  'student',
  'diplomat',
  'marriage',
  'inheritance',
  'second-home',
  'visitor',
] as const
export type Status = (typeof STATUSES)[number]

/** How a thing came into the household, as far as customs cares. */
export const HELD = ['own', 'business', 'leased', 'tax-free', 'gift', 'inherited'] as const

export const HANDLING = ['fragile', 'top-only', 'upright', 'floor-only', 'first-needed'] as const

const currency = (description: string) =>
  code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', { description, example: 'EUR' })
const country = (description: string, example = 'NO') =>
  code(/^[A-Z]{2}$/, 'an ISO 3166-1 country code', { description, example })

/** A country at either end; a name is taken as well here, so that the check of countries.csv can tell its code. */
const endCountry = (description: string, example: string) =>
  code(/^\S.{1,60}$/, 'a country of countries.csv', { description, example })

/** A container's number as its doors show it, without the blanks and hyphens that papers print. */
function containerCode(text: string) {
  const read = parseContainerNumber(text)
  if (!read.ok) return { expected: read.expected, fix: read.fix }
  const { owner, category, serial, checkDigit } = read.value
  return { code: `${owner}${category} ${serial} ${checkDigit}` }
}

/** What a street allows, each word including what the ones after it allow. */
export const STREETS = ['stand', 'wait', 'small'] as const
const street = (home: string) =>
  oneOf(STREETS, {
    description: `what the street at the ${home} home allows: a container may stand there (stand), its lorry may wait (wait), only small trucks get there (small); blank: wait`,
    example: 'wait',
  })

/** household.csv: one fact a row. These are the facts, each read as a column is. */
export const householdFacts = z.object({
  name: text({
    description: 'what to call this household in the brief',
    example: 'The Harbour Street household',
  }),
  currency: currency('the currency every total is shown in'),
  as_of: date({ description: 'the day the prices and rules are looked up for', example: '2026-11-25' }),
  origin_country: endCountry('the country they move from', 'NO'),
  origin_place: text({ description: 'the town they move from', example: 'Bergen' }),
  destination_country: endCountry('the country they move to', 'PT'),
  destination_place: text({ description: 'the town they move to', example: 'Lisbon' }),
  origin_floor: number({
    description: 'floors between the street and the old home',
    example: '2',
    min: 0,
    max: 60,
    unit: '1',
  }),
  origin_lift: yesNo({
    description: 'is there a lift at the old home that furniture fits in',
    example: 'no',
  }),
  origin_carry_m: number({
    description: 'metres from the door of the old home to the truck',
    example: '20',
    min: 0,
    max: 2000,
    unit: 'm',
  }),
  destination_floor: number({
    description: 'floors between the street and the new home',
    example: '0',
    min: 0,
    max: 60,
    unit: '1',
  }),
  destination_lift: yesNo({
    description: 'is there a lift at the new home that furniture fits in',
    example: 'no',
  }),
  destination_carry_m: number({
    description: 'metres from the truck to the door of the new home',
    example: '15',
    min: 0,
    max: 2000,
    unit: 'm',
  }),
  load_on: date({ description: 'the day the container is loaded', example: '2027-03-02' }),
  import_on: date({
    description: 'the day the goods are expected to be declared for import',
    example: '2027-04-20',
  }),
  goods_wanted_on: optional(
    date({ description: 'the day by which the goods are wanted at the new door', example: '' }),
  ),
  home_wanted_on: optional(
    date({ description: 'the day by which the new home is to be unpacked and lived in', example: '' }),
  ),
  transport: oneOf(
    ['cheapest', '22G1', '42G1', '45G1', 'L5G1', 'groupage', '45G1+groupage', '22G1+groupage'],
    {
      description:
        'the container (ISO 6346 size type), a share of one, both, or the cheapest that holds everything',
      example: 'cheapest',
    },
  ),
  service_level: oneOf(['diy', 'part', 'full', 'own'], {
    description: 'who does the work: one of the three usual levels, or own = as services.csv says',
    example: 'part',
  }),
  cover: oneOf(['none', 'advised', 'total-loss', 'named-narrow', 'named-wide', 'all-risks'], {
    description: 'the transit cover, or advised: the least-cost one that the household can bear',
    example: 'all-risks',
  }),
  pallets: yesNo({ description: 'are the goods stowed on pallets', example: 'no' }),
  loss_tolerance: number({
    description: 'the loss the household could bear without regret, in its currency',
    example: '3000',
    min: 0,
  }),
  loss_chance: optional(
    number({
      description:
        'the chance of bearing more than loss_tolerance that the household accepts; 0.001, one move in a thousand, where it says nothing',
      example: '0.001',
      max: 1,
      unit: '1',
    }),
  ),
  loss_ruin: optional(
    number({
      description:
        'the loss that would ruin the household, in its currency; covers that leave more of a total loss or of general average are not advised',
      example: '20000',
    }),
  ),
  own_people: number({
    description: 'how many of the household pack and carry',
    example: '2',
    min: 1,
    max: 20,
    unit: '1',
  }),
  own_hour_value: number({
    description: 'what an hour of own work is worth to them, 0 if nothing',
    example: '0',
    min: 0,
  }),
  storage_months: number({
    description: 'months in storage at the destination',
    example: '0',
    min: 0,
    max: 120,
    unit: 'month',
  }),
  origin_street: optional(street('old')),
  origin_permit: optional(
    yesNo({
      description: 'does the town ask for a permit to stand at the old door; blank: yes',
      example: 'yes',
    }),
  ),
  destination_street: optional(street('new')),
  destination_permit: optional(
    yesNo({
      description: 'does the town ask for a permit to stand at the new door; blank: yes',
      example: 'no',
    }),
  ),
  route_risk: optional(
    oneOf(['peaceful', 'war'], {
      description: 'does the route touch waters that underwriters list for war; blank: peaceful',
      example: 'peaceful',
    }),
  ),
  container_numbers: codes(containerCode, {
    description:
      'the numbers of the containers once they stand at the door, separated by |; they go on the papers',
    example: '',
  }),
  employer_lump_sum: optional(
    number({
      description: 'a sum the employer gives for the move, whatever it costs',
      example: '5000',
      min: 0,
    }),
  ),
  employer_share: optional(
    number({
      description: 'share of the bill the employer pays back',
      example: '0.5',
      min: 0,
      max: 1,
      unit: '1',
    }),
  ),
  employer_cap: optional(
    number({ description: 'the most that share may come to; blank: no cap', example: '8000', min: 0 }),
  ),
  employer_currency: optional(currency("currency of the employer's money; blank: the household currency")),
  delay_days: number({
    description:
      'days that customs, an examination or congestion is expected to hold up the release, on top of clearance',
    example: '5',
    min: 0,
    max: 400,
    unit: 'day',
  }),
})

/** people.csv */
export const personColumns = z.object({
  person: mark({ description: 'a short name or initials', example: 'A' }),
  status: oneOf(STATUSES, { description: 'in what capacity the person moves', example: 'settler' }),
  adult: yesNo({ description: 'of age at the destination', example: 'yes' }),
  abroad_since: date({
    description: 'the day residence outside the destination began',
    example: '2019-08-01',
  }),
  leaves_on: date({ description: 'the day residence at the origin ends', example: '2027-03-01' }),
  arrives_on: date({
    description: 'the day residence at the destination is established',
    example: '2027-03-05',
  }),
  first_arrival_on: optional(
    date({ description: 'first entry to the destination, if earlier than that', example: '2027-02-10' }),
  ),
  also: someOf(STATUSES, {
    description: 'further grounds for relief beside the status; the best one is taken',
    example: 'marriage',
  }),
  permit_months: optional(
    countOr('no end', {
      description: 'months the residence or work permit runs, or no end',
      example: '24',
      min: 0,
    }),
  ),
  nationality: optional(country('nationality, where the law of the destination asks for it')),
  married_on: optional(
    date({ description: 'the wedding day, for relief on marriage', example: '2026-12-05' }),
  ),
  inherited_on: optional(
    date({ description: 'the day the inheritance was settled, for relief on it', example: '2026-02-20' }),
  ),
  relief_used_on: optional(
    date({ description: 'the day of an earlier relief on moving there', example: '2019-04-11' }),
  ),
  lived_there_before: optional(
    yesNo({ description: 'has the person lived at the destination before', example: 'no' }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
})

/** inventory.csv: one line a thing, or several alike. */
export const inventoryColumns = z.object({
  line: mark({ description: 'a short mark for the line, used in every list', example: 'K-03' }),
  room: mark({ description: 'the room it stands in', example: 'Kitchen' }),
  item: text({ description: 'what it is', example: 'Stoneware dinner set' }),
  quantity: number({ description: 'how many alike', example: '1', min: 0, max: 10_000, unit: '1' }),
  item_code: optional(
    text({
      description: 'row of data/reference/items.csv that gives size and mass',
      example: 'dining-chair',
    }),
  ),
  volume_m3: optional(
    number({ description: 'volume of one, cubic metres', example: '0.15', min: 0, max: 100, unit: 'm3' }),
  ),
  volume_ft3: optional(
    number({ description: 'volume of one, cubic feet', example: '5', min: 0, max: 4000, unit: 'ft3' }),
  ),
  length_cm: optional(
    number({ description: 'length of one', example: '120', min: 0, max: 1400, unit: 'cm' }),
  ),
  width_cm: optional(number({ description: 'width of one', example: '60', min: 0, max: 1400, unit: 'cm' })),
  height_cm: optional(
    number({ description: 'height of one as it stands', example: '75', min: 0, max: 1400, unit: 'cm' }),
  ),
  mass_kg: optional(number({ description: 'mass of one', example: '34', min: 0, max: 5000, unit: 'kg' })),
  value: optional(
    number({
      description: 'what one would sell for today: the value customs is told',
      example: '40',
      min: 0,
    }),
  ),
  replacement_value: optional(
    number({
      description: 'what one costs new at the destination: the value to insure',
      example: '110',
      min: 0,
    }),
  ),
  currency: optional(currency('currency of both values; blank: the household currency')),
  acquired_on: optional(date({ description: 'the day it was bought or first used', example: '2021-06-01' })),
  import_on: optional(
    date({
      description:
        'the day it is declared for import, where it comes with another consignment than the main one',
      example: '2027-06-10',
    }),
  ),
  consignment: optional(
    text({
      description: 'the consignment of consignments.csv it goes with; blank: the container',
      example: 'air',
    }),
  ),
  owner: optional(
    text({ description: 'whose it is: a person of people.csv; blank: the first person', example: 'A' }),
  ),
  held: optional(oneOf(HELD, { description: 'how it is held; blank: own', example: 'own' })),
  class: optional(
    text({
      description: 'goods class of data/reference/customs/classes.csv; blank: that of the item_code',
      example: 'ceramics',
    }),
  ),
  material: someOf(
    [
      'wood',
      'raw-wood',
      'leather',
      'fur',
      'ivory',
      'shell',
      'coral',
      'cane',
      'straw',
      'soil',
      'feather',
      'rosewood',
    ],
    {
      description: 'materials that plant, animal or species law asks about',
      example: 'wood',
    },
  ),
  packing: optional(
    text({
      description:
        'none, wrapped, crated, or the carton of data/reference/cartons.csv it goes into; blank: that of the item_code',
      example: 'dish-pack',
    }),
  ),
  handling: someOf(HANDLING, { description: 'how it must be handled', example: 'fragile|upright' }),
  take: optional(
    oneOf(['ship', 'leave', 'carry'], {
      description: 'goes into the container, stays behind, or travels with the person; blank: ship',
      example: 'ship',
    }),
  ),
  must_travel: optional(
    yesNo({ description: 'not to be left, whatever it costs to ship; blank: no', example: '' }),
  ),
  serial: optional(text({ description: 'serial number, for the customs list', example: '' })),
  condition: optional(
    oneOf(['new', 'good', 'worn', 'damaged'], {
      description: 'condition, for the customs list',
      example: 'good',
    }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
})

/** vehicles.csv */
export const vehicleColumns = z.object({
  vehicle: mark({ description: 'a short mark', example: 'V-01' }),
  label: text({ description: 'what it is', example: 'Family hatchback' }),
  kind: oneOf(['car', 'motorcycle', 'trailer', 'boat'], { description: 'kind of vehicle', example: 'car' }),
  class: optional(
    text({
      description: 'row of data/reference/vehicle-classes.csv that gives size and mass',
      example: 'compact',
    }),
  ),
  length_mm: optional(number({ description: 'length', example: '4350', min: 500, max: 15000, unit: 'mm' })),
  width_mm: optional(
    number({ description: 'width without mirrors', example: '1800', min: 300, max: 3500, unit: 'mm' }),
  ),
  height_mm: optional(
    number({ description: 'height with aerial and rails', example: '1460', min: 500, max: 4500, unit: 'mm' }),
  ),
  mass_kg: optional(
    number({
      description: 'kerb mass with the fluids left in',
      example: '1350',
      min: 20,
      max: 10000,
      unit: 'kg',
    }),
  ),
  powertrain: oneOf(['petrol', 'diesel', 'hybrid', 'electric', 'none'], {
    description: 'what drives it',
    example: 'petrol',
  }),
  steering: optional(
    oneOf(['left', 'right'], { description: 'side of the steering wheel', example: 'left' }),
  ),
  value: number({ description: 'what it would sell for today', example: '9500', min: 0 }),
  replacement_value: number({
    description: 'replacement cost: what one like it costs at the destination',
    example: '12500',
    min: 0,
  }),
  currency: optional(currency('currency of both values; blank: the household currency')),
  acquired_on: date({ description: 'the day it was bought', example: '2022-05-14' }),
  made_on: optional(date({ description: 'the day it was made or first registered', example: '2018-03-01' })),
  euro_class: optional(
    count({ description: 'number of its Euro emission class', example: '6', min: 0, max: 9 }),
  ),
  owner: optional(
    text({ description: 'whose it is: a person of people.csv; blank: the first person', example: 'A' }),
  ),
  held: optional(oneOf(HELD, { description: 'how it is held; blank: own', example: 'own' })),
  deck: yesNo({ description: 'is a deck built over it for light cartons', example: 'yes' }),
  take: oneOf(['ship', 'leave'], { description: 'goes into the container or stays', example: 'ship' }),
  must_travel: optional(
    yesNo({ description: 'not to be left, whatever it costs to ship; blank: no', example: '' }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
})

/** services.csv: who does each service when service_level is `own`, and prices already quoted. */
export const serviceColumns = z.object({
  service: mark({ description: 'a service of data/reference/services.csv', example: 'packing' }),
  provider: oneOf(PROVIDERS, { description: 'who does it', example: 'self' }),
  friends: optional(
    count({
      description: 'friends who help with this job, where they do it; blank: 3',
      example: '4',
      min: 1,
    }),
  ),
  hired: optional(
    count({ description: 'hands hired by the day for it, where they do it; blank: 3', example: '2', min: 1 }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
})

/** rates.csv: the household's own figures, instead of the reference ones. */
export const rateColumns = z.object({
  id: mark({
    description: 'the input this figure replaces (quaybook compare --inputs lists them)',
    example: 'price.freight.45G1',
  }),
  low: optional(number({ description: 'the least it may be', example: '3400' })),
  likely: number({ description: 'what it most likely is', example: '3700' }),
  high: optional(number({ description: 'the most it may be', example: '4000' })),
  currency: optional(currency('currency of an amount of money; blank: the household currency')),
  source: optional(
    text({ description: 'where the figure comes from', example: 'carrier quote of 3 November' }),
  ),
})

/** exchange.csv: dated exchange rates. */
export const exchangeColumns = z.object({
  from: currency('one unit of this currency'),
  to: currency('is worth so many of this'),
  rate: number({ description: 'units of the second for one of the first', example: '0.0861', min: 0.000001 }),
  on: date({ description: 'the day the rate stood', example: '2026-11-20' }),
  source: optional(text({ description: 'whose rate', example: 'central bank reference rate' })),
})

/** consignments.csv: what goes apart from the container, with a day and a carriage of its own. */
export const consignmentColumns = z.object({
  consignment: mark({ description: 'a short mark, as the inventory names it', example: 'air' }),
  by: oneOf(['air', 'sea', 'road', 'parcel', 'baggage'], { description: 'how it goes', example: 'air' }),
  import_on: date({ description: 'the day it is declared for import', example: '2027-03-20' }),
  freight: number({
    description: 'what carrying it to the place of entry costs, customs value or not',
    example: '640',
    min: 0,
  }),
  insurance: optional(
    number({ description: 'what its own cover costs; blank: none', example: '45', min: 0 }),
  ),
  inland: optional(
    number({
      description: 'what bringing it from there to the door costs; blank: nothing',
      example: '80',
      min: 0,
    }),
  ),
  currency: optional(currency('currency of the three; blank: the household currency')),
  note: optional(text({ description: 'anything else', example: 'two crates, 90 kg chargeable' })),
})

/** quotes.csv: movers' quotes, a row a price. A price for several services together names them all. */
export const quoteColumns = z.object({
  quote: mark({ description: 'a short mark for the quote', example: 'Q1' }),
  volume_m3: number({
    description: 'the volume the quote is made for; the same in all its rows',
    example: '46',
    min: 0.1,
    max: 1000,
    unit: 'm3',
  }),
  services: text({
    description: 'the services the price is for: rows of data/reference/services.csv, separated by |',
    example: 'packing|materials',
  }),
  price: number({ description: 'the price', example: '2400', min: 0 }),
  currency: optional(currency('currency of the price; blank: the household currency')),
  note: optional(
    text({
      description: 'what the quote says in small print',
      example: 'stairs above the first floor extra',
    }),
  ),
})

export type HouseholdFacts = z.output<typeof householdFacts>
export type Person = z.output<typeof personColumns>
/** A line of the inventory as plans read it: what its row leaves to the item table is filled in. */
export type InventoryLine = z.output<typeof inventoryColumns> & {
  readonly class: string
  readonly packing: string
  readonly take: 'ship' | 'leave' | 'carry'
}
export type Vehicle = z.output<typeof vehicleColumns>
