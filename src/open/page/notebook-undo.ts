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
