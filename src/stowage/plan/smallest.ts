import { type Hold, impossible } from '../packing/index.js'
import type { LoadPiece } from '../pieces/index.js'
import {
  aboardScore,
  type ContainerPlan,
  type ContainerSearch,
  packContainer,
  type VehicleStand,
} from './pack-container.js'

/** A container that might do, with the ways its vehicles may stand. */
export interface Candidate<H extends Hold = Hold> {
  readonly hold: H
  readonly stands: readonly VehicleStand[]
}

/** What came of one candidate. */
export interface Tried<H extends Hold = Hold> {
  readonly candidate: Candidate<H>
  /** The best valid plan found; nothing where it was not tried or no plan kept every rule. */
  readonly found?: ContainerPlan<H>
  /** Proof that nothing takes everything, as a sentence. */
  readonly impossible?: string
  readonly tried: boolean
}

/** Share of the work that goes into first looks; the rest goes to the container just below the one that takes all. */
const firstLooks = 0.35
/** Into how many goes the rest is cut at most, and the least share of all the work that is worth a go. */
const goes = 4
const leastGo = 0.04

/**
 * Everything in the smallest container: the candidates are looked at from the smallest that is not proven too small,
 * until one takes everything; what work is left goes to the next smaller one, which only just failed.
 *
 * @param candidates smallest inside first
 * @returns one entry for each candidate, in their order
 */
export function smallestContainer<H extends Hold>(
  candidates: readonly Candidate<H>[],
  pieces: readonly LoadPiece[],
  search: ContainerSearch,
): readonly Tried<H>[] {
  const stop = search.stop ?? ((): boolean => false)
  const tries = candidates.map((candidate): Tried<H> => {
    const why = candidate.stands.map(({ fixed }) => impossible({ ...candidate.hold, fixed }, pieces)?.text)
    const proven = why.every((text) => text !== undefined) ? why[0] : undefined
    return { candidate, tried: false, ...(proven === undefined ? {} : { impossible: proven }) }
  })
  const open = tries.flatMap(({ impossible: proven }, i) => (proven === undefined ? [i] : []))
  // Where every one is proven too small, the largest is packed as full as it goes.
  if (open.length === 0 && tries.length > 0) open.push(tries.length - 1)
  let spent = 0
  const look = (i: number, work: number, more = 0): boolean => {
    const before = tries[i]
    if (before === undefined) return false
    const found = packContainer(before.candidate.hold, before.candidate.stands, pieces, {
      ...search,
      work,
      seed: (search.seed ?? 1) + more,
    })
    spent += Math.max(found?.workUsed ?? work, 1000)
    const better =
      before.found === undefined ||
      (found !== undefined && aboardScore(pieces, found.plan) > aboardScore(pieces, before.found.plan))
    tries[i] = {
      ...before,
      tried: true,
      ...(better ? (found === undefined ? {} : { found }) : { found: before.found }),
    }
    return tries[i]?.found?.plan.leftOut.length === 0
  }
  let at = open.findIndex((i) => look(i, (search.work * firstLooks) / open.length) || stop())
  if (at < 0) at = open.length
  // Another seed at every go: the first look has seen what the usual one finds.
  for (let go = 1; at > 0 && !stop(); go++) {
    const left = search.work - spent
    const below = open[at - 1]
    if (below === undefined || left < search.work * leastGo) break
    if (look(below, left / Math.max(1, goes - go), go)) at--
  }
  return tries
}
