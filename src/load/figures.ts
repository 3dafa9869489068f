import { exact } from '../quantity/exact.js'
import { frontHalfShare, offsetShare } from '../stowage/balance.js'
import type { LoadPiece, LoadVehicle } from '../stowage/pieces/index.js'
import { grossMassKg } from '../stowage/usable-space.js'
import type { LoadedContainer } from './load-result.js'

/** Mass and balance of one packed container. All masses kg, lengths mm. */
export interface LoadFigures {
  readonly goodsKg: number
  readonly vehiclesKg: number
  readonly tareKg: number
  /** By calculation, SOLAS VI/2 method 2; only as good as the masses that went in. */
  readonly grossKg: number
  readonly payloadKg: number
  readonly massShare: number
  /** Of the whole inside, and of what vehicles and their clear room leave. */
  readonly spaceShare: number
  readonly goodsM3: number
  readonly freeM3: number
  readonly offsetShare: number
  readonly offsetAcrossMm: number
  readonly heightMm: number
  /** Share of the cargo's mass in the front half: the CTU Code's rule of thumb allows 0.6 in either. */
  readonly frontHalfShare: number
  /** What the container's front and door ends carry when it hangs or stands on its corners, tare included. */
  readonly frontEndKg: number
  readonly doorEndKg: number
  readonly mostKgPerM: number
  /** Length along which more than 15 cm across the width is empty at the floor, mm: to be filled or braced. */
  readonly gapLengthMm: number
  readonly freeAtDoorMm: number
  /** Between the front wall and the first piece or vehicle, room kept for lashing a vehicle not counted. */
  readonly freeAtFrontMm: number
  readonly lineLoadKgPerM: number
  readonly insideHeightMm: number
}

/** The CTU Code's sum of gaps in one horizontal direction above which a stow is braced or filled, mm. */
const gapMm = 150

/** Mass, balance and gaps of a packed container. */
export function loadFigures(
  { hold, plan }: LoadedContainer,
  pieces: readonly LoadPiece[],
  vehicles: readonly LoadVehicle[],
): LoadFigures {
  const byId = new Map(pieces.map((p) => [p.id, p]))
  const aboard = plan.placements.map((at) => ({ at, kg: byId.get(at.pieceId)?.massKg ?? 0 }))
  const goodsKg = aboard.reduce((sum, { kg }) => sum + kg, 0)
  const fixed = hold.fixed ?? []
  const vehiclesKg = fixed.length === 0 ? 0 : vehicles.reduce((sum, v) => sum + v.massKg, 0)
  const loads = [
    ...aboard.map(({ at, kg }) => ({ kg, from: at.x, to: at.x + at.dx })),
    ...fixed.map((block) => {
      const from = Math.min(...block.boxes.map((b) => b.x))
      return { kg: block.massKg, from, to: Math.max(...block.boxes.map((b) => b.x + b.dx)) }
    }),
  ]
  const cargoKg = goodsKg + vehiclesKg
  const { x, y, z } = plan.centreOfGravity
  const taken = fixed.reduce((sum, { clear, deck }) => {
    const high = deck === undefined ? hold.heightMm : deck.zMm
    return sum + clear.dx * clear.dy * high
  }, 0)
  const inside = hold.lengthMm * hold.widthMm * hold.heightMm
  return {
    goodsKg,
    vehiclesKg,
    tareKg: hold.tareKg,
    grossKg: grossMassKg(
      exact.of(hold.tareKg),
      exact.of(goodsKg),
      exact.of(vehiclesKg),
      exact.of(0),
    ).toNumber(),
    payloadKg: hold.payloadKg,
    massShare: cargoKg / hold.payloadKg,
    spaceShare: plan.volumeShare,
    goodsM3: plan.volumeM3,
    freeM3: (inside - taken) / 1e9,
    offsetShare: cargoKg === 0 ? 0 : offsetShare(exact, exact.of(x), exact.of(hold.lengthMm)).toNumber(),
    offsetAcrossMm: y - hold.widthMm / 2,
    heightMm: z,
    frontHalfShare:
      cargoKg === 0
        ? 0
        : frontHalfShare(
            exact,
            loads.map(({ kg, from, to }) => ({
              massKg: exact.of(kg),
              fromM: exact.of(from).div(1000),
              toM: exact.of(to).div(1000),
            })),
            exact.of(hold.lengthMm).div(1000),
          ).toNumber(),
    frontEndKg: hold.tareKg / 2 + cargoKg * (1 - x / hold.lengthMm),
    doorEndKg: hold.tareKg / 2 + (cargoKg * x) / hold.lengthMm,
    mostKgPerM: heaviestMetre(loads, hold.lengthMm),
    gapLengthMm: gapLength(
      plan.placements,
      hold.lengthMm,
      hold.widthMm,
      fixed.map((f) => f.clear),
    ),
    freeAtFrontMm: Math.min(
      ...plan.placements.map((at) => at.x),
      ...fixed.map((block) => block.clear.x),
      hold.lengthMm,
    ),
    lineLoadKgPerM: hold.lineLoadKgPerM,
    insideHeightMm: hold.heightMm,
    freeAtDoorMm:
      hold.lengthMm - Math.max(plan.usedLengthMm, ...fixed.flatMap((f) => f.boxes.map((b) => b.x + b.dx)), 0),
  }
}

/** The heaviest metre of length: it begins or ends where some load does. */
function heaviestMetre(loads: readonly { kg: number; from: number; to: number }[], lengthMm: number): number {
  const metre = Math.min(1000, lengthMm)
  const starts = loads.flatMap(({ from, to }) => [from, to, from - metre, to - metre])
  const inside = starts.filter((s) => s >= 0 && s + metre <= lengthMm)
  const kgFrom = (s: number): number =>
    loads.reduce((sum, { kg, from, to }) => {
      const shared = Math.min(to, s + metre) - Math.max(from, s)
      return shared > 0 ? sum + (kg * shared) / (to - from) : sum
    }, 0)
  return (inside.reduce((most, s) => Math.max(most, kgFrom(s)), 0) * 1000) / metre
}

function gapLength(
  placements: readonly { x: number; y: number; z: number; dx: number; dy: number; dz: number }[],
  lengthMm: number,
  widthMm: number,
  clear: readonly { x: number; dx: number; dy: number }[],
): number {
  const step = 50
  let length = 0
  for (let x = step / 2; x < lengthMm; x += step) {
    if (clear.some((c) => x > c.x && x < c.x + c.dx)) continue
    const here = placements.filter((p) => p.x < x && p.x + p.dx > x && p.z === 0)
    if (here.length === 0) continue
    const covered = here.reduce((sum, p) => sum + p.dy, 0)
    if (widthMm - covered > gapMm) length += step
  }
  return length
}
