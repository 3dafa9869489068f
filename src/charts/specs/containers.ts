import { type Chart, type ChartTheme, chart, lineLabels, lines, said } from './chart.js'

/** Carriage cost of one way to carry the goods for each m³ of space, in the household's currency. */
export interface ContainerCost {
  readonly label: string
  /** For each m³ between the walls; absent for a shared container. */
  readonly nominal?: number
  /** For each m³ that goods can really take. */
  readonly usable?: number
  /** For each packed m³ of this household: what it really pays. */
  readonly shipped: number
}

const MEASURES = ['nominal', 'usable', 'shipped'] as const

/** The costs per cubic metre in words. */
export function containerCostAlt(options: readonly ContainerCost[], currency: string): string {
  const parts = options.map(
    (o) =>
      `${o.label} ${MEASURES.flatMap((m) => (o[m] === undefined ? [] : [`${said(o[m])} ${m}`])).join(', ')}`,
  )
  const best = options.reduce((a, b) => (b.shipped < a.shipped ? b : a))
  return (
    `Grouped bars of carriage cost for each cubic metre, ${currency}: ${parts.join('; ')}. ` +
    `For what this household ships, the least is ${best.label}.`
  )
}

/** Container size against cost per m³: nominal, usable and actually shipped, side by side for each option. */
export function containerCostChart(
  options: readonly ContainerCost[],
  currency: string,
  theme: ChartTheme,
): Chart {
  const rows = options.flatMap((o) =>
    MEASURES.flatMap((measure) =>
      o[measure] === undefined
        ? []
        : [{ label: lines(o.label, 16), measure, cost: o[measure], text: said(o[measure]) }],
    ),
  )
  const fills = [theme.series[3], theme.series[2], theme.series[0]]
  const encoding = {
    x: {
      field: 'label',
      type: 'nominal',
      sort: null,
      title: null,
      axis: { labelAngle: 0, ...lineLabels },
    },
    xOffset: { field: 'measure', sort: [...MEASURES] },
    y: {
      field: 'cost',
      type: 'quantitative',
      title: `carriage cost, ${currency} for each m³`,
      scale: { zero: true },
    },
  }
  return chart(theme, containerCostAlt(options, currency), {
    height: 240,
    data: { values: rows },
    layer: [
      {
        mark: { type: 'bar', stroke: theme.ink, strokeWidth: 0.5 },
        encoding: {
          ...encoding,
          color: {
            field: 'measure',
            scale: { domain: [...MEASURES], range: fills },
            sort: [...MEASURES],
            title: 'each m³ of space that is',
          },
        },
      },
      {
        mark: {
          type: 'text',
          dy: -6,
          fontSize: 10,
          color: theme.ink,
        },
        encoding: { ...encoding, text: { field: 'text' } },
      },
    ],
  })
}
