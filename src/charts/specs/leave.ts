import { type Chart, type ChartTheme, chart } from './chart.js'

/** What leaving so many cubic metres comes to: less to pay for the move, and what is left of it after replacing. */
export interface LeavePoint {
  readonly m3: number
  readonly saved: number
  readonly gain: number
}

/** What the chart says and how it writes numbers, in the language of its page. */
export interface LeaveChartWords {
  readonly volume: string
  readonly saved: string
  readonly gain: string
  readonly number: (x: number, unit: 'm3' | 'money') => string
  readonly alt: (points: string, best: string) => string
  /** Numbers along the axis of money, where the English way of writing them would mislead. */
  readonly format?: string
}

/** Saving and gain against the cubic metres left, as two lines over a zero line. */
export function leaveChart(
  points: readonly LeavePoint[],
  currency: string,
  theme: ChartTheme,
  words: LeaveChartWords,
): Chart {
  const best = points.reduce((a, b) => (b.gain > a.gain ? b : a), points[0] ?? { m3: 0, saved: 0, gain: 0 })
  const volume = (m3: number) => `${words.number(m3, 'm3')}\u00a0m³`
  const alt = words.alt(
    points.map(({ m3, gain }) => `${volume(m3)} ${words.number(gain, 'money')}`).join('; '),
    volume(best.m3),
  )
  const series = [words.saved, words.gain] as const
  const rows = points.flatMap(({ m3, saved, gain }) => [
    { m3, amount: saved, what: series[0] },
    { m3, amount: gain, what: series[1] },
  ])
  const x = { field: 'm3', type: 'quantitative', title: words.volume }
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
          y: {
            field: 'amount',
            type: 'quantitative',
            title: currency,
            ...(words.format === undefined ? {} : { axis: { format: words.format } }),
          },
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
