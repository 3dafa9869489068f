import type { Decimal } from 'decimal.js'
import { type Recommendation, recommendationFacts } from '../analysis/recommend.js'
import { totalRanges } from '../analysis/total-ranges.js'
import { isDate } from '../paper/format.js'
import type { Move } from '../plan/move.js'
import { dayIn } from '../time/day-number.js'

/**
 * Every cell of every scenario for other programs: id, label, unit, value and range as decimal texts (a day as year-month-day), kind and
 * source, in the order the plan was written. Words chosen (container, cover, days) stand under `choices`.
 */
export function briefJson(move: Move, recommendation: Recommendation): string {
  const { plans } = recommendation
  const { facts } = move.household
  const scenarios = plans.map((plan) => ({
    name: plan.name,
    choices: Object.fromEntries([...plan.sheet.choices].sort(([a], [b]) => (a < b ? -1 : 1))),
    cells: [...plan.sheet.cells.values()].map(({ id, label, unit, value, kind, source, confirmed }) => {
      const text = (v: Decimal): string => (isDate(unit) ? (dayIn(v) ?? '') : v.toFixed())
      const range = plan.range.cells.get(id)?.value
      return {
        id,
        label,
        unit,
        value: text(value),
        low: text(range?.low ?? value),
        high: text(range?.high ?? value),
        kind,
        ...(source === undefined ? {} : { source }),
        ...(confirmed === undefined ? {} : { confirmed }),
      }
    }),
  }))
  const brief = {
    household: facts.name,
    from: { country: facts.origin_country, place: facts.origin_place },
    to: { country: facts.destination_country, place: facts.destination_place },
    as_of: facts.as_of,
    currency: facts.currency,
    recommended: recommendation.plan.name,
    recommendation: recommendationFacts(recommendation),
    ranges: totalRanges(move, plans),
    scenarios,
  }
  return `${JSON.stringify(brief, null, 1)}\n`
}
