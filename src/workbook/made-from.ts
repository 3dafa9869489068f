import type { Recorded } from '../quantity/recorded.js'
import { oldestFirst } from './forest.js'

/** Ids of the inputs and named cells a value is made from directly, in the order of the formula. */
export function madeFrom(value: Recorded, most: number): string[] {
  const ids = new Set<string>()
  const isEnd = (node: Recorded) =>
    node !== value && (node.operation.kind === 'input' || node.operation.kind === 'cell')
  for (const { operation } of oldestFirst(value, (node) => (isEnd(node) ? [] : node.args))) {
    if (operation.kind === 'input') ids.add(operation.row.id)
    else if (
      operation.kind === 'cell' &&
      (value.operation.kind !== 'cell' || operation.id !== value.operation.id)
    )
      ids.add(operation.id)
    if (ids.size > most) break
  }
  return [...ids]
}
