import { type Chart, type ChartTheme, chart, lineLabels, lines, listed, said } from './chart.js'

/** What a result becomes when one input goes to its low and to its high end. */
export interface Swing {
  readonly label: string
  readonly atLow: number
  readonly atHigh: number
}

const width = (s: Swing) => Math.abs(s.atHigh - s.atLow)

/** The swings in words, the widest first. */
export function tornadoAlt(swings: readonly Swing[], likely: number, unit: string): string {
  const parts = [...swings]
    .sort((a, b) => width(b) - width(a))
    .map((s) => `${s.label} ${said(Math.min(s.atLow, s.atHigh))} to ${said(Math.max(s.atLow, s.atHigh))}`)
  return `Bars of what one input alone does to the result of ${said(likely)} ${unit}: ${listed(parts)}.`
}

/** Inputs by how far each alone moves the result, the widest on top; the line is the likely result. */
export function tornadoChart(
  swings: readonly Swing[],
  likely: number,
  unit: string,
  theme: ChartTheme,
): Chart {
  const rows = [...swings]
    .sort((a, b) => width(b) - width(a))
    .flatMap((s) => [
      { label: lines(s.label, 34), from: likely, to: s.atLow, end: 'input at its low end' },
      { label: lines(s.label, 34), from: likely, to: s.atHigh, end: 'input at its high end' },
    ])
  const ends = ['input at its low end', 'input at its high end']
  return chart(theme, tornadoAlt(swings, likely, unit), {
    height: { step: 30 },
    data: { values: rows },
    layer: [
      {
        mark: { type: 'bar', height: 13, stroke: theme.ink, strokeWidth: 0.5 },
        encoding: {
          y: { field: 'label', type: 'nominal', sort: null, title: null, axis: lineLabels },
          x: { field: 'from', type: 'quantitative', title: unit, scale: { zero: false } },
          x2: { field: 'to' },
          color: {
            field: 'end',
            sort: ends,
            scale: { domain: ends, range: [theme.series[3], theme.series[0]] },
            title: null,
          },
        },
      },
      { mark: { type: 'rule', color: theme.ink }, encoding: { x: { datum: likely, type: 'quantitative' } } },
    ],
  })
}

/** A class of results and the share of draws that fell into it. */
export interface Bin {
  readonly from: number
  readonly until: number
  readonly share: number
}

/** The distribution in words. */
export function distributionAlt(
  bins: readonly Bin[],
  marks: readonly { readonly label: string; readonly value: number }[],
  unit: string,
): string {
  const [first, last] = [bins[0], bins.at(-1)]
  return (
    `Bars of how often the result falls into each class, ${said(first?.from ?? 0)} to ${said(last?.until ?? 0)} ${unit}. ` +
    `${listed(marks.map((m) => `${m.label} ${said(m.value)}`))}.`
  )
}

/** How often a simulated result falls into each class, with named marks such as the middle and the tails. */
export function distributionChart(
  bins: readonly Bin[],
  marks: readonly { readonly label: string; readonly value: number }[],
  unit: string,
  theme: ChartTheme,
): Chart {
  return chart(theme, distributionAlt(bins, marks, unit), {
    height: 220,
    layer: [
      {
        data: { values: bins },
        // A bar between two figures is drawn as a dash at the height of its share; a rectangle stands on zero.
        mark: { type: 'rect', color: theme.series[2], stroke: '#ffffff' },
        encoding: {
          x: { field: 'from', type: 'quantitative', title: unit, scale: { zero: false } },
          x2: { field: 'until' },
          y: { field: 'share', type: 'quantitative', title: 'share of the draws', axis: { format: '.0%' } },
          y2: { datum: 0 },
        },
      },
      {
        data: { values: marks.map((m) => ({ ...m, text: `${m.label} ${said(m.value)}` })) },
        layer: [
          {
            mark: { type: 'rule', color: theme.accent, strokeWidth: 1.5 },
            encoding: { x: { field: 'value', type: 'quantitative' } },
          },
          {
            mark: { type: 'text', angle: 270, align: 'right', dx: -4, dy: -6, color: theme.accent },
            encoding: {
              x: { field: 'value', type: 'quantitative' },
              y: { value: 0 },
              text: { field: 'text' },
            },
          },
        ],
      },
    ],
  })
}
