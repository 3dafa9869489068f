import type { Decimal } from 'decimal.js'
import { type EarlySale, earlySales } from '../customs/charges/disposal.js'
import type { CarriageAmounts } from '../customs/charges/importer.js'
import { type ShipOrLeave, shipOrLeave } from '../customs/charges/ship-or-leave.js'
import { type WhatIf, whatWouldChange } from '../customs/charges/what-if.js'
import type { DutyLine } from '../customs/move.js'
import { type DocumentDue, documentsDue } from '../customs/papers/documents.js'
import {
  type CustomsList,
  customsList,
  type ValueCheck,
  valueCheck,
} from '../customs/papers/inventory-list.js'
import { type RestrictionHit, restrictions } from '../customs/papers/restrictions.js'
import { type ReliefCell, reliefMatrix } from '../customs/relief/matrix.js'
import { customsCarriage } from '../plan/customs/carriage.js'
import type { Move, Plan } from '../plan/move.js'
import { inHouseholdCurrency } from '../plan/shipment.js'
import { exact } from '../quantity/exact.js'
import type { InventoryLine } from '../tables/household-columns.js'

/** What a household can do about customs under one plan: what would change the charges, and what to have in hand. */
export interface CustomsAdvice {
  /** Undefined where the tables cannot tell how the destination charges. */
  readonly whatIf: WhatIf | undefined
  readonly shipOrLeave: readonly ShipOrLeave[]
  /** What a relieved thing costs that is sold, lent or hired out too early; dearest first. */
  readonly earlySales: readonly EarlySale[]
  readonly restrictions: readonly RestrictionHit[]
  readonly documents: readonly DocumentDue[]
  readonly matrix: readonly ReliefCell[]
  readonly values: ValueCheck
  readonly list: CustomsList
}

/**
 * Asks the customs tables about a plan. Freight of a line is its share by volume, vehicles by their outside measures,
 * because space is what the freight pays for; what replacing it costs at the destination is the replacement value of the inventory.
 *
 * @param loadedShare share of a line that was really loaded, where not all of it was: the list holds that much of it
 * @param packageOf marks of the cartons a line is in, for the customs list; left out: what it is packed in
 */
export function customsAdvice(
  move: Move,
  plan: Plan,
  packageOf?: (line: InventoryLine) => string | undefined,
  loadedShare: ReadonlyMap<string, number> = new Map(),
): CustomsAdvice {
  const { customs, cells } = plan.sheet
  const tables = move.reference.customs
  const carriage = customsCarriage(cells)
  const counting = plan.inputs.choices.get('relief-counting')?.value === 'included' ? 'included' : 'excluded'
  const value = (id: string): Decimal => cells.get(id)?.value ?? exact.of(0)
  const vehicles = new Map(plan.shipment.vehicles.map(({ vehicle }) => [vehicle, outsideM3(plan, vehicle)]))
  const all = exact.sum([value('volume.net'), ...vehicles.values()])
  const apart = new Map(customs.move.lines.flatMap((line) => (line.consignment ? [[line.id, line]] : [])))
  const freightOf = (line: string): Decimal => {
    const own = apart.get(line)
    if (own) return shareOfConsignment(own, [...apart.values()], carriage)
    return carriage && !all.isZero()
      ? carriage.freight.times(vehicles.get(line) ?? value(`volume.line.${line}.net`)).div(all)
      : exact.of(0)
  }
  const { facts } = plan.household
  const shipped = [...plan.shipment.lines, ...plan.shipment.apart]
  const on = facts.import_on
  return {
    whatIf: carriage && whatWouldChange(tables, customs.move, carriage, counting),
    shipOrLeave: carriage
      ? shipOrLeave(tables, customs.move, carriage, freightOf, replacementOf(plan), counting)
      : [],
    earlySales: carriage ? earlySales(tables, customs.move, customs.assessments, carriage.exchange) : [],
    restrictions: restrictions(tables, customs.move),
    documents: documentsDue(tables, customs.move, facts.as_of),
    matrix: reliefMatrix(tables, customs.move),
    values: valueCheck(tables, shipped, on),
    list: customsList(tables, [...reallyLoaded(shipped, loadedShare), ...vehicleLines(plan)], {
      ...(packageOf ? { packageOf } : {}),
      currency: facts.currency,
      on,
      massKgOf: (line) => {
        if (line.mass_kg) return line.mass_kg
        const quantity = value(`line.${line.line}.quantity`)
        return quantity.isZero() ? undefined : value(`mass.line.${line.line}`).div(quantity)
      },
    }),
  }
}

/** A line's part of its consignment's own freight, by value: its volume is in no plan. */
function shareOfConsignment(
  line: DutyLine,
  apart: readonly DutyLine[],
  carriage: CarriageAmounts | undefined,
): Decimal {
  const own = carriage?.consignments?.get(line.consignment ?? '')
  const same = apart.filter(({ consignment }) => consignment === line.consignment)
  const whole = exact.sum(same.map(({ value }) => value ?? exact.of(0)))
  return own && line.value && !whole.isZero() ? own.freight.times(line.value).div(whole) : exact.of(0)
}

/** Lines with the quantity that was loaded, in thousandths of a piece; a line that stayed whole is dropped. */
function reallyLoaded(
  lines: readonly InventoryLine[],
  loadedShare: ReadonlyMap<string, number>,
): InventoryLine[] {
  return lines.flatMap((line) => {
    const share = loadedShare.get(line.line)
    if (share === undefined) return [line]
    const quantity = exact.round(line.quantity.times(share), 3)
    return quantity.isZero() ? [] : [{ ...line, quantity }]
  })
}

/** Space a vehicle takes, by its outside measures, m³. */
function outsideM3(plan: Plan, vehicle: string): Decimal {
  const mm = (side: string) => plan.inputs.numbers.get(`vehicle.${vehicle}.${side}`)?.likely ?? exact.of(0)
  return mm('length').times(mm('width')).times(mm('height')).div(1e9)
}

/** The vehicles shipped, as lines of the customs list. */
function vehicleLines(plan: Plan): InventoryLine[] {
  return plan.shipment.vehicles.map((v) => ({
    line: v.vehicle,
    room: '',
    item: v.label,
    quantity: exact.of(1),
    mass_kg: v.mass_kg,
    value: v.value,
    currency: v.currency,
    acquired_on: v.acquired_on,
    import_on: undefined,
    consignment: undefined,
    class: v.kind,
    packing: 'none',
    take: 'ship',
    material: [],
    handling: [],
    item_code: undefined,
    volume_m3: undefined,
    volume_ft3: undefined,
    length_cm: undefined,
    width_cm: undefined,
    height_cm: undefined,
    replacement_value: v.replacement_value,
    owner: v.owner,
    held: v.held,
    serial: undefined,
    must_travel: v.must_travel,
    condition: undefined,
    note: v.note,
  }))
}

/** What replacing a line costs at the destination, in the household's currency; undefined where nobody said. */
function replacementOf({ inputs, household }: Plan): (id: string) => Decimal | undefined {
  const { facts, inventory, vehicles } = household
  return (id) => {
    const line = inventory.find((each) => each.line === id)
    const vehicle = vehicles.find((each) => each.vehicle === id)
    const all = line ? line.replacement_value?.times(line.quantity) : vehicle?.replacement_value
    return all && inHouseholdCurrency(inputs, facts, all, (line ?? vehicle)?.currency)
  }
}
