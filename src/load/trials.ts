import { type FixedBlock, provenSmallest } from '../stowage/packing/index.js'
import type { LoadPiece } from '../stowage/pieces/index.js'
import type { LoadHold } from './hold-of.js'
import type { LoadedContainer, Trial } from './load-result.js'

export const trial = (
  { id, label }: LoadHold,
  outcome: Trial['outcome'],
  text: string,
  placed: number,
  volumeShare: number,
): Trial => ({ container: id, label, outcome, text, placed, volumeShare })

export function trialOf({ hold, plan }: LoadedContainer, count: number): Trial {
  const { length } = plan.leftOut
  const outcome = length === 0 ? 'all' : 'some'
  const text =
    length === 0
      ? 'Everything goes in.'
      : `The best plan found leaves ${length} of ${count} pieces on the quay.`
  return trial(hold, outcome, text, plan.placements.length, plan.volumeShare)
}

export function order(trials: readonly Trial[], holds: readonly LoadHold[]): Trial[] {
  return holds.flatMap(({ id }) => trials.filter((t) => t.container === id))
}

export function proofOf(
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
