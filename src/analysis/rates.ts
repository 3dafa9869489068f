import { Temporal } from 'temporal-polyfill'
import type { Move, Plan } from '../plan/move.js'
import type { NumberInput } from '../quantity/arithmetic.js'
import { recordScenarios } from './recorded-scenarios.js'
import { scenarioTornado } from './tornado.js'

/** A figure that decides a move's bill: how much money hangs on it, how old it is, and how sure. */
export interface DecidingRate {
  readonly input: NumberInput
  /** Greatest less least of the result when this figure alone goes from its low to its high. */
  readonly atStake: number
  /** Days from the day somebody looked to the day the household counts from; undefined where nobody looked. */
  readonly ageDays: number | undefined
  /** Older than it is good for. */
  readonly stale: boolean
}

/** Days between the day somebody looked at a figure and the household's day. */
export function ageInDays(move: Move, { lookedOn }: NumberInput): number | undefined {
  if (lookedOn === undefined) return undefined
  const days = Temporal.PlainDate.from(lookedOn).until(move.household.facts.as_of, {
    largestUnit: 'day',
  }).days
  return Math.max(0, days)
}

/** Is a figure older than it may be relied on? A figure that does not say how long never is. */
export function isStale(move: Move, input: NumberInput): boolean {
  const age = ageInDays(move, input)
  return input.goodForDays !== undefined && age !== undefined && age > input.goodForDays
}

/** Figures of the tables that a plan read and that are older than they are good for. */
export const stalePrices = (move: Move, plan: Plan): readonly NumberInput[] =>
  [...plan.inputs.numbers.values()].filter((input) => plan.sheet.cells.has(input.id) && isStale(move, input))

/**
 * The figures of the reference tables that decide a plan's result, by the money that hangs on each: what to replace
 * first by a written offer. What the household has stated itself is left out.
 *
 * @param cell the result, `cost.total` unless another is asked
 */
export function decidingRates(move: Move, plan: Plan, cell = 'cost.total'): readonly DecidingRate[] {
  const scenario = recordScenarios(move, [plan])[0]
  if (!scenario) return []
  return scenarioTornado(scenario, cell).flatMap((bar) => {
    const input = plan.inputs.numbers.get(bar.id)
    if (!input || input.confirmed === 'stated' || !(bar.effect > 0)) return []
    return [{ input, atStake: bar.effect, ageDays: ageInDays(move, input), stale: isStale(move, input) }]
  })
}
