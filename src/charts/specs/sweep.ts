import { type Chart, type ChartTheme, chart, listed, said, seriesScale, shownSeries } from './chart.js'

/** A scenario's result at one value of the input that varies. */
export interface SweepPoint {
  readonly scenario: string
  readonly input: number
  readonly result: number
}

/** A value of the input at which two scenarios change places, and their result there. */
export interface SweepCrossing {
  readonly input: number
  readonly result: number
  readonly between: readonly [string, string]
}

/** What the two axes are called, with their units. */
export interface SweepTitles {
  readonly input: string
  readonly result: string
}

/** The lines in words. */
export function sweepAlt(
  points: readonly SweepPoint[],
  crossings: readonly SweepCrossing[],
  titles: SweepTitles,
): string {
  const names = [...new Set(points.map((p) => p.scenario))]
  const inputs = points.map((p) => p.input)
  const ends = names.map((name) => {
    const line = points.filter((p) => p.scenario === name).toSorted((a, b) => a.input - b.input)
    return `${name} from ${said(line[0]?.result ?? 0)} to ${said(line.at(-1)?.result ?? 0)}`
  })
  const changes = crossings.map((c) => `${c.between.join(' and ')} at ${fine(c.input)}`)
  return (
    `Lines of ${titles.result} against ${titles.input}, ${fine(Math.min(...inputs))} to ${fine(Math.max(...inputs))}: ` +
    `${listed(ends)}. ${changes.length > 0 ? `Scenarios change places: ${listed(changes)}.` : 'No two scenarios change places.'}`
  )
}

const fine = (x: number): string =>
  Math.abs(x) >= 10 ? said(x) : new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 4 }).format(x)

/** A result against one input, a line for each scenario, with the solved crossings marked. */
export function sweepChart(
  all: readonly SweepPoint[],
  every: readonly SweepCrossing[],
  titles: SweepTitles,
  theme: ChartTheme,
  now?: number,
): Chart {
  const { points, ...titled } = shownSeries(all, ({ result }) => result)
  const shown = new Set(points.map(({ scenario }) => scenario))
  const crossings = every.filter(({ between }) => between.every((name) => shown.has(name)))
  const scale = seriesScale(theme, [...new Set(points.map((p) => p.scenario))])
  const x = { field: 'input', type: 'quantitative', title: titles.input, scale: { zero: false } }
  const y = { field: 'result', type: 'quantitative', title: titles.result, scale: { zero: false } }
  const legend = { field: 'scenario', sort: null, title: null }
  const planned =
    now === undefined
      ? []
      : [
          {
            data: { values: [{ input: now, text: `as planned ${fine(now)}` }] },
            layer: [
              { mark: { type: 'rule', color: theme.muted, strokeDash: [1, 2] }, encoding: { x } },
              {
                mark: { type: 'text', align: 'left', baseline: 'top', dx: 4, color: theme.muted },
                encoding: { x, y: { value: 0 }, text: { field: 'text' } },
              },
            ],
          },
        ]
  // Neighbouring crossings stand close together: labels go above and below in turn. A chart library finds no extent
  // in a layer without rows, so an empty side has none.
  const marks = [0, 1].flatMap((side) => {
    const values = crossings.filter((_, i) => i % 2 === side).map((c) => ({ ...c, text: fine(c.input) }))
    if (values.length === 0) return []
    const point = {
      type: 'point',
      shape: 'circle',
      filled: true,
      fill: '#ffffff',
      stroke: theme.accent,
      size: 60,
      opacity: 1,
    }
    const text = { type: 'text', dy: side === 0 ? -14 : 14, color: theme.accent, fontWeight: 'bold' }
    return [
      {
        data: { values },
        layer: [
          { mark: point, encoding: { x, y } },
          { mark: text, encoding: { x, y, text: { field: 'text' } } },
        ],
      },
    ]
  })
  return chart(theme, sweepAlt(points, crossings, titles), {
    ...titled,
    height: 260,
    layer: [
      ...planned,
      {
        data: { values: points },
        mark: { type: 'line', strokeWidth: 2 },
        encoding: {
          x,
          y,
          color: { ...legend, scale: scale.colour },
          strokeDash: { ...legend, scale: scale.dash },
        },
      },
      ...marks,
    ],
  })
}
