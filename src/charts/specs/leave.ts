import { type Chart, type ChartTheme, chart, listed, said } from './chart.js'

/** What leaving so many cubic metres comes to: less to pay for the move, and what is left of it after replacing. */
export interface LeavePoint {
  readonly m3: number
  readonly saved: number
  readonly gain: number
}

/** Saving and gain against the cubic metres left, as two lines over a zero line. */
export function leaveChart(points: readonly LeavePoint[], currency: string, theme: ChartTheme): Chart {
  const best = points.reduce((a, b) => (b.gain > a.gain ? b : a), points[0] ?? { m3: 0, saved: 0, gain: 0 })
  const alt = `What leaving things comes to, ${currency}: ${listed(
    points.map(({ m3, gain }) => `${said(m3)} m³ ${said(gain)}`),
  )}; best at ${said(best.m3)} m³.`
  const series = ['cheaper move', 'after selling and replacing'] as const
  const rows = points.flatMap(({ m3, saved, gain }) => [
    { m3, amount: saved, what: series[0] },
    { m3, amount: gain, what: series[1] },
  ])
  const x = { field: 'm3', type: 'quantitative', title: 'packed volume left behind, m³' }
  return chart(theme, alt, {
    height: 230,
    layer: [
      {
        data: { values: [{ zero: 0 }] },
        mark: { type: 'rule', color: theme.rule },
        encoding: { y: { datum: 0 } },
      },
      {
        data: { values: rows },
        mark: { type: 'line', point: true, strokeWidth: 2.5 },
        encoding: {
          x,
          y: { field: 'amount', type: 'quantitative', title: currency },
          color: {
            field: 'what',
            type: 'nominal',
            scale: { domain: series, range: [theme.series[2], theme.series[0]] },
            title: null,
          },
          strokeDash: {
            field: 'what',
            type: 'nominal',
            scale: { domain: series, range: [theme.dashes[1], theme.dashes[0]] },
            title: null,
          },
        },
      },
    ],
  })
}
