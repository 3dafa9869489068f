import { z } from 'zod'
import { count, date, mark, number, oneOf, optional, someOf, text, yesNo } from '../fields.js'
import { currency } from './money-and-places.js'

/** How a thing came into the household, as far as customs cares. */
export const HELD = ['own', 'business', 'leased', 'tax-free', 'gift', 'inherited'] as const

export const HANDLING = ['fragile', 'top-only', 'upright', 'floor-only', 'first-needed'] as const

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

/** A line of the inventory as plans read it: what its row leaves to the item table is filled in. */
export type InventoryLine = z.output<typeof inventoryColumns> & {
  readonly class: string
  readonly packing: string
  readonly take: 'ship' | 'leave' | 'carry'
}
export type Vehicle = z.output<typeof vehicleColumns>
