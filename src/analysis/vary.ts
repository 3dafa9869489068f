import type { Decimal } from 'decimal.js'
import type { Change } from '../plan/inputs.js'
import { type Move, type Plan, planOf } from '../plan/move.js'
import { Refusal, UnusableInput } from '../plan/refusal.js'
import { Exact } from '../quantity/exact.js'

/** One plan's cell at one value of an input. */
export interface VariedPoint {
  readonly scenario: string
  readonly input: Decimal
  readonly cell: Decimal
}

/**
 * A cell of each scenario at each value of one input, everything else as it stands.
 *
 * @param values the values to try, in the input's own unit
 * @returns a point for each scenario and value; throws a Refusal where an id or a value does not fit
 *
 * Exact arithmetic, for tens of values; src/risk sweeps millions.
 */
export function vary(
  move: Move,
  id: string,
  values: readonly (number | string)[],
  cell = 'cost.total',
  also: readonly Change[] = [],
): VariedPoint[] {
  const scenarios =
    move.household.scenarios.length > 0 ? move.household.scenarios : [{ name: 'As stated', changes: [] }]
  return scenarios.flatMap(({ name, changes }) =>
    values.map((value) => {
      const plan = mustPlan(planOf(move, name, [...changes, ...also, { id, value: String(value) }]))
      const found = plan.sheet.cells.get(cell)
      if (!found) throw new UnusableInput(`unknown cell "${cell}" in scenario ${name}`)
      return { scenario: name, input: new Exact(value), cell: found.value }
    }),
  )
}

/**
 * One scenario with some changes on top: a what-if of one line.
 *
 * @param changes input id to value; throws a Refusal where one does not fit
 */
export function whatIf(
  move: Move,
  plan: Plan,
  name: string,
  changes: Readonly<Record<string, string | number>>,
): Plan {
  const before = move.household.scenarios.find((scenario) => scenario.name === plan.name)?.changes ?? []
  const now = Object.entries(changes).map(([id, value]) => ({ id, value: String(value) }))
  return mustPlan(planOf(move, name, [...before, ...now]))
}

function mustPlan(read: ReturnType<typeof planOf>): Plan {
  if (read.ok) return read.value
  throw new Refusal(read.problems)
}
