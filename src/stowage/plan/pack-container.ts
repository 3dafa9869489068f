import { type Hold, type LoadPlan, type LoadRules, type Piece, pack, validate } from '../packing/index.js'
import type { LoadPiece, VehiclePlace } from '../pieces/index.js'
import { viewsOf } from './views.js'

/** One way to stand the vehicles of a load; without vehicles there is one, with nothing fixed. */
export interface VehicleStand {
  readonly place?: VehiclePlace
  readonly fixed: NonNullable<Hold['fixed']>
}

/** How the plan of one container is looked for. */
export interface ContainerSearch {
  readonly rules: LoadRules
  /** Most pieces or blocks moved into place in all, the measure of work that is the same on every machine. */
  readonly work: number
  readonly seed?: number
  /** Asked again and again; true ends with the best plan so far. */
  readonly stop?: () => boolean
  readonly onProgress?: (progress: { placed: number; pieces: number; volumeShare: number }) => void
}

/** The best valid plan of one container. */
export interface ContainerPlan<H extends Hold = Hold> {
  /** The hold with its vehicles in place. */
  readonly hold: H
  readonly vehiclePlace?: VehiclePlace
  readonly plan: LoadPlan
  readonly workUsed: number
  /** Plans that the validator refused. */
  readonly discarded: number
}

/** Share of the work of a container that goes into short looks; the rest goes to the most promising ways. */
const shortLooks = 0.4
/** How many of the ways looked at are searched long. */
const longLooks = 2

interface Way {
  readonly view: readonly Piece[]
  readonly at: VehicleStand
}

/**
 * The best valid plan of one container over the places of its vehicles and several views of the pieces: a short look
 * at every way, then a long one at the best two. Deterministic: the same pieces, hold, work and seed give the same plan
 * on every machine, unless `stop` ends it early.
 *
 * @returns nothing when no plan tried keeps every rule
 */
export function packContainer<H extends Hold>(
  hold: H,
  stands: readonly VehicleStand[],
  pieces: readonly LoadPiece[],
  search: ContainerSearch,
): ContainerPlan<H> | undefined {
  const ways = viewsOf(pieces, search.rules.heavyFromKg ?? 0).flatMap((view) =>
    stands.map((at): Way => ({ view, at })),
  )
  let workUsed = 0
  let discarded = 0
  const looks: { way: Way; hold: H; plan: LoadPlan }[] = []
  const look = (way: Way, part: number): boolean => {
    const full: H = way.at.fixed.length === 0 ? hold : { ...hold, fixed: way.at.fixed }
    const found = packOneWay(full, pieces, way.view, search, Math.floor(search.work * part))
    workUsed += found.workUsed
    if (found.plan === undefined) {
      discarded++
      return false
    }
    looks.push({ way, hold: full, plan: found.plan })
    return found.plan.leftOut.length === 0
  }
  for (const way of ways) {
    if (look(way, shortLooks / ways.length) || (looks.length > 0 && search.stop?.() === true)) break
  }
  const ranked = looks.toSorted((a, b) => aboardScore(pieces, b.plan) - aboardScore(pieces, a.plan))
  if (ranked[0] !== undefined && ranked[0].plan.leftOut.length > 0) {
    for (const { way } of ranked.slice(0, longLooks)) {
      if (search.stop?.() === true || look(way, (1 - shortLooks) / longLooks)) break
    }
  }
  const [first, ...others] = looks
  if (first === undefined) return undefined
  const best = others.reduce(
    (a, b) => (aboardScore(pieces, b.plan) > aboardScore(pieces, a.plan) ? b : a),
    first,
  )
  const { place } = best.way.at
  return {
    hold: best.hold,
    ...(place === undefined ? {} : { vehiclePlace: place }),
    plan: best.plan,
    workUsed,
    discarded,
  }
}

function packOneWay(
  hold: Hold,
  pieces: readonly LoadPiece[],
  view: readonly Piece[],
  { rules, seed, stop, onProgress }: ContainerSearch,
  work: number,
): { readonly plan?: LoadPlan; readonly workUsed: number } {
  // Masses of a view are rounded up, which can shift the balance a little: the packer keeps well inside the bound.
  const { workUsed, ...plan } = pack({ ...hold, balanceShare: hold.balanceShare * 0.9 }, view, {
    rules,
    work,
    ...(seed === undefined ? {} : { seed }),
    ...(stop === undefined ? {} : { stop }),
    onBetter: ({ placed, pieces: count, volumeShare }) => {
      onProgress?.({ placed, pieces: count, volumeShare })
    },
  })
  const measured = withTrueFigures(hold, pieces, plan)
  return validate(hold, pieces, measured, rules).length === 0 ? { plan: measured, workUsed } : { workUsed }
}

/** Mass and balance of a plan by the pieces themselves: a view of them rounds masses. */
function withTrueFigures(hold: Hold, pieces: readonly LoadPiece[], plan: LoadPlan): LoadPlan {
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  let kg = 0
  let [x, y, z] = [0, 0, 0]
  const add = (
    mass: number,
    b: { x: number; y: number; z: number; dx: number; dy: number; dz: number },
  ): void => {
    kg += mass
    x += mass * (b.x + b.dx / 2)
    y += mass * (b.y + b.dy / 2)
    z += mass * (b.z + b.dz / 2)
  }
  for (const at of plan.placements) add(byId.get(at.pieceId)?.massKg ?? 0, at)
  for (const block of hold.fixed ?? []) {
    const whole = block.boxes.reduce((sum, b) => sum + b.dx * b.dy * b.dz, 0)
    for (const b of block.boxes) add((block.massKg * b.dx * b.dy * b.dz) / whole, b)
  }
  if (kg === 0) return plan
  return {
    ...plan,
    massKg: kg,
    massShare: kg / hold.payloadKg,
    centreOfGravity: { x: x / kg, y: y / kg, z: z / kg },
    balanceOffsetShare: x / kg / hold.lengthMm - 0.5,
  }
}

/** What is on board: volume, and a little for what the goods cost. */
export function aboardScore(pieces: readonly LoadPiece[], plan: LoadPlan): number {
  const out = new Set(plan.leftOut.map(({ pieceId }) => pieceId))
  const aboard = pieces.filter((piece) => !out.has(piece.id))
  return aboard.reduce((sum, p) => sum + m3(p) + p.worth / 1e4, 0)
}

const m3 = (p: Piece): number => (p.lengthMm * p.widthMm * p.heightMm) / 1e9
