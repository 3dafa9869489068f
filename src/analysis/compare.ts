import type { Decimal } from 'decimal.js'
import type { Plan } from '../plan/move.js'
import { PHASE_TOTALS } from '../plan/phases.js'
import { UnusableInput } from '../plan/refusal.js'
import { nearest } from '../tables/nearest.js'

/** One row of the comparison: a cell across the scenarios, and what each scenario differs from the first. */
export interface ComparisonRow {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly values: readonly Decimal[]
  readonly differences: readonly Decimal[]
}

/** The cells a comparison shows when nobody asks for others; `summaryCells` says which of them a household needs. */
export const SUMMARY_CELLS: readonly string[] = [
  'volume.packed',
  ...PHASE_TOTALS,
  'cost.total',
  'employer.total',
  'employer.gives',
  'employer.left-to-pay',
  'work.own.hours',
  'time.door-to-door',
]

/** The same without what is about an employer where no scenario has one that pays. */
export const summaryCells = (plans: readonly Plan[]): readonly string[] =>
  SUMMARY_CELLS.filter((id) => {
    if (!id.startsWith('employer.')) return true
    const money = id === 'employer.total' ? id : 'employer.gives'
    return plans.some(({ sheet }) => sheet.cells.get(money)?.value.gt(0))
  })

/**
 * Scenarios side by side. Cells that a scenario does not have (a shared container has no gross mass) are left out.
 *
 * @param ids cells to compare; an unknown id throws one sentence that names the nearest
 */
export function compare(
  plans: readonly Plan[],
  ids: readonly string[] = summaryCells(plans),
): ComparisonRow[] {
  return ids.flatMap((id) => {
    const cells = plans.map((plan) => plan.sheet.cells.get(id))
    const found = cells.find((cell) => cell !== undefined)
    if (!found) {
      if (SUMMARY_CELLS.includes(id)) return []
      throw new UnusableInput(
        `unknown cell "${id}"; nearest: ${nearest(id, plans[0]?.sheet.cells.keys() ?? []).join(', ')}`,
      )
    }
    if (cells.some((cell) => cell === undefined)) return []
    const values = cells.flatMap((cell) => (cell ? [cell.value] : []))
    const first = values[0] as Decimal
    return [
      { id, label: found.label, unit: found.unit, values, differences: values.map((v) => v.minus(first)) },
    ]
  })
}
