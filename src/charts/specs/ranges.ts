import { type Chart, type ChartTheme, chart, listed, said } from './chart.js'

/** A scenario's total as planned, and between which amounts eight moves in ten end. */
export interface CostRange {
  readonly scenario: string
  readonly low: number
  readonly likely: number
  readonly high: number
}

/** The ranges in words. */
export function rangesAlt(ranges: readonly CostRange[], currency: string): string {
  const parts = ranges.map(
    (r) => `${r.scenario} ${said(r.low)} to ${said(r.high)}, as planned ${said(r.likely)}`,
  )
  return `Where eight moves in ten end, total cost of each scenario, ${currency}: ${listed(parts)}.`
}

/** Low, likely and high total of each scenario: a bar with a diamond at the likely figure. */
export function rangesChart(ranges: readonly CostRange[], currency: string, theme: ChartTheme): Chart {
  const rows = ranges.map((r) => ({
    ...r,
    lowText: said(r.low),
    likelyText: said(r.likely),
    highText: said(r.high),
  }))
  const y = { field: 'scenario', type: 'nominal', sort: null, title: null }
  const at = (field: string) => ({ field, type: 'quantitative' })
  return chart(theme, rangesAlt(ranges, currency), {
    height: { step: 46 },
    data: { values: rows },
    layer: [
      {
        mark: { type: 'bar', height: 10, color: theme.series[2] },
        encoding: { y, x: { ...at('low'), title: `total cost, ${currency}` }, x2: { field: 'high' } },
      },
      {
        mark: {
          type: 'point',
          shape: 'diamond',
          filled: true,
          color: theme.series[0],
          size: 110,
          opacity: 1,
        },
        encoding: { y, x: at('likely') },
      },
      {
        // Below its end: the figure as planned mostly stands just before the bar.
        mark: { type: 'text', dy: 14 },
        encoding: { y, x: at('low'), text: { field: 'lowText' } },
      },
      {
        mark: { type: 'text', align: 'left', dx: 5 },
        encoding: { y, x: at('high'), text: { field: 'highText' } },
      },
      {
        mark: { type: 'text', dy: -14, fontWeight: 'bold' },
        encoding: { y, x: at('likely'), text: { field: 'likelyText' } },
      },
    ],
  })
}
