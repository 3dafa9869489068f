import { listed } from '../paper/format.js'
import type { Move, Plan } from '../plan/move.js'
import { choicesOf } from '../plan/providers.js'
import {
  type FixedBlock,
  type Hold,
  impossible,
  type LoadPlan,
  type LoadRules,
  type Piece,
  pack,
  provenSmallest,
  validate,
} from '../stowage/packing/index.js'
import {
  type Figures,
  figureOf,
  type LoadPiece,
  type LoadVehicle,
  placesFor,
  standVehicles,
  type VehicleClearance,
  type VehiclePlace,
} from '../stowage/pieces/index.js'
import type { NumberedCarton } from '../volume/carton-list.js'
import { holdsOf, type LoadHold } from './hold-of.js'
import { loadOf, stowageFigures } from './pieces-of.js'
import { viewsOf } from './views.js'

/** How long to look for a load plan, and in what. All may be left out. */
export interface LoadOptions {
  /** Only this size type; else every container, smallest first, until one takes everything. */
  readonly container?: string
  /** Time for all of it, s, by `now` in milliseconds. */
  readonly seconds?: number
  readonly now?: () => number
  /** Work for one container instead of time: the same on every machine, so that a run can be repeated. */
  readonly work?: number
  readonly seed?: number
  /** Asked again and again; true ends with the best plan so far. */
  readonly stop?: () => boolean
  readonly onProgress?: (progress: LoadProgress) => void
}

/** How far the search has come. */
export interface LoadProgress {
  readonly container: string
  readonly placed: number
  readonly pieces: number
  readonly volumeShare: number
}

/** What came of one container. */
export interface Trial {
  readonly container: string
  readonly label: string
  /** `all`: everything goes in; `some`: the best found leaves things; `impossible`: proven; `vehicle`: it does not pass. */
  readonly outcome: 'all' | 'some' | 'impossible' | 'vehicle' | 'not tried'
  readonly text: string
  readonly placed: number
  readonly volumeShare: number
}

/** One packed container. */
export interface LoadedContainer {
  readonly hold: LoadHold
  readonly vehiclePlace?: VehiclePlace
  readonly plan: LoadPlan
}

/** A load plan with all that is needed to show it. Plain data: it can be sent between threads and written as JSON. */
export interface LoadResult {
  readonly scenario: string
  readonly pieces: readonly LoadPiece[]
  readonly cartons: readonly NumberedCarton[]
  readonly vehicles: readonly LoadVehicle[]
  /** The container with the vehicles; what it leaves is in `more`, if that was asked for. */
  readonly first: LoadedContainer
  /** Further containers for what the first one leaves. */
  readonly more: readonly LoadedContainer[]
  /** Everything is stowed, in the first or in all of them together. */
  readonly complete: boolean
  readonly trials: readonly Trial[]
  /** A sentence for each smaller container that is proven too small; nothing when one is not ruled out. */
  readonly proof?: readonly string[]
}

interface Search {
  readonly pieces: readonly LoadPiece[]
  readonly rules: LoadRules
  readonly options: LoadOptions
  readonly stop: () => boolean
  /** Time left, s; nothing when work is counted. */
  readonly left: () => number | undefined
}

interface Candidate {
  readonly hold: LoadHold
  readonly places: readonly { readonly place?: VehiclePlace; readonly fixed: readonly FixedBlock[] }[]
}

/**
 * The load plan of a household: everything in the smallest container that takes it. Where none takes everything, the
 * least valuable per m³ stays out of the best container and goes into further ones.
 *
 * Vehicles stand by the front wall, by the door or in the middle, whichever packs best within the balance. Every plan
 * that is returned has been checked by `validate`, which shares no code with the packer.
 *
 * Throws one sentence where a container is not known, a vehicle passes no container's door, or no valid plan is found.
 */
export function loadPlan(move: Move, plan: Plan, options: LoadOptions = {}): LoadResult {
  const { pieces, cartons, vehicles } = loadOf(move, plan)
  const figures = stowageFigures(move)
  const holds = holdsOf(move, plan, options.container === undefined ? undefined : [options.container])
  const trials: Trial[] = []
  const candidates = holds.flatMap((hold): Candidate[] => {
    const { places, reason } = vehiclePlaces(hold, vehicles, clearanceOf(move, plan), figures)
    if (places.length > 0) return [{ hold, places }]
    trials.push(trial(hold, 'vehicle', reason, 0, 0))
    return []
  })
  if (candidates.length === 0) {
    throw new Error(`no container takes ${listed(vehicles.map((v) => v.label))}: ${trials[0]?.text ?? ''}`)
  }
  const search = searchOf(pieces, { heavyFromKg: figureOf(figures, 'stack.heavy-from') }, options)
  let best: LoadedContainer | undefined
  candidates.forEach((candidate, i) => {
    const { hold, places } = candidate
    if (best !== undefined && best.plan.leftOut.length === 0) {
      trials.push(trial(hold, 'not tried', 'A smaller one takes everything.', 0, 0))
      return
    }
    const why = places.map(({ fixed }) => impossible({ ...hold, fixed }, pieces))
    const proven = why.every((reason) => reason !== undefined)
    const last = i === candidates.length - 1
    if (proven && !(last && best === undefined)) {
      trials.push(trial(hold, 'impossible', why[0]?.text ?? '', 0, 0))
      return
    }
    const found = packContainer(search, candidate, pieces, 1 / (candidates.length - i))
    if (found === undefined) {
      trials.push(
        trial(hold, proven ? 'impossible' : 'some', why[0]?.text ?? 'No balanced plan was found.', 0, 0),
      )
      return
    }
    trials.push(trialOf(found, pieces.length))
    if (best === undefined || worthOf(pieces, found) > worthOf(pieces, best)) best = found
  })
  const first: LoadedContainer | undefined = best
  if (first === undefined) throw new Error('no load plan was found that keeps every rule; give it more time')
  const all = holdsOf(move, plan)
  const more = furtherContainers(search, all, first)
  const loaded = new Set([first, ...more].flatMap(({ plan: p }) => p.placements.map((at) => at.pieceId)))
  const proof = first.plan.leftOut.length > 0 ? undefined : proofOf(first, all, pieces, trials)
  return {
    scenario: plan.name,
    pieces,
    cartons,
    vehicles,
    first,
    more,
    complete: loaded.size === pieces.length,
    trials: order(trials, all),
    ...(proof === undefined ? {} : { proof }),
  }
}

function clearanceOf(move: Move, plan: Plan): VehicleClearance {
  const { ledger } = choicesOf(move, plan)
  const of = (name: string): number => ledger.input(`car.clearance-${name}-mm`).toNumber()
  return { sideMm: of('side'), endMm: of('end'), topMm: of('top') }
}

function vehiclePlaces(
  hold: LoadHold,
  vehicles: readonly LoadVehicle[],
  clearance: VehicleClearance,
  figures: Figures,
): { places: Candidate['places']; reason: string } {
  if (vehicles.length === 0) return { places: [{ fixed: [] }], reason: '' }
  const all = placesFor(vehicles.length).map((place) =>
    standVehicles(hold, vehicles, clearance, place, figures),
  )
  const refused = all.find((s) => !s.ok)
  return {
    places: all.flatMap((s) => (s.ok ? [{ place: s.place, fixed: s.fixed }] : [])),
    reason: refused !== undefined && !refused.ok ? refused.reason : '',
  }
}

function searchOf(pieces: readonly LoadPiece[], rules: LoadRules, options: LoadOptions): Search {
  const { now, seconds, stop } = options
  const end = now === undefined || seconds === undefined ? undefined : now() + seconds * 1000
  return {
    pieces,
    rules,
    options,
    stop: () => (stop?.() ?? false) || (end !== undefined && now !== undefined && now() >= end),
    left: () => (end === undefined || now === undefined ? undefined : Math.max(0, (end - now()) / 1000)),
  }
}

/** Share of the time or work of a container that goes into short looks; the rest goes to the most promising. */
const shortLooks = 0.4
/** How many of the ways looked at are searched long. */
const longLooks = 2

interface Way {
  readonly view: readonly Piece[]
  readonly at: Candidate['places'][number]
}

/**
 * The best valid plan of one container over the places of its vehicles and several views of the pieces: a short look
 * at every way, then a long one at the best two.
 */
function packContainer(
  search: Search,
  candidate: Candidate,
  pieces: readonly LoadPiece[],
  share: number,
): LoadedContainer | undefined {
  const { options } = search
  const ways = viewsOf(pieces, search.rules.heavyFromKg ?? 0).flatMap((view) =>
    candidate.places.map((at): Way => ({ view, at })),
  )
  const left = search.left()
  const budget = { seconds: left === undefined ? undefined : left * share, work: options.work ?? 200_000 }
  const looks: { way: Way; found: LoadedContainer }[] = []
  const look = (way: Way, part: number): boolean => {
    const found = packOneWay(search, candidate.hold, pieces, way, {
      seconds: budget.seconds === undefined ? undefined : budget.seconds * part,
      work: budget.work * part,
    })
    if (found !== undefined) looks.push({ way, found })
    return found !== undefined && found.plan.leftOut.length === 0
  }
  for (const way of ways) {
    if (look(way, shortLooks / ways.length) || (looks.length > 0 && search.stop())) break
  }
  const ranked = looks.toSorted((a, b) => worthOf(pieces, b.found) - worthOf(pieces, a.found))
  const [top] = ranked
  if (top === undefined || top.found.plan.leftOut.length === 0) return top?.found
  for (const { way } of ranked.slice(0, longLooks)) {
    if (search.stop() || look(way, (1 - shortLooks) / longLooks)) break
  }
  return looks.reduce((a, b) => (worthOf(pieces, b.found) > worthOf(pieces, a.found) ? b : a)).found
}

function packOneWay(
  search: Search,
  hold: LoadHold,
  pieces: readonly LoadPiece[],
  { view, at }: Way,
  budget: { readonly seconds: number | undefined; readonly work: number },
): LoadedContainer | undefined {
  const full: LoadHold = at.fixed.length === 0 ? hold : { ...hold, fixed: at.fixed }
  const plan = packValid(full, pieces, view, search, budget.seconds, budget.work)
  if (plan === undefined) return undefined
  return { hold: full, ...(at.place === undefined ? {} : { vehiclePlace: at.place }), plan }
}

function packValid(
  hold: LoadHold,
  pieces: readonly LoadPiece[],
  view: readonly Piece[],
  search: Search,
  seconds: number | undefined,
  work: number,
): LoadPlan | undefined {
  const { options, rules } = search
  // Masses of a view are rounded up, which can shift the balance a little: the packer keeps well inside the bound.
  const plan = pack({ ...hold, balanceShare: hold.balanceShare * 0.9 }, view, {
    rules,
    ...(options.seed === undefined ? {} : { seed: options.seed }),
    ...(options.stop === undefined ? {} : { stop: options.stop }),
    ...(seconds === undefined || options.now === undefined ? { work } : { now: options.now, seconds }),
    onBetter: ({ placed, pieces: count, volumeShare }) => {
      options.onProgress?.({ container: hold.id, placed, pieces: count, volumeShare })
    },
  })
  const measured = withTrueFigures(hold, pieces, plan)
  return validate(hold, pieces, measured, rules).length === 0 ? measured : undefined
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

/** What is on board, by worth; by volume where nothing is worth anything. */
function worthOf(pieces: readonly LoadPiece[], { plan }: LoadedContainer): number {
  const out = new Set(plan.leftOut.map(({ pieceId }) => pieceId))
  const aboard = pieces.filter((piece) => !out.has(piece.id))
  return aboard.reduce((sum, p) => sum + value(p), 0)
}

const m3 = (p: Piece): number => (p.lengthMm * p.widthMm * p.heightMm) / 1e9
const value = (p: LoadPiece): number => m3(p) + p.worth / 1e4

/** Containers for what the first one leaves: the smallest that takes all of it, else the fullest again and again. */
function furtherContainers(
  search: Search,
  holds: readonly LoadHold[],
  first: LoadedContainer,
): LoadedContainer[] {
  const byId = new Map(search.pieces.map((piece) => [piece.id, piece]))
  const found: LoadedContainer[] = []
  let out = first.plan.leftOut.flatMap(({ pieceId }) => byId.get(pieceId) ?? [])
  // Short and of a fixed length, so that it is done even when the search was stopped.
  while (out.length > 0 && found.length < 6) {
    const rest = out
    const loads = holds.map((hold) => quickPack(search, hold, rest))
    const whole = loads.find((load) => load !== undefined && load.plan.leftOut.length === 0)
    const next =
      whole ?? loads.toReversed().find((load) => load !== undefined && load.plan.placements.length > 0)
    if (next === undefined) break
    found.push(next)
    const still = new Set(next.plan.leftOut.map(({ pieceId }) => pieceId))
    out = rest.filter((piece) => still.has(piece.id))
  }
  return found
}

function quickPack(
  search: Search,
  hold: LoadHold,
  pieces: readonly LoadPiece[],
): LoadedContainer | undefined {
  const { rules, options } = search
  const [view] = viewsOf(pieces, search.rules.heavyFromKg ?? 0)
  if (view === undefined) return undefined
  const plan = pack({ ...hold, balanceShare: hold.balanceShare * 0.9 }, view, {
    rules,
    work: 20_000,
    ...(options.seed === undefined ? {} : { seed: options.seed }),
  })
  const measured = withTrueFigures(hold, pieces, plan)
  return validate(hold, pieces, measured, rules).length === 0 ? { hold, plan: measured } : undefined
}

const trial = (
  { id, label }: LoadHold,
  outcome: Trial['outcome'],
  text: string,
  placed: number,
  volumeShare: number,
): Trial => ({ container: id, label, outcome, text, placed, volumeShare })

function trialOf({ hold, plan }: LoadedContainer, count: number): Trial {
  const { length } = plan.leftOut
  const outcome = length === 0 ? 'all' : 'some'
  const text =
    length === 0
      ? 'Everything goes in.'
      : `The best plan found leaves ${length} of ${count} pieces on the quay.`
  return trial(hold, outcome, text, plan.placements.length, plan.volumeShare)
}

function order(trials: readonly Trial[], holds: readonly LoadHold[]): Trial[] {
  return holds.flatMap(({ id }) => trials.filter((t) => t.container === id))
}

function proofOf(
  first: LoadedContainer,
  holds: readonly LoadHold[],
  pieces: readonly LoadPiece[],
  trials: readonly Trial[],
): string[] | undefined {
  // Vehicles shut a container out by their own size; for the others the bound must speak.
  const shut = new Set(trials.filter((t) => t.outcome === 'vehicle').map((t) => t.container))
  const fixed = first.hold.fixed
  const bare = holds.filter(({ id }) => !shut.has(id)).map((hold) => withFixed(hold, fixed))
  const proven = provenSmallest(first.hold, bare, pieces)
  if (proven === undefined) return undefined
  const label = (id: string): string => holds.find((h) => h.id === id)?.label ?? id
  return [
    ...trials.filter((t) => t.outcome === 'vehicle').map((t) => `${t.label}: ${t.text}`),
    ...proven.map(({ holdId, reason }) => `${label(holdId)}: ${reason.text}`),
  ]
}

/** A smaller hold with the same vehicles in it, as far as room and mass are concerned. */
function withFixed(hold: LoadHold, fixed: readonly FixedBlock[] | undefined): LoadHold {
  if (fixed === undefined) return hold
  const into = fixed.map((block) => ({
    ...block,
    ...(block.deck === undefined
      ? {}
      : { deck: { ...block.deck, zMm: Math.min(block.deck.zMm, hold.heightMm) } }),
  }))
  return { ...hold, fixed: into }
}
