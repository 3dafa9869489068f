import { type Chart, type ChartTheme, chart } from './chart.js'

/** A mover by the levelled price and what its answers are worth, 0 to 1. */
export interface MoverPoint {
  readonly mover: string
  readonly levelled: number
  readonly answers: number
  readonly excluded: boolean
}

/** What the chart says and how it writes its points, in the language of its page. */
export interface MoversChartWords {
  readonly price: string
  readonly answers: string
  readonly alt: (points: string) => string
  readonly point: (point: MoverPoint) => string
  /** Numbers along the price axis, where the English way of writing them would mislead. */
  readonly format?: string
}

/** Each mover as a point: levelled price across, answers up. Excluded ones are hollow. */
export function moversChart(
  points: readonly MoverPoint[],
  theme: ChartTheme,
  words: MoversChartWords,
): Chart {
  const alt = words.alt(points.map(words.point).join('; '))
  const x = {
    field: 'levelled',
    type: 'quantitative',
    scale: { zero: false, nice: true, padding: 40 },
    title: words.price,
    ...(words.format === undefined ? {} : { axis: { format: words.format } }),
  }
  const y = {
    field: 'answers',
    type: 'quantitative',
    scale: { domain: [0, 1] },
    axis: { labelExpr: "round(datum.value * 100) + '\u00a0%'" },
    title: words.answers,
  }
  return chart(theme, alt, {
    height: 220,
    data: { values: points },
    layer: [
      {
        mark: { type: 'point', size: 140, strokeWidth: 2, color: theme.series[0], opacity: 1 },
        encoding: {
          x,
          y,
          fill: {
            condition: { test: 'datum.excluded', value: '#ffffff' },
            value: theme.series[0],
          },
        },
      },
      {
        mark: { type: 'text', dy: -14, fontWeight: 'bold' },
        encoding: { x, y, text: { field: 'mover' } },
      },
    ],
  })
}
