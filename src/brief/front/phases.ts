import { type ChartTheme, phasesChart } from '../../charts/specs/index.js'
import type { Block } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { PHASES } from '../../plan/phases.js'
import { exact } from '../../quantity/exact.js'
import { type BriefSource, hasCell } from '../figure.js'

/** What each scenario costs by phase, as bars. */
export function phasesBlock({ plans, move }: BriefSource, words: Words, theme: ChartTheme): Block {
  const { currency } = move.household.facts
  const phases = PHASES.filter(({ total }) => plans.every((plan) => hasCell(plan, total)))
  const amount = (plan: (typeof plans)[number], id: string) => plan.sheet.cells.get(id)?.value.toNumber() ?? 0
  const bars = plans.map((plan) => {
    const parts = phases.map(
      ({ phase, total }) =>
        `${words.say(`phase.${phase}`)} ${words.locale.number(exact.of(amount(plan, total)), 0)}`,
    )
    return `${plan.name} ${words.locale.number(exact.of(amount(plan, 'cost.total')), 0)} (${words.locale.list(parts)})`
  })
  const { spec } = phasesChart(
    plans.flatMap((plan) =>
      phases.map(({ total, phase }) => ({
        scenario: plan.name,
        phase: words.say(`phase.${phase}`),
        amount: amount(plan, total),
      })),
    ),
    currency,
    theme,
    {
      axis: words.say('scenarios.chart-axis', { currency }),
      number: (x) => words.locale.number(exact.of(x), 0),
      ticks: words.english,
    },
  )
  return {
    kind: 'chart',
    id: 'phases',
    caption: words.say('scenarios.chart'),
    chart: { spec, alt: words.say('scenarios.chart-alt', { currency, bars: bars.join('; ') }) },
  }
}
