// What the kernel offers while somebody types, each answer waited for a while.
import type { FromRoom } from '../notebook-talk.js'

type Found = Extract<FromRoom, { tell: 'completions' }>
type Offered = Pick<Found, 'matches' | 'start' | 'end'>

/** How long an answer is waited for, ms. */
const WAIT_MS = 3_000

export class Completions {
  readonly #waiting = new Map<number, (found: Offered) => void>()
  #count = 0

  /** @param ask sends the question with the number that its answer will carry */
  async asked(cursor: number, ask: (id: number) => void): Promise<Offered> {
    this.#count += 1
    const id = this.#count
    ask(id)
    return new Promise((resolve) => {
      this.#waiting.set(id, resolve)
      setTimeout(() => resolve({ matches: [], start: cursor, end: cursor }), WAIT_MS)
    })
  }

  hear(found: Found): void {
    const done = this.#waiting.get(found.id)
    this.#waiting.delete(found.id)
    done?.(found)
  }
}
