import { type Chart, type ChartTheme, chart, listed, said } from './chart.js'

/** The least result at one pair of input values, and the scenario that has it. */
export interface HeatPoint {
  readonly x: number
  readonly y: number
  readonly result: number
  readonly scenario: string
}

/** What the axes and the colour are called, with their units. */
export interface HeatTitles {
  readonly x: string
  readonly y: string
  readonly result: string
}

const short = new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 4 })

/** The map in words: its corners, and how much of it each scenario leads. */
export function heatMapAlt(points: readonly HeatPoint[], titles: HeatTitles): string {
  const names = [...new Set(points.map((p) => p.scenario))].toSorted()
  const led = names.map((name) => {
    const share = points.filter((p) => p.scenario === name).length / points.length
    return `${name} leads in ${said(share * 100)} %`
  })
  const [xs, ys] = [points.map((p) => p.x), points.map((p) => p.y)]
  const corner = (x: number, y: number): string =>
    said(points.find((p) => p.x === x && p.y === y)?.result ?? Number.NaN)
  const [left, right] = [Math.min(...xs), Math.max(...xs)]
  const [low, high] = [Math.min(...ys), Math.max(...ys)]
  return (
    `Map of the least ${titles.result} over ${titles.x} (${short.format(left)} to ${short.format(right)}) and ${titles.y} ` +
    `(${short.format(low)} to ${short.format(high)}): ${corner(left, low)} with both low, ${corner(right, low)} and ` +
    `${corner(left, high)} with only the first or the second high, ${corner(right, high)} with both high. ${listed(led)} of the map.`
  )
}

/**
 * The least result over a grid of two inputs: darker is more, and the number in a field is the scenario that has it,
 * counted in the order of `scenarios`.
 */
export function heatMapChart(
  points: readonly HeatPoint[],
  scenarios: readonly string[],
  titles: HeatTitles,
  theme: ChartTheme,
): Chart {
  const results = points.map((p) => p.result)
  const middle = (Math.min(...results) + Math.max(...results)) / 2
  const label = (x: number): string => short.format(x)
  const ordered = (values: readonly number[]): string[] =>
    [...new Set(values)].toSorted((a, b) => a - b).map(label)
  const axes = {
    x: {
      field: 'column',
      type: 'ordinal',
      title: titles.x,
      sort: ordered(points.map((p) => p.x)),
      axis: { labelAngle: 0 },
    },
    y: { field: 'row', type: 'ordinal', title: titles.y, sort: ordered(points.map((p) => p.y)).toReversed() },
  }
  return chart(theme, heatMapAlt(points, titles), {
    height: { step: 24 },
    data: {
      values: points.map((p) => ({
        column: label(p.x),
        row: label(p.y),
        result: p.result,
        leads: String(scenarios.indexOf(p.scenario) + 1),
      })),
    },
    layer: [
      {
        mark: 'rect',
        encoding: {
          ...axes,
          color: {
            field: 'result',
            type: 'quantitative',
            title: `least ${titles.result}`,
            scale: { range: ['#f3efe4', theme.series[0]], zero: false },
          },
        },
      },
      {
        mark: { type: 'text', fontWeight: 'bold' },
        encoding: {
          ...axes,
          text: { field: 'leads' },
          color: {
            condition: { test: `datum.result > ${middle}`, value: '#ffffff' },
            value: theme.ink,
          },
        },
      },
    ],
    title: {
      text: scenarios.map((name, k) => `${k + 1} ${name}`).join('   '),
      anchor: 'start',
      fontSize: 11,
      fontWeight: 'normal',
      color: theme.ink,
    },
  })
}
