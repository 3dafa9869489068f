import { type Chart, type ChartTheme, chart, listed, said, seriesScale, shownSeries } from './chart.js'

/** A scenario's total at one hourly labour cost at the origin. */
export interface WagePoint {
  readonly scenario: string
  readonly wage: number
  readonly total: number
}

/** A wage at which two scenarios cost the same. */
export interface WageCrossing {
  readonly wage: number
  readonly total: number
  readonly between: readonly [string, string]
}

/** Where lines through the points of two scenarios meet, between neighbouring wages. */
export function wageCrossings(points: readonly WagePoint[]): WageCrossing[] {
  const names = [...new Set(points.map((p) => p.scenario))]
  const line = (name: string) => points.filter((p) => p.scenario === name).sort((a, b) => a.wage - b.wage)
  return names.flatMap((a, i) =>
    names.slice(i + 1).flatMap((b) => {
      const [first, second] = [line(a), line(b)]
      return first.slice(1).flatMap((end, at): WageCrossing[] => {
        const start = first[at]
        const [otherStart, otherEnd] = [second[at], second[at + 1]]
        if (!start || !otherStart || !otherEnd) return []
        const [before, after] = [start.total - otherStart.total, end.total - otherEnd.total]
        if (before === after || before * after > 0 || after === 0) return []
        const share = before / (before - after)
        return [
          {
            wage: start.wage + share * (end.wage - start.wage),
            total: start.total + share * (end.total - start.total),
            between: [a, b],
          },
        ]
      })
    }),
  )
}

/** The lines in words. */
export function labourAlt(points: readonly WagePoint[], wageUnit: string, currency: string): string {
  const names = [...new Set(points.map((p) => p.scenario))]
  const wages = points.map((p) => p.wage)
  const ends = names.map((name) => {
    const line = points.filter((p) => p.scenario === name).sort((a, b) => a.wage - b.wage)
    return `${name} from ${said(line[0]?.total ?? 0)} to ${said(line.at(-1)?.total ?? 0)}`
  })
  const crossings = wageCrossings(points).map((c) => `${c.between.join(' and ')} at ${said(c.wage)}`)
  return (
    `Lines of total cost in ${currency} against hourly labour cost at the origin, ${said(Math.min(...wages))} to ` +
    `${said(Math.max(...wages))} ${wageUnit}: ${listed(ends)}. ` +
    (crossings.length > 0 ? `Lines cross: ${listed(crossings)}.` : 'The lines do not cross.')
  )
}

/** Total cost against the hourly labour cost at the origin, a line for each scenario, crossings marked. */
export function labourChart(
  all: readonly WagePoint[],
  wageUnit: string,
  currency: string,
  theme: ChartTheme,
  wageNow?: number,
): Chart {
  const { points, ...titled } = shownSeries(all, ({ total }) => total)
  const names = [...new Set(points.map((p) => p.scenario))]
  const scale = seriesScale(theme, names)
  const x = { field: 'wage', type: 'quantitative', title: `hourly labour cost at the origin, ${wageUnit}` }
  const y = {
    field: 'total',
    type: 'quantitative',
    title: `total cost, ${currency}`,
    scale: { zero: false },
  }
  const now =
    wageNow === undefined
      ? []
      : [
          {
            data: { values: [{ wage: wageNow, text: `now ${said(wageNow)}` }] },
            layer: [
              { mark: { type: 'rule', color: theme.muted, strokeDash: [1, 2] }, encoding: { x } },
              {
                mark: { type: 'text', align: 'left', baseline: 'top', dx: 4, color: theme.muted },
                encoding: { x, y: { value: 0 }, text: { field: 'text' } },
              },
            ],
          },
        ]
  const crossings = wageCrossings(points)
  const colour = { field: 'scenario', sort: null, scale: scale.colour, title: null }
  return chart(theme, labourAlt(points, wageUnit, currency), {
    ...titled,
    height: 240,
    layer: [
      ...now,
      {
        data: { values: points },
        mark: { type: 'line', strokeWidth: 2 },
        encoding: {
          x,
          y,
          color: colour,
          strokeDash: { field: 'scenario', sort: null, scale: scale.dash, title: null },
        },
      },
      {
        data: { values: points },
        mark: { type: 'point', filled: true, size: 36, opacity: 1 },
        encoding: {
          x,
          y,
          color: colour,
          shape: { field: 'scenario', sort: null, scale: scale.shape, title: null },
        },
      },
      ...(crossings.length === 0
        ? []
        : [
            {
              data: { values: crossings.map((c) => ({ ...c, text: said(c.wage) })) },
              mark: { type: 'text', dy: 16, color: theme.accent, fontWeight: 'bold' },
              encoding: { x, y, text: { field: 'text' } },
            },
          ]),
    ],
  })
}
