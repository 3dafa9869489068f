import type { Move, Plan } from '../plan/move.js'
import { wishes } from '../stowage/packing/index.js'
import { figureOf } from '../stowage/pieces/index.js'
import { aboardScore, type Candidate, packContainer } from '../stowage/plan/index.js'
import { asBooked, bookedOf } from './booking.js'
import { furtherContainers, type Search, splitOf } from './elsewhere.js'
import { holdsOf, type LoadHold } from './hold-of.js'
import {
  type LoadedContainer,
  type LoadOptions,
  type LoadResult,
  startAndStop,
  type Trial,
} from './load-result.js'
import { askedOf, type LoadSearch, loadSearch } from './load-search.js'
import { order, proofOf, trial, trialOf } from './trials.js'

/**
 * The load plan of a household: everything in the smallest container that takes it, or in the larger one that the scenario
 * books. Where none takes everything, the least valuable per m³ stays out of the best container and goes into further ones.
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
  const taken = (loaded: LoadedContainer): LoadedContainer => {
    const at = trials.findIndex((t) => t.container === loaded.hold.id)
    trials.splice(at, at < 0 ? 0 : 1, trialOf(loaded, pieces.length))
    return loaded
  }
  const booked = asBooked(move, plan, candidates, best, options.onProgress, booking)
  if (booked !== undefined && booked !== best) best = taken(booked)
  const larger =
    options.container === undefined && best !== undefined
      ? inBooked(plan, search, candidates, best)
      : undefined
  if (larger !== undefined) best = taken(larger)
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

/**
 * The same goods in the one container that the scenario books, where that is a larger one than they need: it is the
 * container that will stand at the door. Nothing where they are in it already, or where no plan for it has all of them.
 */
function inBooked(
  plan: Plan,
  { pieces, rules, options, work }: Search,
  candidates: readonly Candidate<LoadHold>[],
  best: LoadedContainer,
): LoadedContainer | undefined {
  const rank = (id: string | undefined): number => candidates.findIndex(({ hold }) => hold.id === id)
  const at = rank(bookedOf(plan).booked)
  const candidate = at > rank(best.hold.id) ? candidates[at] : undefined
  if (candidate === undefined || best.plan.leftOut.length > 0) return undefined
  const found = packContainer(candidate.hold, candidate.stands, pieces, {
    rules,
    work,
    ...startAndStop(options),
  })
  return found?.plan.leftOut.length === 0 ? found : undefined
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
  const found = packContainer(candidate.hold, candidate.stands, pieces, {
    rules,
    work: Math.max(work * wishWork.share, wishWork.least),
    wishes: true,
    ...startAndStop(options),
  })
  if (found === undefined || aboardScore(pieces, found.plan) < aboardScore(pieces, best.plan)) return best
  const toDoorMm = ({ hold, plan }: LoadedContainer): number => wishes(hold, pieces, plan).firstNeededToDoorMm
  return toDoorMm(found) < toDoorMm(best)
    ? { ...found, plan: { ...found.plan, leftOut: [...best.plan.leftOut, ...found.plan.leftOut] } }
    : best
}
