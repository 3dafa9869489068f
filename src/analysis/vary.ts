import type { Decimal } from 'decimal.js'
import type { Change } from '../plan/inputs.js'
import { type Move, type Plan, planOf } from '../plan/move.js'
import { Refusal, UnusableInput } from '../plan/refusal.js'
import { refuseUnread } from '../plan/unused.js'
import { Exact } from '../quantity/exact.js'

/** One plan's cell at one value of an input. */
export interface VariedPoint {
  readonly scenario: string
  readonly input: Decimal
  readonly cell: Decimal
}

/**
 * A cell of each plan at each value of one input, everything else as planned.
 *
 * @param values the values to try, in the input's own unit
 * @param also further changes on top of every plan
 * @returns a point for each plan and value; throws a Refusal where an id or a value does not fit, or where no plan
 *   has a figure that reads the input
 *
 * Exact arithmetic, for tens of values; `sweep` does millions.
 */
export function vary(
  move: Move,
  plans: readonly Plan[],
  id: string,
  values: readonly (number | string)[],
  cell = 'cost.total',
  also: readonly Change[] = [],
): VariedPoint[] {
  const varied = plans.flatMap((base) =>
    values.map((value) => {
      const change = { id, value: String(value) }
      const plan = mustPlan(planOf(move, base.name, [...base.changes, ...also, change]))
      const found = plan.sheet.cells.get(cell)
      if (!found) throw new UnusableInput(`unknown cell "${cell}" in scenario ${base.name}`)
      return { plan, point: { scenario: base.name, input: new Exact(value), cell: found.value } }
    }),
  )
  refuseUnread(
    varied.map(({ plan }) => plan),
    [id],
  )
  return varied.map(({ point }) => point)
}

/**
 * One plan with some changes on top: a what-if of one line. Everything that made the plan stays: its scenario, what
 * was set, what packing found.
 *
 * @param changes input id to value; throws a Refusal where one does not fit or where no figure reads it
 */
export function whatIf(
  move: Move,
  plan: Plan,
  name: string,
  changes: Readonly<Record<string, string | number>>,
): Plan {
  const now = Object.entries(changes).map(([id, value]) => ({ id, value: String(value) }))
  const varied = mustPlan(planOf(move, name, [...plan.changes, ...now]))
  refuseUnread(
    [varied],
    now.map(({ id }) => id),
  )
  return varied
}

function mustPlan(read: ReturnType<typeof planOf>): Plan {
  if (read.ok) return read.value
  throw new Refusal(read.problems)
}
