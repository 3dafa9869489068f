import type { Decimal } from 'decimal.js'
import type { IsoDate } from '../tables/fields.js'
import type { HouseholdFacts, InventoryLine, Person, Status, Vehicle } from '../tables/household-columns.js'
import type { Kind } from './shared-columns.js'

/** A person as customs sees one: the row of people.csv, and what else a law may ask. */
export interface DutyPerson
  extends Pick<Person, 'person' | 'adult' | 'abroad_since' | 'leaves_on' | 'arrives_on'> {
  readonly status: Status
  /** Further grounds for relief: a returning citizen may marry, or inherit. */
  readonly also?: readonly Status[]
  readonly first_arrival_on?: IsoDate | undefined
  readonly permit_months?: number | 'no end' | undefined
  readonly nationality?: string | undefined
  readonly relief_used_on?: IsoDate | undefined
  readonly lived_there_before?: boolean | undefined
  readonly married_on?: IsoDate | undefined
  readonly inherited_on?: IsoDate | undefined
  /** Family or work ties on both sides, so that the normal residence is a question. */
  readonly tiesOnBothSides?: boolean
}

/** A thing as customs sees it: a line of the inventory, or a vehicle. */
export interface DutyLine {
  readonly id: string
  readonly label: string
  readonly kind: Kind
  readonly class: string
  readonly quantity: number
  /** What all the pieces of the line would sell for, in the household's currency; blank: not stated. */
  readonly value?: Decimal | undefined
  readonly owner?: string | undefined
  readonly held: 'own' | 'business' | 'leased' | 'tax-free' | 'gift' | 'inherited'
  readonly acquiredOn?: IsoDate | undefined
  readonly condition?: 'new' | 'good' | 'worn' | 'damaged' | undefined
  readonly materials?: readonly string[]
  readonly text?: string
  readonly madeOn?: IsoDate | undefined
  readonly steering?: 'left' | 'right' | undefined
  /** Number of the Euro emission class of a vehicle. */
  readonly euroClass?: number | undefined
  readonly lengthM?: number | undefined
  /** Periods of use abroad, where they differ from ownership up to leaving. */
  readonly used?: readonly { readonly from: IsoDate; readonly until: IsoDate }[]
  /** The consignment it goes with, if not the main one. */
  readonly consignment?: string | undefined
  /** The day a later consignment is declared, if not the day of the move. */
  readonly importOn?: IsoDate | undefined
  /** Left off the list given to customs at first arrival. */
  readonly notListed?: boolean
}

/** All that the tests for relief need to know of a move. */
export interface DutyMove {
  readonly origin: string
  readonly destination: string
  readonly transit?: readonly string[]
  /** The day the list of goods was made: what is on it without a day of purchase is theirs by then. */
  readonly listedOn?: IsoDate | undefined
  readonly loadOn: IsoDate
  readonly importOn: IsoDate
  readonly people: readonly DutyPerson[]
  readonly lines: readonly DutyLine[]
}

/** The money of other currencies in the household's, at a dated rate the caller has. */
export type InHouseholdCurrency = (amount: Decimal, currency: string | undefined) => Decimal

/**
 * The move as customs sees it, from the household's files. Lines that stay behind or travel with a person are
 * left out: the first are not imported, the second are baggage with allowances of its own.
 */
export function dutyMove(
  facts: Pick<HouseholdFacts, 'origin_country' | 'destination_country' | 'as_of' | 'load_on' | 'import_on'>,
  people: readonly Person[],
  inventory: readonly InventoryLine[],
  vehicles: readonly Vehicle[],
  inHouseholdCurrency: InHouseholdCurrency = (amount) => amount,
): DutyMove {
  return {
    origin: facts.origin_country,
    destination: facts.destination_country,
    listedOn: facts.as_of,
    loadOn: facts.load_on,
    importOn: facts.import_on,
    people,
    lines: [
      ...inventory.filter((line) => line.take === 'ship').map((line) => goodsLine(line, inHouseholdCurrency)),
      ...vehicles
        .filter((vehicle) => vehicle.take === 'ship')
        .map((v) => vehicleLine(v, inHouseholdCurrency)),
    ],
  }
}

/** A line of inventory.csv as customs sees it; its value is that of all pieces together. */
export function goodsLine(
  line: InventoryLine,
  inHouseholdCurrency: InHouseholdCurrency = (a) => a,
): DutyLine {
  return {
    id: line.line,
    label: line.item,
    kind: 'goods',
    class: line.class,
    quantity: line.quantity.toNumber(),
    value: line.value && inHouseholdCurrency(line.value.times(line.quantity), line.currency),
    owner: line.owner,
    held: line.held ?? 'own',
    acquiredOn: line.acquired_on,
    ...(line.consignment !== undefined && { consignment: line.consignment }),
    importOn: line.import_on,
    condition: line.condition,
    materials: line.material,
    text: `${line.item} ${line.note ?? ''}`,
  }
}

/** A row of vehicles.csv as customs sees it; its class is its kind. */
export function vehicleLine(vehicle: Vehicle, inHouseholdCurrency: InHouseholdCurrency = (a) => a): DutyLine {
  return {
    id: vehicle.vehicle,
    label: vehicle.label,
    kind: vehicle.kind,
    class: vehicle.kind,
    quantity: 1,
    value: inHouseholdCurrency(vehicle.value, vehicle.currency),
    owner: vehicle.owner,
    held: vehicle.held ?? 'own',
    acquiredOn: vehicle.acquired_on,
    text: `${vehicle.label} ${vehicle.powertrain === 'electric' ? 'electric vehicle' : ''} ${vehicle.note ?? ''}`,
    madeOn: vehicle.made_on,
    steering: vehicle.steering,
    euroClass: vehicle.euro_class,
    lengthM: vehicle.length_mm && vehicle.length_mm.toNumber() / 1000,
  }
}
