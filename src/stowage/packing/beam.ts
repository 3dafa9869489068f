import { fill } from './improve.js'
import type { SearchModel } from './model.js'
import { Placer } from './placer.js'
import { loadScore, State } from './state.js'

/** How long and how wide the beam search may go. */
export interface BeamLimits {
  /** Asked between completions; true ends the search with the best load so far. */
  readonly stop: () => boolean
  /** Most blocks placed in all, the measure that is the same on every machine. */
  readonly work: number
  /** Widest beam tried. */
  readonly widest: number
  /** Ends the search after its second pass when a load is this good. */
  readonly enough: (state: State) => boolean
  /** Told of every better load. */
  readonly better: (state: State) => void
  /** Brings the table of reachable gaps up to date at each step; worth it when there are few kinds. */
  readonly remeasure: boolean
}

/** Whether one load is better than another: more value, then shorter, then further to the front. */
function isBetter(model: SearchModel, a: State, b: State): boolean {
  const [worthA, worthB] = [loadScore(model, a), loadScore(model, b)]
  if (worthA !== worthB) return worthA > worthB
  if (a.usedLength !== b.usedLength) return a.usedLength < b.usedLength
  return a.moment < b.moment
}

interface Child {
  readonly parent: number
  readonly space: number
  readonly block: number
  readonly value: number
  readonly usedLength: number
  readonly moment: number
}

/**
 * Beam search over placements, each judged by filling up greedily from it: Araya and Riff, "A beam search approach to
 * the container loading problem" (2014). The beam starts one wide and doubles until the limits end it.
 *
 * Returns the best load found and the blocks placed on the way; with `work` as the only limit the same model gives the
 * same load.
 */
export function beamSearch(
  model: SearchModel,
  limits: BeamLimits,
): { readonly best: State; readonly work: number } {
  const placer = new Placer(model, Math.max(1, limits.widest))
  const best = new State(model)
  const trial = new State(model)
  const start = State.start(model)
  best.copyFrom(start)
  const spare: State[] = []
  const over = (): boolean => placer.work >= limits.work || limits.stop()
  const fresh = (from: State): State => {
    const state = spare.pop() ?? new State(model)
    state.copyFrom(from)
    return state
  }
  const consider = (state: State): void => {
    if (best.placedCount > 0 && !isBetter(model, state, best)) return
    best.copyFrom(state)
    limits.better(best)
  }
  trial.copyFrom(start)
  fill(placer, trial)
  consider(trial)
  for (let width = 1; width <= limits.widest && !over(); width *= 2) {
    // When everything is in, one more pass may still make the load shorter.
    if (width > 2 && limits.enough(best)) break
    let beam: State[] = [fresh(start)]
    while (beam.length > 0 && !over()) {
      const children: Child[] = []
      for (let i = 0; i < beam.length; i++) {
        const state = beam[i] as State
        if (limits.remeasure) placer.measureGaps(state.left)
        const space = placer.choose(state, width)
        if (space < 0) continue
        const blocks = Array.from(placer.chosen.subarray(0, placer.chosenCount))
        for (const block of blocks) {
          trial.copyFrom(state)
          placer.place(trial, space, block)
          fill(placer, trial)
          consider(trial)
          const { usedLength, moment } = trial
          const value = loadScore(model, trial)
          children.push({ parent: i, space, block, value, usedLength, moment })
          if (over()) break
        }
        if (over()) break
      }
      children.sort(
        (a, b) =>
          b.value - a.value || a.usedLength - b.usedLength || a.moment - b.moment || a.parent - b.parent,
      )
      const next: State[] = []
      let last: Child | undefined
      for (const child of children) {
        if (next.length === width) break
        // Two ways to the same load are most often the same boxes in another order.
        if (last !== undefined && sameLoad(last, child)) continue
        last = child
        const state = fresh(beam[child.parent] as State)
        placer.place(state, child.space, child.block)
        next.push(state)
      }
      spare.push(...beam)
      beam = next
    }
    spare.push(...beam)
  }
  return { best, work: placer.work }
}

function sameLoad(a: Child, b: Child): boolean {
  return Math.abs(a.value - b.value) < 1e-12 && a.usedLength === b.usedLength && a.moment === b.moment
}
