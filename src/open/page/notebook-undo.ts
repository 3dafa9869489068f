// Taking back what was done to the cells of a notebook, without what has been typed and run since.
import type { Cell } from '../../notebook/format.js'

/** The cells before and after one thing that was done to them: one added, moved, split or deleted. */
export interface CellStep {
  readonly before: readonly Cell[]
  readonly after: readonly Cell[]
}

/**
 * The cells with a step taken back. A cell that the step left alone stays as it is now, so that what was typed into it
 * or came out of it since is not lost; one that the step itself changed is as it was before.
 */
export function takenBack({ before, after }: CellStep, now: readonly Cell[]): Cell[] {
  const made = new Map(after.map((cell) => [cell.id, cell]))
  const current = new Map(now.map((cell) => [cell.id, cell]))
  return before.map((cell) => (made.get(cell.id) === cell ? (current.get(cell.id) ?? cell) : cell))
}

/** What was done to the cells of a notebook, and what of it was taken back. */
export class CellHistory {
  #past: CellStep[] = []
  #undone: CellStep[] = []

  did(step: CellStep): void {
    this.#past.push(step)
    this.#undone = []
  }

  /** The cells without the last step, or undefined where there is none. */
  undo(now: readonly Cell[]): Cell[] | undefined {
    return moveStep(this.#past, this.#undone, now)
  }

  /** The cells with the step taken back last, or undefined where none was. */
  redo(now: readonly Cell[]): Cell[] | undefined {
    return moveStep(this.#undone, this.#past, now)
  }
}

/** Takes a step back and keeps what takes it forward again. */
function moveStep(from: CellStep[], to: CellStep[], now: readonly Cell[]): Cell[] | undefined {
  const step = from.pop()
  if (!step) return undefined
  const then = takenBack(step, now)
  to.push({ before: now, after: then })
  return then
}
