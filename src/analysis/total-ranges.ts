import type { Move, Plan } from '../plan/move.js'
import { quantile } from './draw-summary.js'
import { type RecordedScenario, recordScenarios } from './recorded-scenarios.js'
import { drawsOf, simulate } from './simulate.js'
import { simulationPlan } from './simulation-plan.js'

/** Where the total of a scenario is likely to end: one move in ten costs less than P10, one in ten more than P90. */
export interface TotalRange {
  readonly scenario: string
  readonly p10: number
  readonly p50: number
  readonly p90: number
}

/** Draws of the ranges that stand beside totals: few enough to be quick, enough for a P90 to within one per cent. */
export const RANGE_DRAWS = 4096
/** The same start everywhere, so that every page shows the same ranges. */
export const RANGE_START = 1

/**
 * P10 to P90 of each plan's total, from the same draws wherever they are shown: beside the totals of `compare`, `start`,
 * the brief and the page of trade-offs. The guaranteed bounds of a plan (`plan.range`) are far wider: every input at
 * its worst at once.
 *
 * @returns one range for each plan, in order, rounded to whole units of the currency
 */
export function totalRanges(move: Move, plans: readonly Plan[]): readonly TotalRange[] {
  const known = drawn.get(plans)
  if (known) return known
  const ranges = drawRanges(move, plans, recordScenarios(move, plans, 'booked now'))
  drawn.set(plans, ranges)
  return ranges
}

/** Several pages of one run ask for the ranges of the same plans. */
const drawn = new WeakMap<readonly Plan[], readonly TotalRange[]>()

function drawRanges(move: Move, plans: readonly Plan[], recorded: readonly RecordedScenario[]): TotalRange[] {
  const cell = 'cost.total'
  const prepared = simulationPlan(move, recorded, [cell], { start: RANGE_START })
  const simulation = simulate(prepared, RANGE_DRAWS)
  return plans.map(({ name }) => {
    const sorted = drawsOf(simulation, name, cell).slice().sort()
    const at = (probability: number): number => Math.round(quantile(sorted, probability))
    return { scenario: name, p10: at(0.1), p50: at(0.5), p90: at(0.9) }
  })
}
