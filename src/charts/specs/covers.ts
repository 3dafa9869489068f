import { type Chart, type ChartTheme, chart, listed, said, seriesScale } from './chart.js'

/** What having a cover costs before anything happens: premium and the services it makes the household buy. */
export interface CoverLine {
  readonly label: string
  readonly cost: number
}

/** A damage that one cover answers for and the others do not, such as breakage under all risks. */
export interface CoverComparison {
  readonly answering: CoverLine & { readonly deductible: number }
  readonly others: readonly CoverLine[]
  readonly currency: string
}

/** The damage at which the answering cover has paid for itself over another: 0 or more. */
export const coverCrossing = ({ answering }: CoverComparison, other: CoverLine): number =>
  Math.max(0, answering.cost - other.cost + answering.deductible)

/** The crossings in words. */
export function coversAlt(comparison: CoverComparison): string {
  const { answering, others, currency } = comparison
  const parts = others.map((o) => `over ${o.label} from ${said(coverCrossing(comparison, o))}`)
  return (
    `Lines of cover cost plus damage borne, ${currency}, against the size of one damage that only ${answering.label} ` +
    `answers for. ${answering.label} costs ${said(answering.cost)} and a deductible of ${said(answering.deductible)}; ` +
    `it pays ${listed(parts)}.`
  )
}

/**
 * Net cost of each cover against the size of one damage that only the dearest answers for: flat for that one past
 * its deductible, rising for the others. The crossings are the damages at which it starts to pay.
 */
export function coversChart(comparison: CoverComparison, theme: ChartTheme): Chart {
  const { answering, others, currency } = comparison
  const most = Math.max(...others.map((o) => coverCrossing(comparison, o)), answering.deductible) * 1.4
  const rows = [
    ...[0, answering.deductible, most].map((damage) => ({
      label: answering.label,
      damage,
      cost: answering.cost + Math.min(damage, answering.deductible),
    })),
    ...others.flatMap((o) => [0, most].map((damage) => ({ label: o.label, damage, cost: o.cost + damage }))),
  ]
  const crossings = others.map((o, i) => {
    const damage = coverCrossing(comparison, o)
    return { damage, cost: o.cost + damage, text: said(damage), above: i % 2 === 0 }
  })
  const scale = seriesScale(theme, [answering.label, ...others.map((o) => o.label)])
  const x = { field: 'damage', type: 'quantitative', title: `damage, ${currency}` }
  const y = { field: 'cost', type: 'quantitative', title: `cover and damage borne, ${currency}` }
  return chart(theme, coversAlt(comparison), {
    height: 250,
    layer: [
      {
        data: { values: rows },
        mark: { type: 'line', strokeWidth: 2 },
        encoding: {
          x,
          y,
          color: { field: 'label', sort: null, scale: scale.colour, title: null },
          strokeDash: { field: 'label', sort: null, scale: scale.dash, title: null },
        },
      },
      {
        data: { values: crossings },
        layer: [
          {
            mark: {
              type: 'point',
              filled: true,
              fill: '#ffffff',
              stroke: theme.accent,
              size: 60,
              opacity: 1,
            },
            encoding: { x, y },
          },
          // Neighbouring crossings stand close together: labels go above and below in turn.
          ...[true, false]
            .map((above) => ({ above, values: crossings.filter((crossing) => crossing.above === above) }))
            .filter(({ values }) => values.length > 0)
            .map(({ above, values }) => ({
              data: { values },
              mark: { type: 'text', dy: above ? -13 : 15, color: theme.accent, fontWeight: 'bold' },
              encoding: { x, y, text: { field: 'text' } },
            })),
        ],
      },
    ],
  })
}
