import { type Chart, type ChartTheme, chart, listed, said, seriesScale } from './chart.js'

/** Cost of one way to carry goods, as corners of a line: two at one volume make a step. */
export interface CarriageLine {
  readonly label: string
  readonly points: readonly { readonly m3: number; readonly cost: number }[]
}

/** A volume at which the cheapest way changes. */
export interface CarriageSwitch {
  readonly m3: number
  readonly cost: number
  readonly from: string
  readonly to: string
}

/** The switches in words. */
export function carriageAlt(
  lines: readonly CarriageLine[],
  switches: readonly CarriageSwitch[],
  currency: string,
  householdM3?: number,
): string {
  const changes = switches.map((s) => `at ${said(s.m3)} m³ from ${s.from} to ${s.to}`)
  return (
    `Lines of carriage cost in ${currency} against packed volume for ${listed(lines.map((l) => l.label))}. ` +
    (changes.length > 0
      ? `The cheapest changes ${listed(changes)}.`
      : 'The cheapest never changes over the volumes drawn.') +
    (householdM3 === undefined ? '' : ` This household ships ${said(householdM3)} m³.`)
  )
}

/**
 * Carriage cost against packed volume, a line for each option, with the volumes marked at which the cheapest
 * option changes and the volume this household ships.
 */
export function carriageChart(
  lines: readonly CarriageLine[],
  switches: readonly CarriageSwitch[],
  currency: string,
  theme: ChartTheme,
  householdM3?: number,
): Chart {
  const rows = lines.flatMap((l) => l.points.map((p, order) => ({ ...p, label: l.label, order })))
  const scale = seriesScale(
    theme,
    lines.map((l) => l.label),
  )
  // The names of options are long: three abreast would make the picture wider than its drawing area.
  const legend = { columns: 2 }
  const x = { field: 'm3', type: 'quantitative', title: 'packed volume, m³' }
  const y = { field: 'cost', type: 'quantitative', title: `carriage cost, ${currency}` }
  const here =
    householdM3 === undefined
      ? []
      : [
          {
            data: { values: [{ m3: householdM3, text: `this household ${said(householdM3)} m³` }] },
            layer: [
              { mark: { type: 'rule', color: theme.muted, strokeDash: [1, 2] }, encoding: { x } },
              {
                mark: { type: 'text', align: 'left', baseline: 'top', dx: 4, color: theme.muted },
                encoding: { x, y: { value: 0 }, text: { field: 'text' } },
              },
            ],
          },
        ]
  // A chart library finds no extent in a layer without rows: a household that no volume moves has none.
  const changes =
    switches.length === 0
      ? []
      : [
          {
            data: { values: switches.map((s) => ({ ...s, text: said(s.m3) })) },
            layer: [
              {
                mark: {
                  type: 'point',
                  shape: 'circle',
                  filled: true,
                  fill: '#ffffff',
                  stroke: theme.accent,
                  size: 60,
                  opacity: 1,
                },
                encoding: { x, y },
              },
              {
                mark: { type: 'text', dy: 14, color: theme.accent, fontWeight: 'bold' },
                encoding: { x, y, text: { field: 'text' } },
              },
            ],
          },
        ]
  return chart(theme, carriageAlt(lines, switches, currency, householdM3), {
    height: 280,
    layer: [
      ...here,
      {
        data: { values: rows },
        mark: { type: 'line', strokeWidth: 2 },
        encoding: {
          x,
          y,
          order: { field: 'order', type: 'quantitative' },
          color: { field: 'label', sort: null, scale: scale.colour, title: null, legend },
          strokeDash: { field: 'label', sort: null, scale: scale.dash, title: null, legend },
        },
      },
      ...changes,
    ],
  })
}
