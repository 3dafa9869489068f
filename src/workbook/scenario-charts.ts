import type { Chart } from './chart-parts.js'
import { fixedAddress, sheetPrefix } from './names.js'

/** Where on a sheet the figures of its charts stand; rows and columns zero-based. */
export interface ChartPlaces {
  readonly sheet: string
  readonly unit: string
  /** The headings that name the scenarios: a row, and the first and last of their columns. */
  readonly names: { readonly row: number; readonly from: number; readonly to: number }
  /** Rows of the phases' totals. */
  readonly phases: readonly number[]
  /** First and last row of the containers, from small to large, and of the covers. */
  readonly sizes: { readonly from: number; readonly to: number }
  readonly covers: { readonly from: number; readonly to: number }
  /** The first row that is free. */
  readonly below: number
}

const LABELS = 1
const ROWS_OF_A_CHART = 17

/** What the scenarios cost by phase, what a cubic metre costs by container, and when a cover has paid for itself. */
export function scenarioCharts({ sheet, unit, names, phases, sizes, covers, below }: ChartPlaces): Chart[] {
  const at = (column: number, row: number) => `${sheetPrefix(sheet)}${fixedAddress(column, row)}`
  const range = (c1: number, r1: number, c2: number, r2: number) => `${at(c1, r1)}:${fixedAddress(c2, r2)}`
  const scenarios = Array.from({ length: names.to - names.from + 1 }, (_, i) => names.from + i)
  const byScenario = ({ from, to }: { from: number; to: number }) => ({
    categories: range(LABELS, from, LABELS, to),
    series: scenarios.map((column) => ({
      name: at(column, names.row),
      values: range(column, from, column, to),
    })),
  })
  return [
    {
      title: 'What each scenario costs, by phase',
      axis: unit,
      stacked: true,
      categories: range(names.from, names.row, names.to, names.row),
      series: phases.map((row) => ({
        name: at(LABELS, row),
        values: range(names.from, row, names.to, row),
      })),
      column: LABELS,
      row: below,
    },
    {
      title: 'Carriage for each usable m³, by container',
      axis: `${unit}/m³`,
      stacked: false,
      ...byScenario(sizes),
      column: names.from,
      row: below,
    },
    {
      title: 'Damage at which a cover has paid for itself',
      axis: unit,
      stacked: false,
      ...byScenario(covers),
      column: LABELS,
      row: below + ROWS_OF_A_CHART,
    },
  ].filter(
    (chart, i) =>
      chart.series.length > 0 && (i !== 1 || sizes.to >= sizes.from) && (i !== 2 || covers.to >= covers.from),
  )
}
