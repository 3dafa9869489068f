import type { Decimal } from 'decimal.js'
import type { Move, Plan } from '../plan/move.js'
import { choicesOf } from '../plan/providers.js'
import { containerPayloadKg } from '../plan/transport-options.js'
import type { Hold } from '../stowage/packing/index.js'
import type { VehicleClearance } from '../stowage/pieces/index.js'

/** A container with the figures a load plan and a verified gross mass need beside its inside. */
export interface LoadHold extends Hold {
  readonly label: string
  readonly tareKg: number
  readonly maxGrossKg: number
}

/**
 * Containers of a plan as the packer sees them, smallest inside first: usual inside and door sizes, payload by plate
 * and road, line load, and the CTU Code's bounds on the centre of gravity along, across and in height.
 *
 * @param only size types to take; all of containers.csv otherwise
 * Throws one sentence for a size type that containers.csv does not have.
 */
export function holdsOf(move: Move, plan: Plan, only?: readonly string[]): LoadHold[] {
  const context = choicesOf(move, plan)
  const { ledger, reference } = context
  const known = reference.containers.map((c) => c.id)
  for (const id of only ?? []) {
    if (!known.includes(id))
      throw new Error(`no container "${id}" in containers.csv; there are: ${known.join(', ')}`)
  }
  const wholeMm = (value: Decimal): number => Math.max(1, Math.floor(value.toNumber()))
  return reference.containers
    .filter((c) => only === undefined || only.includes(c.id))
    .map((c): LoadHold => {
      const of = (name: string): Decimal => ledger.input(`container.${c.id}.${name}`)
      const heightMm = wholeMm(of('height'))
      const widthMm = wholeMm(of('width'))
      return {
        id: c.id,
        label: c.label,
        lengthMm: wholeMm(of('length')),
        widthMm,
        heightMm,
        doorWidthMm: Math.min(widthMm, wholeMm(c.door_width_mm)),
        doorHeightMm: Math.min(heightMm, wholeMm(c.door_height_mm)),
        payloadKg: containerPayloadKg(context, c.id).toNumber(),
        lineLoadKgPerM: c.line_load_kg_per_m.toNumber(),
        balanceShare: ledger.input('stowage.centre-of-gravity-offset').toNumber(),
        balanceAcrossShare: ledger.input('stowage.centre-of-gravity-across').toNumber(),
        balanceHeightShare: ledger.input('stowage.centre-of-gravity-height').toNumber(),
        tareKg: of('tare').toNumber(),
        maxGrossKg: of('max-gross').toNumber(),
      }
    })
    .sort((a, b) => insideMm3(a) - insideMm3(b))
}

/** Room to keep free around a vehicle, mm; nothing where the household has none. */
export function clearanceOf(move: Move, plan: Plan): VehicleClearance {
  if (move.household.vehicles.length === 0) return { sideMm: 0, endMm: 0, topMm: 0 }
  const { ledger } = choicesOf(move, plan)
  const of = (name: string): number => ledger.input(`car.clearance-${name}-mm`).toNumber()
  return { sideMm: of('side'), endMm: of('end'), topMm: of('top') }
}

const insideMm3 = (hold: Hold): number => hold.lengthMm * hold.widthMm * hold.heightMm
