import type { Decimal } from 'decimal.js'
import { nearest } from '../tables/nearest.js'
import type { Plan } from './move.js'
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
