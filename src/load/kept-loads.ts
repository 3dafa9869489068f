import { sha256 } from '@noble/hashes/sha2.js'
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js'
import type { Move, Plan } from '../plan/move.js'
import { packerEdition } from '../stowage/plan/index.js'
import { bookedOf, chargedM3 } from './booking.js'
import { holdsOf } from './hold-of.js'
import type { LoadOptions, LoadResult } from './load-result.js'
import { askedOf } from './load-search.js'
import { loadOf } from './pieces-of.js'

/** How a load plan was looked for: with the same effort it comes out again. */
export interface Effort {
  /** Blocks that a search may move into place. */
  readonly work: number
  readonly seed: number
  /** Searches from different starts, of which the best counts. */
  readonly searches: number
}

/** What a search found, without what is read from the household again. */
type Found = Omit<LoadResult, 'scenario' | 'pieces' | 'cartons' | 'vehicles'>

/** A load plan as it is kept with a household. Plain data. */
export interface KeptLoad {
  /** By `loadContent`. */
  readonly content: string
  readonly effort: Effort
  readonly found: Found
}

/** Changes whenever the same question may be given another load plan, besides the packer's own edition. */
const loadEdition = 1

/**
 * What a load plan hangs on, apart from the effort, as 64 hexadecimal digits: everything that is to be stowed, the
 * containers, the rules, what the scenario books and what planning has found by packing.
 *
 * Throws one sentence where a container is not known or a vehicle passes no container's door.
 */
export function loadContent(move: Move, plan: Plan, container?: string): string {
  const options: LoadOptions = { work: 1, ...(container === undefined ? {} : { container }) }
  const { work: _, figures, booking, ...asked } = askedOf(move, plan, options)
  const packed = move.reference.containers.map(({ id }) => plan.inputs.choices.get(`packed.${id}`)?.value)
  const content = [
    [loadEdition, packerEdition],
    asked,
    holdsOf(move, plan),
    bookedOf(plan),
    booking && [booking, chargedM3(plan, booking)],
    figures('split.room-extra'),
    packed,
    container,
  ]
  return bytesToHex(sha256(utf8ToBytes(JSON.stringify(content))))
}

/** The load plan of this content that was found with this effort, or with any: then the one that was kept last. */
export function keptOf(kept: readonly KeptLoad[], content: string, effort?: Effort): KeptLoad | undefined {
  return kept.findLast(
    (load) =>
      load.content === content &&
      (effort === undefined ||
        (load.effort.work === effort.work &&
          load.effort.seed === effort.seed &&
          load.effort.searches === effort.searches)),
  )
}

/** A kept load plan with the household's pieces and vehicles as they are called today. */
export function recalled(move: Move, plan: Plan, { found }: KeptLoad): LoadResult {
  return { scenario: plan.name, ...loadOf(move, plan), ...found }
}

/** A load plan to be kept. */
export function toKeep(content: string, effort: Effort, result: LoadResult): KeptLoad {
  const { scenario: _s, pieces: _p, cartons: _c, vehicles: _v, ...found } = result
  return { content, effort, found }
}
