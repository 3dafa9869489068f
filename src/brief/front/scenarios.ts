import { type ChartTheme, phasesChart } from '../../charts/specs/index.js'
import { cell, type Section, type TableRow } from '../../paper/blocks.js'
import type { Words } from '../../paper/words.js'
import { PHASES } from '../../plan/phases.js'
import { exact } from '../../quantity/exact.js'
import { type BriefSource, difference, figure, hasCell } from '../figure.js'
import { coverLabel, loadingDay, transportLabel } from './carriage.js'
import type { LikelyRange } from './decision.js'

/** The scenarios as columns, and their phases as a chart. */
export function scenariosSection(
  source: BriefSource,
  words: Words,
  theme: ChartTheme,
  ranges: ReadonlyMap<string, LikelyRange>,
): Section {
  const { plans, move, recommended } = source
  const { currency } = move.household.facts
  const phases = PHASES.filter(({ total }) => plans.every((plan) => hasCell(plan, total)))
  const row = (label: string, id: string, decimals?: number, kind?: 'total'): TableRow[] =>
    plans.every((plan) => hasCell(plan, id))
      ? [
          {
            ...(kind ? { kind } : {}),
            cells: [
              { text: [label], trace: id },
              ...plans.map((plan) => cell(figure(source, plan, id, decimals))),
            ],
          },
        ]
      : []
  const said = (id: string, texts: readonly string[]): TableRow => ({
    cells: [cell(words.say(id)), ...texts.map((text) => cell(text))],
  })
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
  )
  const employerPays = plans.some((plan) => plan.sheet.cells.get('employer.total')?.value.gt(0))
  return {
    id: 'scenarios',
    title: words.say('scenarios.title'),
    blocks: [
      { kind: 'paragraph', text: [words.say('scenarios.same-footing')] },
      {
        kind: 'table',
        caption: words.say('scenarios.caption'),
        columns: [
          { label: '' },
          ...plans.map((plan) => ({
            label: plan === recommended ? words.say('scenarios.recommended', { name: plan.name }) : plan.name,
            numeric: true,
          })),
        ],
        rows: [
          said(
            'scenarios.carriage',
            plans.map((plan) => transportLabel(words, move, plan)),
          ),
          said(
            'scenarios.work',
            plans.map((plan) =>
              words.say(`level.${plan.inputs.choices.get('service-level')?.value ?? 'own'}`),
            ),
          ),
          said(
            'scenarios.cover',
            plans.map((plan) => coverLabel(words, move, plan)),
          ),
          said(
            'scenarios.loading',
            plans.map((plan) => loadingDay(words, move, plan)),
          ),
          ...phases.flatMap(({ total, phase }) => row(words.say(`phase.${phase}`), total, 0)),
          ...row(words.say('scenarios.total'), 'cost.total', 0, 'total'),
          ...(ranges.size > 0
            ? [
                said(
                  'scenarios.range',
                  plans.map((plan) => {
                    const range = ranges.get(plan.name)
                    return range
                      ? words.say('fact.and', {
                          low: words.locale.number(range.low, 0),
                          high: words.locale.number(range.high, 0),
                        })
                      : '\u2013'
                  }),
                ),
              ]
            : []),
          ...(plans.length > 1
            ? [
                {
                  cells: [
                    { text: [words.say('scenarios.against')], trace: 'cost.total' },
                    ...plans.map((plan) =>
                      cell(
                        plan === recommended
                          ? '\u2013'
                          : difference(source, plan, recommended, 'cost.total', 0),
                      ),
                    ),
                  ],
                },
              ]
            : []),
          ...(employerPays ? row(words.say('scenarios.employer'), 'employer.total', 0) : []),
          ...row(words.say('scenarios.hours'), 'work.own.hours', 0),
          ...row(words.say('scenarios.value'), 'work.own.value', 0),
          ...row(words.say('scenarios.days'), 'time.door-to-door'),
        ],
      },
      {
        kind: 'chart',
        id: 'phases',
        caption: words.say('scenarios.chart'),
        chart: { spec, alt: words.say('scenarios.chart-alt', { currency, bars: bars.join('; ') }) },
      },
    ],
  }
}
