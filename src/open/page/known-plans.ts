// Plans made lately, so that an edit plans anew only the scenarios it touches, and taking it back plans none.
import { type Change, type Move, type Plan, planOf } from '../../plan/index.js'
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

export class KnownPlans {
  readonly #kept = new Map<string, Plan>()
  /** How many plans have been worked out: for tests. */
  made = 0

  /**
   * The plan of a scenario: the one made before where the household and the changes are the same to the letter.
   *
   * @param ground what `groundOf` says of the texts that `move` was read from
   */
  of(move: Move, ground: string, name: string, changes: readonly Change[]): Read<Plan> {
    const stated = changes.map(({ id, value, place }) => [id, value, place?.file])
    const key = JSON.stringify([name, stated, ground])
    const known = this.#kept.get(key)
    // Put in again behind the others, so that those longest unused go first.
    this.#kept.delete(key)
    if (known) {
      this.#kept.set(key, known)
      return { ok: true, value: known }
    }
    this.made += 1
    const made = planOf(move, name, changes)
    if (!made.ok) return made
    this.#kept.set(key, made.value)
    for (const old of this.#kept.keys()) {
      if (this.#kept.size <= KEPT) break
      this.#kept.delete(old)
    }
    return made
  }
}
