import { listed } from '../paper/format.js'
import type { Move, Plan } from '../plan/move.js'
import {
  type FixedBlock,
  type LoadPlan,
  type LoadRules,
  provenSmallest,
  stowedM3,
  wishes,
} from '../stowage/packing/index.js'
import { figureOf, type LoadPiece, type LoadVehicle, type VehiclePlace } from '../stowage/pieces/index.js'
import {
  aboardScore,
  type Candidate,
  type ContainerPlan,
  keepRooms,
  loadRulesOf,
  packContainer,
  packVerdict,
  smallestContainer,
  standsOf,
  type Tried,
  workPerMs,
} from '../stowage/plan/index.js'
import type { NumberedCarton } from '../volume/carton-list.js'
import { clearanceOf, holdsOf, type LoadHold } from './hold-of.js'
import { questionOf } from './packed-plans.js'
import { loadOf, stowageFigures } from './pieces-of.js'

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
  /** Ids of the pieces that go by the share that the scenario books beside its container; empty where it books none. */
  readonly byShare: readonly string[]
  /** Everything is stowed, in the first or in all of them together, or goes by the booked share. */
  readonly complete: boolean
  /** The carriage that the scenario books, such as `45G1+groupage`; nothing where it books no container. */
  readonly booked?: string
  readonly trials: readonly Trial[]
  /** Blocks moved into place in the search for the first container: with this budget the plan comes out again. */
  readonly workUsed: number
  readonly workAllowed: number
  /** Plans that the check refused. */
  readonly discarded: number
  /** A sentence for each smaller container that is proven too small; nothing when one is not ruled out. */
  readonly proof?: readonly string[]
}

interface Search {
  readonly pieces: readonly LoadPiece[]
  readonly rules: LoadRules
  readonly options: LoadOptions
  /** Work for all of it. */
  readonly work: number
  /** How much more may go by a share so that rooms stay whole, m³. */
  readonly roomExtraM3: number
}

/** What a search came to, before the best of it is made into a load plan. Plain data: it can be sent between threads. */
export interface LoadSearch {
  readonly tries: readonly Tried<LoadHold>[]
  /** Blocks it was allowed to move. */
  readonly work: number
}

/**
 * The search of a load plan for one start of the random numbers: everything in the smallest container, or in the one that
 * is booked.
 *
 * Throws one sentence where a container is not known or a vehicle passes no container's door.
 */
export function loadSearch(move: Move, plan: Plan, options: LoadOptions = {}): LoadSearch {
  const { pieces, candidates, rules, work } = askedOf(move, plan, options)
  const tries = smallestContainer(candidates, pieces, {
    rules,
    work,
    ...(options.seed === undefined ? {} : { seed: options.seed }),
    ...(options.stop === undefined ? {} : { stop: options.stop }),
    onProgress: ({ container, ...progress }) => options.onProgress?.({ container, ...progress }),
  })
  return { tries, work }
}

/** The work that the given seconds come to on this machine, measured on these very pieces. */
export function loadWork(move: Move, plan: Plan, options: LoadOptions): number {
  return askedOf(move, plan, options).work
}

/** Whether one search found a better load than another: a smaller container that takes everything, else more aboard. */
export function isBetterSearch(pieces: readonly LoadPiece[], a: LoadSearch, b: LoadSearch): boolean {
  const [x, y] = [wholeAt(a), wholeAt(b)]
  if (x !== y) return x < y
  if (x < a.tries.length) return false
  const most = ({ tries }: LoadSearch): number =>
    Math.max(...tries.map(({ found }) => (found === undefined ? 0 : aboardScore(pieces, found.plan))))
  return most(a) > most(b)
}

/** Whether no search can do better: everything is in, and every smaller container is proven too small. */
export function isBestSearch(search: LoadSearch): boolean {
  const at = wholeAt(search)
  return (
    at < search.tries.length && search.tries.slice(0, at).every(({ impossible }) => impossible !== undefined)
  )
}

/** Which of the containers tried, smallest first, takes everything; their number where none does. */
function wholeAt({ tries }: LoadSearch): number {
  const at = tries.findIndex(({ found }) => found?.plan.leftOut.length === 0)
  return at < 0 ? tries.length : at
}

/** What is to be packed, in which containers, and what for. */
function askedOf(move: Move, plan: Plan, options: LoadOptions) {
  const load = loadOf(move, plan)
  const { pieces, vehicles } = load
  const figures = stowageFigures(move)
  const booking = bookingOf(plan, options.container)
  const only = options.container ?? booking?.container
  const holds = holdsOf(move, plan, only === undefined ? undefined : [only])
  const shut: Trial[] = []
  const clearance = clearanceOf(move, plan)
  const candidates = holds.flatMap((hold): Candidate<LoadHold>[] => {
    const stood = standsOf({ hold, vehicles, clearance, figures })
    if (stood.ok) return [{ hold, stands: stood.stands }]
    shut.push(trial(hold, 'vehicle', stood.reason, 0, 0))
    return []
  })
  if (candidates.length === 0) {
    throw new Error(`no container takes ${listed(vehicles.map((v) => v.label))}: ${shut[0]?.text ?? ''}`)
  }
  const rules = loadRulesOf(figures)
  const work = workOf(options, candidates, pieces, rules)
  return { ...load, figures, booking, candidates, shut, rules, work }
}

/**
 * The load plan of a household: everything in the smallest container that takes it. Where none takes everything, the
 * least valuable per m³ stays out of the best container and goes into further ones.
 *
 * Vehicles stand by the front wall, by the door or in the middle, whichever packs best within the balance. Every plan
 * that is returned has been checked by `validate`, which shares no code with the packer.
 *
 * @param searched what `loadSearch` found, where it was looked for before; the search is made here otherwise
 * Throws one sentence where a container is not known, a vehicle passes no container's door, or no valid plan is found.
 */
export function loadPlan(
  move: Move,
  plan: Plan,
  options: LoadOptions = {},
  searched?: LoadSearch,
): LoadResult {
  const asked = askedOf(move, plan, searched === undefined ? options : { ...options, work: searched.work })
  const { pieces, cartons, vehicles, booking, candidates, rules } = asked
  const trials: Trial[] = [...asked.shut]
  const search: Search = {
    pieces,
    rules,
    options,
    work: asked.work,
    roomExtraM3: figureOf(asked.figures, 'split.room-extra'),
  }
  const { tries } = searched ?? loadSearch(move, plan, { ...options, work: asked.work })
  let best: LoadedContainer | undefined
  for (const { candidate, found, impossible: proven, tried } of tries) {
    const { hold } = candidate
    if (found !== undefined) {
      trials.push(trialOf(found, pieces.length))
      if (best === undefined || aboardScore(pieces, found.plan) > aboardScore(pieces, best.plan)) best = found
    } else if (proven !== undefined) trials.push(trial(hold, 'impossible', proven, 0, 0))
    else if (tried) trials.push(trial(hold, 'some', 'No plan tried keeps every rule.', 0, 0))
    else trials.push(trial(hold, 'not tried', 'A smaller one takes everything.', 0, 0))
  }
  const booked = asBooked(move, plan, candidates, best, options.onProgress, booking)
  if (booked !== undefined && booked !== best) {
    const at = trials.findIndex((t) => t.container === booked.hold.id)
    trials.splice(at, at < 0 ? 0 : 1, trialOf(booked, pieces.length))
    best = booked
  }
  if (best === undefined) throw new Error('no load plan was found that keeps every rule; give it more time')
  const all = holdsOf(move, plan)
  const further = booking === undefined ? all : all.filter(({ id }) => id === booking.container)
  const split =
    booking === undefined && options.container !== undefined
      ? best
      : splitOf(plan, search, candidates, best, booking, further)
  const first = nearDoor(search, candidates, split)
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  const rest = first.plan.leftOut.flatMap(({ pieceId }) => byId.get(pieceId) ?? [])
  const byShare = booking?.share === true ? rest.map(({ id }) => id) : []
  const more = booking?.share === true ? [] : furtherContainers(search, further, rest)
  const loaded = new Set([
    ...byShare,
    ...[first, ...more].flatMap(({ plan: p }) => p.placements.map((at) => at.pieceId)),
  ])
  const proof = first.plan.leftOut.length > 0 ? undefined : proofOf(first, all, pieces, trials)
  return {
    scenario: plan.name,
    pieces,
    cartons,
    vehicles,
    first,
    more,
    byShare,
    complete: loaded.size === pieces.length,
    ...bookedOf(plan),
    workUsed: tries.reduce((sum, { found }) => sum + (found?.workUsed ?? 0), 0),
    workAllowed: search.work,
    discarded: tries.reduce((sum, { found }) => sum + (found?.discarded ?? 0), 0),
    trials: order(trials, all),
    ...(proof === undefined ? {} : { proof }),
  }
}

/** A scenario's container with a share of another, or several containers of one kind. */
interface Booking {
  readonly container: string
  /** What the container leaves goes by a share. */
  readonly share: boolean
}

/** What a scenario books where that is more than one container; nothing where another container is asked for. */
function bookingOf(plan: Plan, asked: string | undefined): Booking | undefined {
  const booked = plan.sheet.choices.get('transport')
  const containers = plan.sheet.cells.get(`options.${booked}.containers`)?.value.toNumber() ?? 0
  const [container = '', share] = booked?.split('+') ?? []
  if (asked !== undefined && asked !== container) return undefined
  if (share === undefined ? containers < 2 : containers < 1) return undefined
  return { container, share: share !== undefined }
}

/** Share of the work for one way to keep rooms whole, the least that is worth it, and how many ways are tried. */
const splitWork = { share: 0.2, least: 40_000, tries: 5 }

/** Of a further container's room the share that goods fill when a split is proposed; packing then tells. */
const proposedShare = 0.75

/**
 * What stays out of the first container, chosen by rooms: no more by the share than is charged for, or than the fullest
 * plan leaves and row `split.room-extra` of stowage.csv; no more or larger containers than the fullest plan asks for.
 */
function splitOf(
  plan: Plan,
  search: Search,
  candidates: readonly Candidate<LoadHold>[],
  best: LoadedContainer,
  booking: Booking | undefined,
  further: readonly LoadHold[],
): LoadedContainer {
  const { pieces, rules, options, work } = search
  const candidate = candidates.find(({ hold }) => hold.id === best.hold.id)
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  const rest = best.plan.leftOut.flatMap(({ pieceId }) => byId.get(pieceId) ?? [])
  if (candidate === undefined || rest.length === 0) return best
  const sizeOf = (loads: readonly LoadedContainer[]): number =>
    loads.reduce((sum, { hold }) => sum + hold.lengthMm * hold.widthMm * hold.heightMm, 0)
  const usual = booking?.share === true ? [] : furtherContainers(search, further, rest)
  const takes = (goods: readonly LoadPiece[]): boolean => {
    if (booking?.share === true) return true
    const loads = furtherContainers(search, further, goods)
    const stowed = loads.reduce((sum, load) => sum + load.plan.placements.length, 0)
    return stowed === goods.length && loads.length <= usual.length && sizeOf(loads) <= sizeOf(usual)
  }
  const leftM3 = volumeOf(best.plan.leftOut, pieces)
  const mostM3 =
    booking?.share === true
      ? Math.max(chargedM3(plan, booking), leftM3 + search.roomExtraM3)
      : Math.max((sizeOf(usual) / 1e9) * proposedShare, leftM3)
  options.onProgress?.({
    container: best.hold.id,
    placed: best.plan.placements.length,
    pieces: pieces.length,
    volumeShare: best.plan.volumeShare,
  })
  const { seed, stop } = options
  const found: ContainerPlan<LoadHold> = { ...best, workUsed: 0, discarded: 0 }
  const split = keepRooms(
    candidate,
    pieces,
    found,
    {
      restM3: Math.max(mostM3, volumeOf(best.plan.leftOut, pieces)),
      takesRest: takes,
      tries: splitWork.tries,
    },
    {
      rules,
      work: Math.max(work * splitWork.share, splitWork.least),
      ...(seed === undefined ? {} : { seed }),
      ...(stop === undefined ? {} : { stop }),
    },
  )
  if (split.first === found) return best
  const { hold, vehiclePlace, plan: packed } = split.first
  const told = new Set(packed.leftOut.map(({ pieceId }) => pieceId))
  const aside = split.rest
    .filter(({ id }) => !told.has(id))
    .map((p) => ({
      pieceId: p.id,
      reason: `${p.room} goes whole ${booking?.share === true ? 'by the share' : 'elsewhere'}.`,
    }))
  return {
    hold,
    ...(vehiclePlace === undefined ? {} : { vehiclePlace }),
    plan: { ...packed, leftOut: [...packed.leftOut, ...aside] },
  }
}

/** Room of goods that the share is charged for, m³ as they stand, before the share's own factor. */
function chargedM3(plan: Plan, { container }: Booking): number {
  const units = plan.sheet.cells.get(`options.${container}+groupage.groupage-units`)?.value.toNumber() ?? 0
  const factor = plan.inputs.numbers.get('groupage.gross-factor')?.likely.toNumber() ?? 1
  return units / factor
}

/** The budget: as given, or what this machine does in the given time, measured on these very pieces. */
function workOf(
  { work, seconds, now }: LoadOptions,
  candidates: readonly Candidate<LoadHold>[],
  pieces: readonly LoadPiece[],
  rules: LoadRules,
): number {
  const middle = candidates[candidates.length >> 1]
  if (work !== undefined || seconds === undefined || now === undefined || middle === undefined) {
    return work ?? 200_000
  }
  const fixed = middle.stands[0]?.fixed ?? []
  return Math.ceil(workPerMs(now, { ...middle.hold, fixed }, pieces, rules) * seconds * 1000)
}

function bookedOf(plan: Plan): Pick<LoadResult, 'booked'> {
  const booked = plan.sheet.choices.get('transport')
  return booked === undefined || plan.sheet.cells.has(`options.${booked}.containers`) === false
    ? {}
    : { booked }
}

/**
 * What packing found when the scenario was planned, in the container that everything went into: the brief books that one,
 * and a shorter or busier search must not say otherwise. It is packed again by the same work, which gives the same plan.
 */
function asBooked(
  move: Move,
  plan: Plan,
  candidates: readonly Candidate<LoadHold>[],
  best: LoadedContainer | undefined,
  onProgress: LoadOptions['onProgress'],
  booking: Booking | undefined,
): LoadedContainer | undefined {
  if (booking !== undefined && best !== undefined) {
    const outM3 = volumeOf(best.plan.leftOut, questionOf(move, plan, booking.container).pieces)
    return booking.share && outM3 > chargedM3(plan, booking)
      ? (asPacked(move, plan, candidates, booking.container, onProgress) ?? best)
      : best
  }
  const rank = (id: string | undefined): number => candidates.findIndex(({ hold }) => hold.id === id)
  const found = best?.plan.leftOut.length === 0 ? rank(best.hold.id) : candidates.length
  const booked = candidates
    .slice(0, found)
    .find(({ hold }) => plan.inputs.choices.get(`packed.${hold.id}`)?.value === 'everything')
  if (booked === undefined) return best
  const packed = asPacked(move, plan, candidates, booked.hold.id, onProgress)
  return packed !== undefined && packed.plan.leftOut.length === 0 ? packed : best
}

/** A container packed once more by the work of planning, which gives the plan that was found then. */
function asPacked(
  move: Move,
  plan: Plan,
  candidates: readonly Candidate<LoadHold>[],
  container: string,
  onProgress: LoadOptions['onProgress'],
): LoadedContainer | undefined {
  const candidate = candidates.find(({ hold }) => hold.id === container)
  const question = questionOf(move, plan, container)
  onProgress?.({ container, placed: 0, pieces: question.pieces.length, volumeShare: 0 })
  const verdict = packVerdict(question)
  if (verdict.plan === undefined || candidate === undefined) return undefined
  const { hold, stands } = candidate
  const { vehiclePlace } = verdict
  const stand = stands.find(({ place }) => place === vehiclePlace)
  return {
    hold: stand === undefined || stand.fixed.length === 0 ? hold : { ...hold, fixed: stand.fixed },
    ...(vehiclePlace === undefined ? {} : { vehiclePlace }),
    plan: verdict.plan,
  }
}

/** Room that the pieces left out take as they stand, m³. */
function volumeOf(leftOut: LoadPlan['leftOut'], pieces: readonly LoadPiece[]): number {
  const out = new Set(leftOut.map(({ pieceId }) => pieceId))
  return pieces.reduce((sum, p) => sum + (out.has(p.id) ? stowedM3(p) : 0), 0)
}

/** Share of the work for stowing once more with what is needed first near the door, and the least that is worth it. */
const wishWork = { share: 0.5, least: 30_000 }

/**
 * The same container stowed once more with what is needed first near the door. Taken where as much goes in again and it
 * stands nearer; the plan found without the wish stays otherwise.
 */
function nearDoor(
  { pieces: all, rules, options, work }: Search,
  candidates: readonly Candidate<LoadHold>[],
  best: LoadedContainer,
): LoadedContainer {
  const candidate = candidates.find(({ hold }) => hold.id === best.hold.id)
  // What a split leaves elsewhere stays there.
  const out = new Set(best.plan.leftOut.map(({ pieceId }) => pieceId))
  const pieces = out.size === 0 ? all : all.filter(({ id }) => !out.has(id))
  if (candidate === undefined || !pieces.some((p) => p.firstNeeded)) return best
  const { seed, stop } = options
  const found = packContainer(candidate.hold, candidate.stands, pieces, {
    rules,
    work: Math.max(work * wishWork.share, wishWork.least),
    wishes: true,
    ...(seed === undefined ? {} : { seed }),
    ...(stop === undefined ? {} : { stop }),
  })
  if (found === undefined || aboardScore(pieces, found.plan) < aboardScore(pieces, best.plan)) return best
  const toDoorMm = ({ hold, plan }: LoadedContainer): number => wishes(hold, pieces, plan).firstNeededToDoorMm
  return toDoorMm(found) < toDoorMm(best)
    ? { ...found, plan: { ...found.plan, leftOut: [...best.plan.leftOut, ...found.plan.leftOut] } }
    : best
}

/** Containers for what the first one leaves: the smallest that takes all of it, else the fullest again and again. */
function furtherContainers(
  search: Search,
  holds: readonly LoadHold[],
  goods: readonly LoadPiece[],
): LoadedContainer[] {
  const found: LoadedContainer[] = []
  let out = goods
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
  { rules, options }: Search,
  hold: LoadHold,
  pieces: readonly LoadPiece[],
): LoadedContainer | undefined {
  const { seed } = options
  return packContainer(hold, [{ fixed: [] }], pieces, {
    rules,
    work: 20_000,
    ...(seed === undefined ? {} : { seed }),
  })
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
