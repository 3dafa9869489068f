import type { Decimal } from 'decimal.js'
import { nearest } from '../tables/nearest.js'
import type { Move, Plan } from './move.js'
import { UnusableInput } from './refusal.js'

/**
 * A figure of a plan by its id, in the unit of its cell. Example: `figure(plan, 'cost.total')`.
 *
 * Throws one sentence that names the nearest ids where the plan has no such cell.
 */
export function figure(plan: Plan, id: string): Decimal {
  const cell = plan.sheet.cells.get(id)
  if (cell) return cell.value
  const names = nearest(id, plan.sheet.cells.keys())
  throw new UnusableInput(`unknown cell "${id}" in scenario "${plan.name}"; nearest: ${names.join(', ')}`)
}

/**
 * A figure of background.csv by its id, in the unit of its row: what formulas outside a plan take, such as a carrier's
 * liability for each kilogram. Example: `background(move, 'liability.sea.kg')`.
 *
 * Throws one sentence that names the nearest ids where the table has no such row.
 */
export function background({ reference }: Pick<Move, 'reference'>, id: string): Decimal {
  const row = reference.background.find((r) => r.id === id)
  if (row) return row.likely
  const names = nearest(
    id,
    reference.background.map((r) => r.id),
  )
  throw new UnusableInput(`background.csv has no figure "${id}"; nearest: ${names.join(', ')}`)
}
