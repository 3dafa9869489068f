import type { Figure } from '../paper/blocks.js'
import { usualDecimals } from '../paper/format.js'
import type { Move, Plan } from '../plan/move.js'
import { UnusableInput } from '../plan/refusal.js'
import { exact } from '../quantity/exact.js'

/** What every part of the brief is written from. */
export interface BriefSource {
  readonly move: Move
  readonly plans: readonly Plan[]
  readonly recommended: Plan
  readonly minorUnits: number
}

/**
 * The figure of one cell, or the sum of several, of a scenario.
 *
 * @param decimals how many to show; default: those the unit has
 * Throws one sentence where the plan has no such cell.
 */
export function figure(
  source: Pick<BriefSource, 'minorUnits'>,
  plan: Plan,
  ids: string | readonly string[],
  decimals?: number,
): Figure {
  const cells = typeof ids === 'string' ? [ids] : ids
  const found = cells.map((id) => {
    const cell = plan.sheet.cells.get(id)
    if (!cell) throw new UnusableInput(`unknown cell "${id}" in scenario "${plan.name}"`)
    return cell
  })
  const unit = found[0]?.unit ?? '1'
  return {
    kind: 'figure',
    value: exact.sum(found.map((cell) => cell.value)),
    unit,
    decimals: decimals ?? usualDecimals(unit, source.minorUnits),
    scenario: plan.name,
    cells,
  }
}

/** What a plan has more of a cell than another plan. */
export function difference(
  source: Pick<BriefSource, 'minorUnits'>,
  plan: Plan,
  against: Plan,
  ids: string | readonly string[],
  decimals?: number,
): Figure {
  const mine = figure(source, plan, ids, decimals)
  return { ...mine, value: mine.value.minus(figure(source, against, ids).value), against: against.name }
}

/** The figure without its unit, for a table whose caption or heading says it. */
export const bare = (f: Figure): Figure => ({ ...f, bare: true })

/** The same figure without its sign, for a sentence that says which way it goes. */
export const size = (f: Figure): Figure => {
  const { against, ...rest } = f
  return { ...rest, value: f.value.abs(), ...(against === undefined ? {} : { apart: against }) }
}

export const hasCell = (plan: Plan, id: string): boolean => plan.sheet.cells.has(id)

/** The inputs that a plan used besides the household's own lists. */
export const inputsUsed = ({ inputs, sheet }: Plan) =>
  [...inputs.numbers.values()].filter(
    ({ id }) => sheet.cells.has(id) && !/^(line|vehicle|item|quote)\./.test(id),
  )

/** How many inputs a plan used, and how sure they are, for the text `decision.basis`. */
export function inputCounts(plan: Plan): Readonly<Record<string, string>> {
  const used = inputsUsed(plan)
  const count = (kind: string) => String(used.filter(({ confirmed }) => confirmed === kind).length)
  return {
    count: String(used.length),
    stated: count('stated'),
    'looked-up': count('looked up'),
    secondary: count('secondary'),
    memory: count('from memory'),
    practice: count('common practice'),
  }
}
