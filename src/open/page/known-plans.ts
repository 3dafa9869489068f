// Plans made lately, so that an edit plans anew only the scenarios it touches, and taking it back plans none.
import { type Change, type Move, type Plan, planOf } from '../../plan/index.js'
import { ADVISED_COVER } from '../../plan/inputs.js'
import type { Read } from '../../tables/problem.js'
import type { Texts } from '../edits.js'

/** Enough for a few states of a household, in each worker; a plan holds some thousand cells, its ranges as many again. */
const KEPT = 8

/** Files that say what a scenario changes or what has been confirmed: a plan is not made from their texts. */
const BESIDE_THE_PLAN = new Set(['scenarios.csv', 'confirmed.csv'])

/** What all plans of a household rest on, whatever its scenarios change: to be told apart from other states. */
export const groundOf = (texts: Texts): string =>
  JSON.stringify(
    Object.entries(texts)
      .filter(([file]) => !BESIDE_THE_PLAN.has(file))
      .sort(([a], [b]) => (a < b ? -1 : 1)),
  )

/** A plan as its decisions were before; `sure` where it is the plan itself. */
export interface QuickPlan {
  readonly plan: Plan
  readonly sure: boolean
}

export class KnownPlans {
  readonly #kept = new Map<string, Plan>()
  /** The plan made last of each scenario. */
  readonly #last = new Map<string, Plan>()
  /** How many plans have been worked out: for tests. */
  made = 0

  /**
   * The plan of a scenario: the one made before where the household and the changes are the same to the letter.
   *
   * @param ground what `groundOf` says of the texts that `move` was read from
   */
  of(move: Move, ground: string, name: string, changes: readonly Change[]): Read<Plan> {
    const key = keyOf(ground, name, changes)
    const known = this.#kept.get(key)
    // Put in again behind the others, so that those longest unused go first.
    this.#kept.delete(key)
    if (known) {
      this.#kept.set(key, known)
      this.#last.set(name, known)
      return { ok: true, value: known }
    }
    this.made += 1
    const made = planOf(move, name, changes)
    if (!made.ok) return made
    this.#kept.set(key, made.value)
    this.#last.set(name, made.value)
    for (const old of this.#kept.keys()) {
      if (this.#kept.size <= KEPT) break
      this.#kept.delete(old)
    }
    return made
  }

  /**
   * The same in less than half the time: with the carriage and the cover that the scenario's plan made last decided on,
   * which an edit rarely changes. Nothing where the scenario has not been planned before, or cannot be like this.
   */
  quick(move: Move, ground: string, name: string, changes: readonly Change[]): QuickPlan | undefined {
    const known = this.#kept.get(keyOf(ground, name, changes))
    if (known) return { plan: known, sure: true }
    const last = this.#last.get(name)
    if (!last) return undefined
    const stated = (id: string): string | undefined =>
      changes.findLast((change) => change.id === id)?.value ?? move.inputs.choices.get(id)?.value
    const carriage = last.sheet.choices.get('transport')
    const decided = [
      ...(stated('cover') === ADVISED_COVER ? last.changes.filter(isDecision) : []),
      ...(stated('transport') === 'cheapest' && carriage ? [{ id: 'transport', value: carriage }] : []),
    ]
    try {
      if (decided.length === 0) {
        const plan = this.of(move, ground, name, changes)
        return plan.ok ? { plan: plan.value, sure: true } : undefined
      }
      const made = planOf(move, name, [...changes, ...decided])
      return made.ok ? { plan: made.value, sure: false } : undefined
    } catch {
      // What is wrong is told by the plan itself, which follows.
      return undefined
    }
  }
}

/** What a plan decided about its cover, as it stands among its changes. */
const isDecision = ({ place }: Change): boolean => place?.file === 'cover decision'

const keyOf = (ground: string, name: string, changes: readonly Change[]): string =>
  JSON.stringify([name, changes.map(({ id, value, place }) => [id, value, place?.file]), ground])
