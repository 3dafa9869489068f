import { type Chart, type ChartTheme, chart, listed, needsLightText, said } from './chart.js'

/** What the chart says and how it writes numbers, in the language of its page. */
export interface PhaseWords {
  readonly axis: string
  readonly number: (x: number) => string
  /** Numbers along the axis, which are written the English way; the bars carry theirs all the same. */
  readonly ticks?: boolean
}

/** What a scenario costs in one phase of the move. */
export interface PhaseAmount {
  readonly scenario: string
  readonly phase: string
  readonly amount: number
}

function totals(rows: readonly PhaseAmount[]): { scenario: string; amount: number; text: string }[] {
  const sums = new Map<string, number>()
  for (const { scenario, amount } of rows) sums.set(scenario, (sums.get(scenario) ?? 0) + amount)
  return [...sums].map(([scenario, amount]) => ({ scenario, amount, text: said(amount) }))
}

/** The phases of each scenario in words. */
export function phasesAlt(rows: readonly PhaseAmount[], currency: string): string {
  const parts = totals(rows).map(({ scenario, text }) => {
    const own = rows.filter((r) => r.scenario === scenario).map((r) => `${r.phase} ${said(r.amount)}`)
    return `${scenario} ${text} (${own.join(', ')})`
  })
  return `Stacked bars of what each scenario costs by phase, ${currency}: ${listed(parts)}.`
}

/** Scenarios side by side, each stacked by phase and labelled with its total. Phases keep the order given. */
export function phasesChart(
  rows: readonly PhaseAmount[],
  currency: string,
  theme: ChartTheme,
  { axis, number, ticks = true }: PhaseWords = { axis: `cost of the move, ${currency}`, number: said },
): Chart {
  const phases = [...new Set(rows.map((r) => r.phase))]
  const sums = totals(rows).map((sum) => ({ ...sum, text: number(sum.amount) }))
  const widest = Math.max(...sums.map((s) => s.amount))
  const colours = phases.map((_, i) => theme.series[i % theme.series.length] ?? theme.ink)
  const placed = sums.flatMap(({ scenario }) => {
    let from = 0
    return phases.flatMap((phase, i) => {
      const amount = rows.find((r) => r.scenario === scenario && r.phase === phase)?.amount ?? 0
      const start = from
      from += amount
      const colour = colours[i] ?? theme.ink
      return [
        {
          scenario,
          phase,
          from: start,
          to: from,
          middle: start + amount / 2,
          text: amount > widest * 0.08 ? number(amount) : '',
          shade: needsLightText(colour) ? '#ffffff' : theme.ink,
        },
      ]
    })
  })
  const y = { field: 'scenario', type: 'nominal', sort: null, title: null }
  return chart(theme, phasesAlt(rows, currency), {
    height: { step: 44 },
    data: { values: placed },
    layer: [
      {
        mark: { type: 'bar', height: 26, stroke: '#ffffff', strokeWidth: 1 },
        encoding: {
          y,
          x: {
            field: 'from',
            type: 'quantitative',
            title: axis,
            ...(ticks ? {} : { axis: { labels: false } }),
          },
          x2: { field: 'to' },
          color: {
            field: 'phase',
            sort: null,
            scale: { domain: phases, range: colours },
            title: null,
            legend: { columns: phases.length },
          },
        },
      },
      {
        mark: { type: 'text', fontSize: 10 },
        encoding: {
          y,
          x: { field: 'middle', type: 'quantitative' },
          text: { field: 'text' },
          color: { field: 'shade', scale: null },
        },
      },
      {
        data: { values: sums },
        mark: { type: 'text', align: 'left', dx: 6, fontWeight: 'bold' },
        encoding: { y, x: { field: 'amount', type: 'quantitative' }, text: { field: 'text' } },
      },
    ],
  })
}
