import type { Box, FixedBlock, Hold } from '../packing/index.js'
import { type Figures, figureOf } from './goods.js'

/** A vehicle that goes into a container, mm and kg. */
export interface LoadVehicle {
  readonly id: string
  readonly label: string
  readonly kind: 'car' | 'motorcycle' | 'trailer' | 'boat'
  readonly lengthMm: number
  readonly widthMm: number
  readonly heightMm: number
  readonly massKg: number
  readonly deck: boolean
}

/** Clear room around a car: rows `car.clearance-*` of data/reference/figures.csv. */
export interface VehicleClearance {
  readonly sideMm: number
  readonly endMm: number
  readonly topMm: number
}

/** Where the vehicles stand: one behind the other from the front wall, from the door, in the middle, or apart. */
export type VehiclePlace = 'front' | 'rear' | 'middle' | 'both ends'

/** Vehicles in their places, or the sentence that says why they do not go in. */
export type Standing =
  | { readonly ok: true; readonly place: VehiclePlace; readonly fixed: readonly FixedBlock[] }
  | { readonly ok: false; readonly reason: string }

/**
 * Stands vehicles in a hold: each with its outline (bonnet, cabin, boot), the floor kept clear around it for lashing
 * and doors, and where wished a deck over it. A car takes the whole width, because nothing may be stowed where its
 * driver gets out; a motorcycle stands by the left wall and leaves the rest of the width to goods.
 *
 * @returns why a vehicle does not go in, or where all stand
 * Source of the outline: rows `car.*`, `motorcycle.*` and `deck.*` of data/reference/stowage.csv.
 */
export function standVehicles(
  hold: Hold,
  vehicles: readonly LoadVehicle[],
  clearance: VehicleClearance,
  place: VehiclePlace,
  figures: Figures,
): Standing {
  for (const vehicle of vehicles) {
    const reason = tooLarge(hold, vehicle, clearance)
    if (reason !== undefined) return { ok: false, reason }
  }
  const ends = Math.max(clearance.endMm, figureOf(figures, 'car.lashing-room'))
  const lengths = vehicles.map((v) => Math.ceil(v.lengthMm) + 2 * ends)
  const total = lengths.reduce((sum, mm) => sum + mm, 0)
  if (total > hold.lengthMm) {
    return {
      ok: false,
      reason: `The vehicles take ${total} mm of length with room at both ends, and the container has ${hold.lengthMm} mm.`,
    }
  }
  const starts = startsOf(place, lengths, hold.lengthMm, total)
  const fixed = vehicles.map((v, i) => blockOf(hold, v, starts[i] ?? 0, ends, clearance, figures))
  return { ok: true, place, fixed }
}

/** The ways to place so many vehicles that are worth trying. */
export const placesFor = (count: number): readonly VehiclePlace[] =>
  count === 0 ? [] : count === 1 ? ['front', 'rear', 'middle'] : ['front', 'rear', 'both ends', 'middle']

function startsOf(
  place: VehiclePlace,
  lengths: readonly number[],
  insideMm: number,
  totalMm: number,
): number[] {
  const free = insideMm - totalMm
  const before = place === 'rear' ? free : place === 'middle' ? Math.floor(free / 2) : 0
  let at = before
  return lengths.map((mm, i) => {
    // Parted: the first half by the front wall, the rest by the door.
    const jump = place === 'both ends' && i >= Math.ceil(lengths.length / 2) ? free : 0
    const start = at + jump
    at += mm
    return start
  })
}

function tooLarge(hold: Hold, v: LoadVehicle, clearance: VehicleClearance): string | undefined {
  const high = v.heightMm + clearance.topMm
  if (high > hold.doorHeightMm) {
    return `${v.label} is ${v.heightMm} mm high and needs ${clearance.topMm} mm more; the door is ${hold.doorHeightMm} mm.`
  }
  const wide = v.widthMm + 2 * clearance.sideMm
  if (wide > hold.doorWidthMm) {
    return `${v.label} is ${v.widthMm} mm wide and needs ${clearance.sideMm} mm on each side; the door is ${hold.doorWidthMm} mm.`
  }
  return undefined
}

function blockOf(
  hold: Hold,
  v: LoadVehicle,
  startMm: number,
  endsMm: number,
  clearance: VehicleClearance,
  figures: Figures,
): FixedBlock {
  const length = Math.ceil(v.lengthMm)
  const width = Math.ceil(v.widthMm)
  const height = Math.ceil(v.heightMm)
  const sideRoom = figureOf(figures, 'motorcycle.side-room')
  const narrow = v.kind === 'motorcycle'
  const clearWidth = narrow ? Math.min(hold.widthMm, width + 2 * sideRoom) : hold.widthMm
  const y = Math.floor((clearWidth - width) / 2)
  const x = startMm + endsMm
  const clear = { x: startMm, y: 0, dx: length + 2 * endsMm, dy: clearWidth }
  const block = {
    id: v.id,
    label: v.label,
    massKg: v.massKg,
    boxes: outline(v.kind, { x, y, z: 0, dx: length, dy: width, dz: height }, figures),
    clear,
  }
  const thick = figureOf(figures, 'deck.thickness')
  const zMm = height + clearance.topMm + thick
  const worthIt = hold.heightMm - zMm >= figureOf(figures, 'deck.least-height')
  if (!v.deck || !worthIt) return block
  const areaM2 = (clear.dx * clear.dy) / 1e6
  return {
    ...block,
    deck: {
      ...clear,
      zMm,
      maxLoadKg: Math.floor(areaM2 * figureOf(figures, 'deck.load')),
      maxPieceKg: figureOf(figures, 'deck.piece'),
    },
  }
}

/** Bonnet, cabin and boot of a car that drives in forwards; other vehicles are one box. */
function outline(kind: LoadVehicle['kind'], whole: Box, figures: Figures): Box[] {
  if (kind !== 'car') return [whole]
  const bonnet = Math.round(whole.dx * figureOf(figures, 'car.bonnet-length-share'))
  const boot = Math.round(whole.dx * figureOf(figures, 'car.boot-length-share'))
  const bonnetHigh = Math.round(whole.dz * figureOf(figures, 'car.bonnet-height-share'))
  const bootHigh = Math.round(whole.dz * figureOf(figures, 'car.boot-height-share'))
  return [
    { ...whole, dx: bonnet, dz: bonnetHigh },
    { ...whole, x: whole.x + bonnet, dx: whole.dx - bonnet - boot },
    { ...whole, x: whole.x + whole.dx - boot, dx: boot, dz: bootHigh },
  ]
}
