import { type Chart, type ChartTheme, chart, lineLabels, lines, listed, said } from './chart.js'

/** What a cover comes to on average, and what it leaves to the household in a case as rare as it accepts. */
export interface CoverBar {
  readonly label: string
  /** Premium and services the cover forces. */
  readonly certain: number
  /** Damage the household still bears, on average. */
  readonly expectedRetained: number
  /** The damage borne that is exceeded only as rarely as the household accepts. */
  readonly rarelyMore: number
}

/** The decision in words. */
export function coverDecisionAlt(
  covers: readonly CoverBar[],
  tolerance: number,
  rarely: string,
  currency: string,
): string {
  const parts = covers.map(
    (c) =>
      `${c.label} ${said(c.certain + c.expectedRetained)} on average, of which ${said(c.expectedRetained)} damage borne, and ` +
      `more than ${said(c.rarelyMore)} borne in ${rarely} only`,
  )
  return (
    `Bars of what each cover comes to on average, ${currency}, with the damage borne that is exceeded in ${rarely} only: ` +
    `${parts.join('; ')}. The household could bear ${said(tolerance)}: ` +
    `${listed(covers.filter((c) => c.rarelyMore <= tolerance).map((c) => c.label)) || 'no choice'} within it.`
  )
}

/**
 * Each cover's average cost as a bar, and as a diamond the damage it leaves to the household in a case as rare as it
 * accepts, against the line of what the household could bear: a diamond up to the line is a cover it can bear.
 *
 * @param rarely how rare that is, in words: `1 move in 1,000`
 */
export function coverDecisionChart(
  covers: readonly CoverBar[],
  tolerance: number,
  rarely: string,
  currency: string,
  theme: ChartTheme,
): Chart {
  const parts = ['premium and services it forces', 'damage borne on average']
  const worst = `damage borne, exceeded in ${rarely}`
  const label = (c: CoverBar): string => lines(c.label, 24)
  const y = { field: 'label', type: 'nominal', sort: null, title: null, axis: lineLabels }
  const title = currency
  const colour = {
    field: 'part',
    sort: null,
    scale: { domain: [...parts, worst], range: [theme.series[0], theme.series[3], theme.accent] },
    title: null,
  }
  const bars = covers.flatMap((c) => [
    { label: label(c), part: parts[0], order: 0, amount: c.certain },
    { label: label(c), part: parts[1], order: 1, amount: c.expectedRetained },
  ])
  return chart(theme, coverDecisionAlt(covers, tolerance, rarely, currency), {
    height: { step: 34 },
    layer: [
      {
        data: { values: bars },
        mark: { type: 'bar', height: 15, stroke: theme.ink, strokeWidth: 0.5 },
        encoding: {
          y,
          x: { field: 'amount', type: 'quantitative', title, stack: 'zero' },
          order: { field: 'order', type: 'quantitative' },
          color: colour,
        },
      },
      {
        data: { values: covers.map((c) => ({ label: label(c), part: worst, amount: c.rarelyMore })) },
        mark: { type: 'point', shape: 'diamond', filled: true, stroke: '#ffffff', size: 110, opacity: 1 },
        encoding: {
          y,
          x: { field: 'amount', type: 'quantitative', title },
          color: colour,
        },
      },
      {
        data: { values: [{ amount: tolerance, text: `could bear ${said(tolerance)}` }] },
        layer: [
          {
            mark: { type: 'rule', color: theme.ink, strokeDash: [4, 3], strokeWidth: 1.5 },
            encoding: { x: { field: 'amount', type: 'quantitative' } },
          },
          {
            mark: { type: 'text', align: 'left', baseline: 'bottom', dx: 3, dy: -3, color: theme.ink },
            encoding: {
              x: { field: 'amount', type: 'quantitative' },
              y: { value: 0 },
              text: { field: 'text' },
            },
          },
        ],
      },
    ],
  })
}
