import { type Chart, type ChartTheme, chart, listed, said, seriesScale, shownSeries } from './chart.js'

/** What a scenario comes to in one country: with the goods as listed, and with the fewest and most that were tried. */
export interface CountryCost {
  readonly country: string
  readonly scenario: string
  readonly least: number
  readonly listed: number
  readonly most: number
}

/** The chart in words: the ends of the order for each scenario. */
export function countriesAlt(costs: readonly CountryCost[], title: string): string {
  const names = [...new Set(costs.map(({ scenario }) => scenario))]
  const ends = names.map((name) => {
    const rising = costs.filter((c) => c.scenario === name).toSorted((a, b) => a.listed - b.listed)
    const [first, last] = [rising[0], rising.at(-1)]
    return `${name} from ${said(first?.listed ?? 0)} in ${first?.country} to ${said(last?.listed ?? 0)} in ${last?.country}`
  })
  const countries = new Set(costs.map(({ country }) => country)).size
  return `${title} in ${countries} countries, a bar from the smallest volume to the largest: ${listed(ends)}.`
}

/** A row for each country in the order given, a bar and a point for each scenario. */
export function countriesChart(all: readonly CountryCost[], title: string, theme: ChartTheme): Chart {
  const { points: costs, ...titled } = shownSeries(all, ({ listed: cost }) => cost)
  const names = [...new Set(costs.map(({ scenario }) => scenario))]
  const scale = seriesScale(theme, names)
  const y = { field: 'country', type: 'nominal', sort: null, title: null }
  const yOffset = { field: 'scenario', sort: null }
  const colour = { field: 'scenario', sort: null, scale: scale.colour, title: null }
  const at = (field: string) => ({ field, type: 'quantitative' })
  return chart(theme, countriesAlt(costs, title), {
    ...titled,
    height: { step: 11 },
    data: { values: costs },
    layer: [
      {
        mark: { type: 'rule', strokeWidth: 2 },
        encoding: { y, yOffset, x: { ...at('least'), title }, x2: { field: 'most' }, color: colour },
      },
      {
        mark: { type: 'point', filled: true, size: 36, opacity: 1 },
        encoding: {
          y,
          yOffset,
          x: at('listed'),
          color: colour,
          shape: { field: 'scenario', sort: null, scale: scale.shape, title: null },
        },
      },
    ],
  })
}
