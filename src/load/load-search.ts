import { listed } from '../paper/format.js'
import type { Move, Plan } from '../plan/move.js'
import type { LoadRules } from '../stowage/packing/index.js'
import type { LoadPiece } from '../stowage/pieces/index.js'
import {
  aboardScore,
  type Candidate,
  loadRulesOf,
  smallestContainer,
  standsOf,
  type Tried,
  workPerMs,
} from '../stowage/plan/index.js'
import { bookingOf } from './booking.js'
import { clearanceOf, holdsOf, type LoadHold } from './hold-of.js'
import { type LoadOptions, startAndStop, type Trial } from './load-result.js'
import { loadOf, stowageFigures } from './pieces-of.js'
import { trial } from './trials.js'

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
    ...startAndStop(options),
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
export function askedOf(move: Move, plan: Plan, options: LoadOptions) {
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
