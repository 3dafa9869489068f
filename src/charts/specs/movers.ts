import { type Chart, type ChartTheme, chart, listed, said } from './chart.js'

/** A mover by the levelled price and what its answers are worth, 0 to 1. */
export interface MoverPoint {
  readonly mover: string
  readonly levelled: number
  readonly answers: number
  readonly excluded: boolean
}

/** Each mover as a point: levelled price across, answers up. Excluded ones are hollow. */
export function moversChart(points: readonly MoverPoint[], currency: string, theme: ChartTheme): Chart {
  const alt = `Movers by levelled price, ${currency}, and score of their answers: ${listed(
    points.map(
      ({ mover, levelled, answers, excluded }) =>
        `${mover} ${said(levelled)} and ${said(answers * 100)} %${excluded ? ', excluded' : ''}`,
    ),
  )}.`
  const x = {
    field: 'levelled',
    type: 'quantitative',
    scale: { zero: false, nice: true, padding: 40 },
    title: `levelled price, ${currency}`,
  }
  const y = {
    field: 'answers',
    type: 'quantitative',
    scale: { domain: [0, 1] },
    axis: { format: '.0%' },
    title: 'answers, weighted',
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
