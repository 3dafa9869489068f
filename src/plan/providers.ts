import type { Decimal } from 'decimal.js'
import { exact } from '../quantity/exact.js'
import type { Provider } from '../tables/household-columns.js'
import { Ledger } from './ledger.js'
import type { Move, Plan } from './move.js'
import { type PlanContext, providerOf, shippedLines, shippedVehicles } from './plan-context.js'

/** A fresh sheet over a plan's inputs, to ask what a scenario chose. */
export function choicesOf(move: Move, plan: Plan): PlanContext<Decimal> {
  const { household, reference } = move
  const currency = household.facts.currency
  const minor = reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  return { ledger: new Ledger(exact, plan.inputs, currency, minor), household, reference }
}

/** Who does each service under a plan, by the service's id. */
export function providers(move: Move, plan: Plan): ReadonlyMap<string, Provider> {
  const context = choicesOf(move, plan)
  return new Map(move.reference.services.map((s) => [s.id, providerOf(context, s.id)]))
}

/** The lines of the inventory and the vehicles that a plan ships. */
export function shipped(move: Move, plan: Plan) {
  const context = choicesOf(move, plan)
  return { lines: shippedLines(context), vehicles: shippedVehicles(context) }
}
