import { totalRanges } from '../../analysis/total-ranges.js'
import type { ChartTheme } from '../../charts/specs/chart.js'
import { phasesChart, rangesChart } from '../../charts/specs/index.js'
import type { Block, Section, TableRow } from '../../paper/blocks.js'
import { cell } from '../../paper/blocks.js'
import { PHASES } from '../../plan/phases.js'
import { type BriefSource, difference, endFigure, figure, hasCell } from '../figure.js'
import { dayText, planWords } from '../names.js'

/** The phases every plan has a cell for. */
export const phasesOf = ({ plans }: BriefSource) =>
  PHASES.filter(({ total }) => plans.every((plan) => hasCell(plan, total)))

/** Scenarios as columns, with what each differs from the recommended one; phases and ranges as charts. */
export function scenarioSection(source: BriefSource, theme: ChartTheme): Section {
  const { plans, move, recommended } = source
  const others = plans.filter((plan) => plan !== recommended)
  const words = plans.map((plan) => planWords(move, plan))
  const row = (label: string, id: string, kind?: 'total'): TableRow[] =>
    plans.every((plan) => hasCell(plan, id))
      ? [
          {
            ...(kind ? { kind } : {}),
            cells: [{ text: [label], trace: id }, ...plans.map((plan) => cell(figure(source, plan, id)))],
          },
        ]
      : []
  const said = (label: string, texts: readonly string[]): TableRow => ({
    cells: [cell(label), ...texts.map((text) => cell(text))],
  })
  const rows: TableRow[] = [
    said(
      'Carriage',
      words.map((w) => w.transportLabel),
    ),
    said(
      'Work',
      words.map((w) => w.level),
    ),
    said(
      'Cover',
      words.map((w) => w.coverLabel),
    ),
    said(
      'Loading',
      plans.map((plan) => dayText(plan.inputs.choices.get('load-on')?.value ?? move.household.facts.load_on)),
    ),
    ...phasesOf(source).flatMap(({ total, label }) => row(label, total)),
    ...row('Total', 'cost.total', 'total'),
    {
      cells: [
        { text: ['Eight moves in ten'], trace: 'cost.total' },
        ...plans.map((plan) => cell(endFigure(source, plan, 'p10'), ' to ', endFigure(source, plan, 'p90'))),
      ],
    },
    ...(others.length > 0
      ? [
          {
            cells: [
              { text: [`Against \u201c${recommended.name}\u201d`], trace: 'cost.total' },
              ...plans.map((plan) =>
                cell(plan === recommended ? '\u2013' : difference(source, plan, recommended, 'cost.total')),
              ),
            ],
          },
        ]
      : []),
    ...(plans.some((plan) => !plan.sheet.cells.get('employer.total')?.value.isZero())
      ? row('Paid by the employer, not in the total', 'employer.total')
      : []),
    ...row('Hours of own work', 'work.own.hours'),
    ...row('Value of the own work, not in the total', 'work.own.value'),
    ...row('Days from loading to delivery', 'time.door-to-door'),
  ]
  const js = (plan: (typeof plans)[number], id: string) => plan.sheet.cells.get(id)?.value.toNumber() ?? 0
  const blocks: Block[] = [
    {
      kind: 'table',
      caption: 'The scenarios side by side',
      columns: [
        { label: '' },
        ...plans.map((plan) => ({
          label: plan === recommended ? `${plan.name} (recommended)` : plan.name,
          numeric: true,
        })),
      ],
      rows,
    },
    {
      kind: 'chart',
      id: 'phases',
      caption: 'What each scenario costs, by phase of the move',
      chart: phasesChart(
        plans.flatMap((plan) =>
          phasesOf(source).map(({ total, label }) => ({
            scenario: plan.name,
            phase: label,
            amount: js(plan, total),
          })),
        ),
        move.household.facts.currency,
        theme,
      ),
    },
    {
      kind: 'chart',
      id: 'ranges',
      caption:
        'Where the total is likely to end: eight moves in ten inside the bar, one below it and one above. The diamond is the plan, every input likely.',
      chart: rangesChart(
        plans.map((plan) => {
          const range = totalRanges(move, plans).find(({ scenario }) => scenario === plan.name)
          const likely = js(plan, 'cost.total')
          return { scenario: plan.name, low: range?.p10 ?? likely, likely, high: range?.p90 ?? likely }
        }),
        move.household.facts.currency,
        theme,
      ),
    },
  ]
  return { id: 'scenarios', title: 'Scenarios side by side', blocks }
}
