import type { Decimal } from 'decimal.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import type { Household } from '../tables/household.js'
import type { HouseholdFacts } from '../tables/household-columns.js'
import { layersOf } from './inputs/layered.js'
import type { InputTable } from './inputs.js'

type InventoryLine = Household['inventory'][number]
type Vehicle = Household['vehicles'][number]

/** What goes into the container under one scenario, and what does not. */
export interface Shipment {
  readonly lines: readonly InventoryLine[]
  /** Lines that go with a consignment of their own: imported too, and not in the container. */
  readonly apart: readonly InventoryLine[]
  readonly vehicles: readonly Vehicle[]
  /** Lines and vehicles that stay behind or go as baggage. */
  readonly left: { readonly lines: readonly InventoryLine[]; readonly vehicles: readonly Vehicle[] }
}

/**
 * A household as one scenario has it: its files with every change of the scenario in them. Each step of the plan and
 * every page reads this and never the files themselves, so that a change reaches all of them.
 */
export const asChanged = (inputs: InputTable, household: Household): Household => ({
  ...household,
  facts: factsAsChanged(inputs, household.facts),
  inventory: inventoryAsChanged(inputs, household.inventory),
  vehicles: household.vehicles.map((vehicle) => vehicleAsChanged(inputs, vehicle)),
  exchange: household.exchange.map((row) => {
    const rate = inputs.numbers.get(`exchange.${row.from}`)?.likely
    return rate && row.to === household.facts.currency ? { ...row, rate } : row
  }),
})

/** What travels of a household and what does not: of one inventory, always the same lists. */
export function shipmentOf({ inventory, vehicles }: Pick<Household, 'inventory' | 'vehicles'>): Shipment {
  const ships = ({ take }: { readonly take: string }) => take === 'ship'
  const stays = ({ take }: { readonly take: string }) => take !== 'ship'
  const alone = ({ consignment }: InventoryLine) => consignment !== undefined
  const lists = sorted.get(inventory) ?? {
    lines: inventory.filter((line) => ships(line) && !alone(line)),
    apart: inventory.filter((line) => ships(line) && alone(line)),
    left: inventory.filter(stays),
  }
  sorted.set(inventory, lists)
  return {
    lines: lists.lines,
    apart: lists.apart,
    vehicles: vehicles.filter(ships),
    left: { lines: lists.left, vehicles: vehicles.filter(stays) },
  }
}

const sorted = new WeakMap<
  Household['inventory'],
  Record<'lines' | 'apart' | 'left', readonly InventoryLine[]>
>()

/**
 * An amount in the household's currency, at the rate this scenario has.
 *
 * @returns undefined where no rate is given
 */
export function inHouseholdCurrency(
  inputs: InputTable,
  facts: Pick<HouseholdFacts, 'currency'>,
  amount: Decimal,
  currency: string | undefined,
): Decimal | undefined {
  if (currency === undefined || currency === facts.currency) return amount
  const rate = inputs.numbers.get(`exchange.${currency}`)?.likely
  return rate && amount.times(rate)
}

/** A field as the input of this id has it; as the file has it where there is no such input. */
const number = (inputs: InputTable, id: string, given: Decimal | undefined): Decimal | undefined =>
  given === undefined ? undefined : (inputs.numbers.get(id)?.likely ?? given)

/** Inventories by the inputs before any change, by the files' inventory, then by the changes that reach a line. */
const inventories = new WeakMap<
  InputTable['numbers'],
  WeakMap<InputTable['choices'], WeakMap<Household['inventory'], Map<string, Household['inventory']>>>
>()
/** Enough for the scenarios of a page; more would only hold memory. */
const REMEMBERED = 64

/**
 * The lines as the inputs have them. Plans that change the same of them, mostly nothing, get the same list, by which
 * later steps know that their lines are the same.
 */
function inventoryAsChanged(inputs: InputTable, inventory: Household['inventory']): Household['inventory'] {
  const [numbers, choices] = [layersOf(inputs.numbers), layersOf(inputs.choices)]
  const ofNumbers = inventories.get(numbers.below) ?? new WeakMap()
  inventories.set(numbers.below, ofNumbers)
  const ofChoices = ofNumbers.get(choices.below) ?? new WeakMap()
  ofNumbers.set(choices.below, ofChoices)
  const known: Map<string, Household['inventory']> = ofChoices.get(inventory) ?? new Map()
  ofChoices.set(inventory, known)
  const key = JSON.stringify([
    [...numbers.above.values()].filter(({ id }) => id.startsWith('line.')),
    [...choices.above.values()].filter(({ id }) => id.startsWith('take.')),
  ])
  const found = known.get(key) ?? inventory.map((line) => lineAsChanged(inputs, line))
  if (known.size >= REMEMBERED) known.clear()
  known.set(key, found)
  return found
}

function lineAsChanged(inputs: InputTable, line: InventoryLine): InventoryLine {
  const id = `line.${line.line}`
  const of = (name: string, given: Decimal | undefined) => number(inputs, `${id}.${name}`, given)
  const value = inputs.numbers.get(`${id}.value`)
  const replacement = inputs.numbers.get(`${id}.replacement-value`)
  return {
    ...line,
    quantity: of('quantity', line.quantity) ?? line.quantity,
    volume_m3: of('volume', line.volume_m3),
    volume_ft3: of('volume', line.volume_ft3),
    length_cm: of('length', line.length_cm),
    width_cm: of('width', line.width_cm),
    height_cm: of('height', line.height_cm),
    mass_kg: of('mass', line.mass_kg),
    // A value that nobody stated stays unstated until a scenario states one.
    value: stated(line.value, value),
    replacement_value: stated(line.replacement_value, replacement),
    take: (inputs.choices.get(`take.${line.line}`)?.value ?? line.take) as InventoryLine['take'],
  }
}

const stated = (given: Decimal | undefined, now: NumberInput | undefined): Decimal | undefined =>
  given === undefined && now?.source === 'inventory.csv' ? undefined : now?.likely

function vehicleAsChanged(inputs: InputTable, vehicle: Vehicle): Vehicle {
  const id = `vehicle.${vehicle.vehicle}`
  const of = (name: string) => inputs.numbers.get(`${id}.${name}`)?.likely
  const word = (choice: string) => inputs.choices.get(`${choice}.${vehicle.vehicle}`)?.value
  return {
    ...vehicle,
    length_mm: of('length') ?? vehicle.length_mm,
    width_mm: of('width') ?? vehicle.width_mm,
    height_mm: of('height') ?? vehicle.height_mm,
    mass_kg: of('mass') ?? vehicle.mass_kg,
    value: of('value') ?? vehicle.value,
    replacement_value: of('replacement-value') ?? vehicle.replacement_value,
    take: (word('take') ?? vehicle.take) as Vehicle['take'],
    deck: (word('deck') ?? (vehicle.deck ? 'yes' : 'no')) === 'yes',
  }
}

function factsAsChanged(inputs: InputTable, facts: HouseholdFacts): HouseholdFacts {
  const of = (id: string, given: Decimal) => inputs.numbers.get(id)?.likely ?? given
  const word = (id: string, given: string) => inputs.choices.get(id)?.value ?? given
  const yes = (id: string, given: boolean) => word(id, given ? 'yes' : 'no') === 'yes'
  return {
    ...facts,
    load_on: word('load-on', facts.load_on),
    import_on: word('import-on', facts.import_on),
    transport: word('transport', facts.transport) as HouseholdFacts['transport'],
    service_level: word('service-level', facts.service_level) as HouseholdFacts['service_level'],
    cover: word('cover', facts.cover) as HouseholdFacts['cover'],
    pallets: yes('pallets', facts.pallets),
    origin_lift: yes('origin.lift', facts.origin_lift),
    destination_lift: yes('destination.lift', facts.destination_lift),
    origin_floor: of('origin.floor', facts.origin_floor),
    origin_carry_m: of('origin.carry-m', facts.origin_carry_m),
    destination_floor: of('destination.floor', facts.destination_floor),
    destination_carry_m: of('destination.carry-m', facts.destination_carry_m),
    own_people: of('own.people', facts.own_people),
    own_hour_value: of('own.hour-value', facts.own_hour_value),
    storage_months: of('storage.months', facts.storage_months),
    delay_days: of('delay.days', facts.delay_days),
    loss_tolerance: of('loss.tolerance', facts.loss_tolerance),
  }
}
