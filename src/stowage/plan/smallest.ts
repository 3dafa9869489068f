import { type Hold, impossible } from '../packing/index.js'
import type { LoadPiece } from '../pieces/index.js'
import {
  ContainerPacking,
  type ContainerPlan,
  type ContainerSearch,
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

/**
 * Calmer than a verdict on one container, which keeps its answers: in twenty searches of the ten hardest invented homes
 * half as many pieces were left.
 */
const calmNoise = 0.5

/** Share of the work that goes into first looks; the rest goes to the container just below the one that takes all. */
const firstLooks = 0.35
/** Part of the rest that one go takes, and the least share of all the work that is worth a go. */
const goes = 3
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
  const packings = new Map<number, ContainerPacking<H>>()
  const spent = (): number => [...packings.values()].reduce((sum, packing) => sum + packing.workUsed, 0)
  const look = (i: number, work: number): boolean => {
    const candidate = tries[i]?.candidate
    if (candidate === undefined) return false
    const packing =
      packings.get(i) ??
      new ContainerPacking(candidate.hold, candidate.stands, pieces, { ...search, noise: calmNoise })
    packings.set(i, packing)
    packing.advance(work, stop, search.onProgress)
    return packing.best()?.plan.leftOut.length === 0
  }
  const first = (search.work * firstLooks) / open.length
  let at = open.findIndex((i) => look(i, first / 2) || look(i, first / 2) || stop())
  if (at < 0) at = open.length
  while (at > 0 && !stop()) {
    const left = search.work - spent()
    const below = open[at - 1]
    const before = spent()
    if (below === undefined || left <= 0) break
    if (look(below, Math.max(left / goes, search.work * leastGo))) at--
    else if (spent() === before) break
  }
  for (const [i, packing] of packings) {
    const found = packing.best()
    const before = tries[i]
    if (before !== undefined) tries[i] = { ...before, tried: true, ...(found === undefined ? {} : { found }) }
  }
  return tries
}
