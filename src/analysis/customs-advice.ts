import type { Decimal } from 'decimal.js'
import { type ShipOrLeave, shipOrLeave } from '../customs/charges/ship-or-leave.js'
import { type WhatIf, whatWouldChange } from '../customs/charges/what-if.js'
import { type DocumentDue, documentsDue } from '../customs/papers/documents.js'
import {
  type CustomsList,
  customsList,
  type ValueCheck,
  valueCheck,
} from '../customs/papers/inventory-list.js'
import { type RestrictionHit, restrictions } from '../customs/papers/restrictions.js'
import { type ReliefCell, reliefMatrix } from '../customs/relief/matrix.js'
import { customsCarriage } from '../plan/customs-cells.js'
import type { Move, Plan } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import type { InventoryLine } from '../tables/household-columns.js'

/** What a household can do about customs under one plan: what would change the charges, and what to have in hand. */
export interface CustomsAdvice {
  /** Undefined where the tables cannot tell how the destination charges. */
  readonly whatIf: WhatIf | undefined
  readonly shipOrLeave: readonly ShipOrLeave[]
  readonly restrictions: readonly RestrictionHit[]
  readonly documents: readonly DocumentDue[]
  readonly matrix: readonly ReliefCell[]
  readonly values: ValueCheck
  readonly list: CustomsList
}

/**
 * Asks the customs tables about a plan. Freight of a line is its share by net volume, because space is what the
 * freight pays for; what the like costs at the destination is the replacement value of the inventory.
 *
 * @param packageOf marks of the cartons a line is in, for the customs list; left out: what it is packed in
 */
export function customsAdvice(
  move: Move,
  plan: Plan,
  packageOf?: (line: InventoryLine) => string | undefined,
): CustomsAdvice {
  const { customs, cells } = plan.sheet
  const tables = move.reference.customs
  const carriage = customsCarriage(cells)
  const counting = plan.inputs.choices.get('relief-counting')?.value === 'included' ? 'included' : 'excluded'
  const value = (id: string): Decimal => cells.get(id)?.value ?? exact.of(0)
  const net = value('volume.net')
  const freightOf = (line: string): Decimal =>
    carriage && !net.isZero()
      ? carriage.freight.times(value(`volume.line.${line}.net`)).div(net)
      : exact.of(0)
  const shipped = move.household.inventory
    .filter((line) => plan.inputs.choices.get(`take.${line.line}`)?.value === 'ship')
    .map((line) => ({ ...line, take: 'ship' as const }))
  const on = plan.inputs.choices.get('import-on')?.value ?? move.household.facts.import_on
  return {
    whatIf: carriage && whatWouldChange(tables, customs.move, carriage, counting),
    shipOrLeave: carriage
      ? shipOrLeave(tables, customs.move, carriage, freightOf, replacementOf(move, plan), counting)
      : [],
    restrictions: restrictions(tables, customs.move),
    documents: documentsDue(tables, customs.move, move.household.facts.as_of),
    matrix: reliefMatrix(tables, customs.move),
    values: valueCheck(tables, shipped, on),
    list: customsList(tables, [...shipped, ...vehicleLines(move, plan)], {
      ...(packageOf ? { packageOf } : {}),
      currency: move.household.facts.currency,
      on,
      massKgOf: (line) => {
        if (line.mass_kg) return line.mass_kg
        const quantity = value(`line.${line.line}.quantity`)
        return quantity.isZero() ? undefined : value(`mass.line.${line.line}`).div(quantity)
      },
    }),
  }
}

/** The vehicles shipped, as lines of the customs list. */
function vehicleLines(move: Move, plan: Plan): InventoryLine[] {
  return move.household.vehicles
    .filter((v) => plan.inputs.choices.get(`take.${v.vehicle}`)?.value === 'ship')
    .map((v) => ({
      line: v.vehicle,
      room: '',
      item: v.label,
      quantity: exact.of(1),
      mass_kg: plan.inputs.numbers.get(`vehicle.${v.vehicle}.mass`)?.likely,
      value: v.value,
      currency: v.currency,
      acquired_on: v.acquired_on,
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
      condition: undefined,
      note: v.note,
    }))
}

/** What the like of a line costs at the destination, in the household's currency; undefined where nobody said. */
function replacementOf(move: Move, plan: Plan): (id: string) => Decimal | undefined {
  const { facts, exchange, inventory, vehicles } = move.household
  const input = (id: string) => plan.inputs.numbers.get(id)?.likely
  const rate = (currency: string | undefined) =>
    currency === undefined || currency === facts.currency
      ? exact.of(1)
      : exchange.find((x) => x.from === currency && x.to === facts.currency)?.rate
  return (id) => {
    const line = inventory.find((each) => each.line === id)
    const vehicle = vehicles.find((each) => each.vehicle === id)
    if (line && line.replacement_value === undefined) return undefined
    const each = line ? input(`line.${id}.replacement-value`) : input(`vehicle.${id}.replacement-value`)
    const count = line ? input(`line.${id}.quantity`) : exact.of(1)
    const inHousehold = rate((line ?? vehicle)?.currency)
    return each && count && inHousehold && each.times(count).times(inHousehold)
  }
}
