import type { Decimal } from 'decimal.js'
import type { Move, Plan } from '../plan/move.js'
import type { PlanContext } from '../plan/plan-context.js'
import { choicesOf } from '../plan/providers.js'
import { UnusableInput } from '../plan/refusal.js'
import { roomId } from '../plan/rooms.js'
import { M3_PER_FT3 } from '../quantity/units.js'
import {
  type CartonKind,
  cartonPieces,
  type Figures,
  type Goods,
  goodsPieces,
  type LoadPiece,
  type LoadVehicle,
  type Sides,
  type UsualItem,
} from '../stowage/pieces/index.js'
import type { InventoryLine } from '../tables/household-columns.js'
import type { Carton } from '../tables/reference.js'
import { type CartonGroup, cartonList, type NumberedCarton } from '../volume/carton-list.js'

/** Everything of a plan that goes into a container. */
export interface Load {
  readonly pieces: readonly LoadPiece[]
  readonly cartons: readonly NumberedCarton[]
  readonly vehicles: readonly LoadVehicle[]
}

/** The rows of data/reference/stowage.csv by id. */
export function stowageFigures(move: Move): Figures {
  const byId = new Map(move.reference.stowage.map((row) => [row.id, row.value.toNumber()]))
  return (id) => byId.get(id)
}

/**
 * The cartons of loose goods of a plan, numbered: as many of each size in each room as the plan's cells
 * `cartons.<room>.<carton>` say.
 */
export function numberedCartons(move: Move, plan: Plan): NumberedCarton[] {
  const context = choicesOf(move, plan)
  return cartonList(
    cartonGroups(context, plan),
    plan.household.inventory.map((line) => line.line),
  )
}

/** The pieces, cartons and vehicles of a plan. Throws one sentence where a reference row they need is missing. */
export function loadOf(move: Move, plan: Plan): Load {
  const context = choicesOf(move, plan)
  const figures = stowageFigures(move)
  const cartons = numberedCartons(move, plan)
  const packingShare = context.ledger.input('mass.packing-share').toNumber()
  const kinds = move.reference.cartons.map(kindOf)
  const single = context.shipment.lines.flatMap((line) => {
    const carton = move.reference.cartons.find((c) => c.id === line.packing)
    return carton?.holds === 'loose' ? [] : [goodsOf(context, plan, line, carton, packingShare)]
  })
  return {
    cartons,
    pieces: [...goodsPieces(single, figures), ...cartonPieces(cartons, kinds, packingShare, figures)],
    vehicles: vehiclesOf(context),
  }
}

function cartonGroups(context: PlanContext<Decimal>, plan: Plan): CartonGroup[] {
  const groups = new Map<string, { carton: Carton; room: string; lines: InventoryLine[] }>()
  for (const line of context.shipment.lines) {
    const carton = context.reference.cartons.find((c) => c.id === line.packing)
    if (carton?.holds !== 'loose') continue
    const id = `${roomId(context.household, line.room)}.${carton.id}`
    const group = groups.get(id) ?? { carton, room: line.room, lines: [] }
    groups.set(id, group)
    group.lines.push(line)
  }
  return [...groups].map(([id, { carton, room, lines }]) => ({
    room,
    carton: carton.id,
    label: carton.label,
    count: cellOf(plan, `cartons.${id}`),
    contentLimitKg: context.ledger.input(`carton.${carton.id}.limit`).toNumber(),
    goods: lines.map((line) => ({
      line: line.line,
      item: line.item,
      quantity: context.ledger.input(`line.${line.line}.quantity`).toNumber(),
      volumeM3: cellOf(plan, `volume.line.${line.line}.net`),
      massKg: cellOf(plan, `mass.line.${line.line}`),
      value: replacementValue(context, line) * context.ledger.input(`line.${line.line}.quantity`).toNumber(),
      fragile: line.handling.includes('fragile'),
      firstNeeded: line.handling.includes('first-needed'),
    })),
  }))
}

function cellOf(plan: Plan, id: string): number {
  const cell = plan.sheet.cells.get(id)
  if (!cell) throw new UnusableInput(`unknown cell "${id}" in scenario "${plan.name}"`)
  return cell.value.toNumber()
}

/** What one piece costs to replace, in the household's currency: what leaving it behind would cost. */
const replacementValue = ({ ledger }: PlanContext<Decimal>, line: InventoryLine): number =>
  ledger.money(`line.${line.line}.replacement-value`).toNumber()

function goodsOf(
  context: PlanContext<Decimal>,
  plan: Plan,
  line: InventoryLine,
  carton: Carton | undefined,
  packingShare: number,
): Goods {
  const { ledger, reference } = context
  const quantity = ledger.input(`line.${line.line}.quantity`).toNumber()
  const one = (id: string): number => (quantity === 0 ? 0 : cellOf(plan, id) / quantity)
  const row = reference.items.find((i) => i.id === line.item_code)
  const side = (name: 'length' | 'width' | 'height'): number =>
    ledger.has(`line.${line.line}.${name}`) ? ledger.input(`line.${line.line}.${name}`).toNumber() * 10 : 0
  const sides: Sides = [side('length'), side('width'), side('height')]
  const usual: UsualItem | undefined = row && {
    code: row.id,
    sides: [row.length_cm.toNumber() * 10, row.width_cm.toNumber() * 10, row.height_cm.toNumber() * 10],
    cubeM3: row.ft3.times(M3_PER_FT3).toNumber(),
    staysUpright: row.upright === 'yes',
    bears: row.stack as UsualItem['bears'],
    flat: row.flat === '1',
  }
  const packing = carton
    ? kindOf(carton)
    : line.packing === 'crated' || line.packing === 'wrapped'
      ? line.packing
      : 'none'
  return {
    line: line.line,
    room: line.room,
    item: line.item,
    quantity,
    ...(sides.every((mm) => mm > 0) ? { sides } : {}),
    ...(usual === undefined ? {} : { usual }),
    volumeM3: one(`volume.line.${line.line}.net`),
    volumeStated: line.volume_m3 !== undefined || line.volume_ft3 !== undefined,
    massKg: one(`mass.line.${line.line}`) * (1 + packingShare),
    value: replacementValue(context, line),
    goodsClass: line.class,
    packing,
    handling: line.handling as Goods['handling'],
  }
}

function kindOf(c: Carton): CartonKind {
  const edge = Math.cbrt(c.ft3.times(M3_PER_FT3).toNumber()) * 1000
  const mm = (cm: Decimal | undefined): number => (cm === undefined ? edge : cm.toNumber() * 10)
  return { id: c.id, label: c.label, sides: [mm(c.length_cm), mm(c.width_cm), mm(c.height_cm)] }
}

function vehiclesOf(context: PlanContext<Decimal>): LoadVehicle[] {
  const { ledger } = context
  return context.shipment.vehicles.map((v) => {
    const of = (name: string): number => ledger.input(`vehicle.${v.vehicle}.${name}`).toNumber()
    return {
      id: v.vehicle,
      label: v.label,
      kind: v.kind as LoadVehicle['kind'],
      lengthMm: of('length'),
      widthMm: of('width'),
      heightMm: of('height'),
      massKg: of('mass'),
      deck: ledger.choice(`deck.${v.vehicle}`) === 'yes',
    }
  })
}
