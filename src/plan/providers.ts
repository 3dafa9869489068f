import type { Decimal } from 'decimal.js'
import { exact } from '../quantity/exact.js'
import type { Provider } from '../tables/household-columns.js'
import type { Move, Plan } from './move.js'
import { contextOf } from './plan.js'
import { type PlanContext, providerOf } from './plan-context.js'

/** A fresh sheet over a plan's inputs, to ask what a scenario chose. */
export const choicesOf = (move: Move, plan: Plan): PlanContext<Decimal> =>
  contextOf(exact, plan.inputs, move.household, move.reference)

/** Who does each service under a plan, by the service's id. */
export function providers(move: Move, plan: Plan): ReadonlyMap<string, Provider> {
  const context = choicesOf(move, plan)
  return new Map(move.reference.services.map((s) => [s.id, providerOf(context, s.id)]))
}
