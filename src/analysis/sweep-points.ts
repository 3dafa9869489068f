import { outputId } from './recorded-scenarios.js'

/** A scenario's result at one value of the input that varies. */
export interface LinePoint {
  readonly scenario: string
  readonly input: number
  readonly result: number
}

/** The least result at one pair of input values, and the scenario that has it. */
export interface GridPoint {
  readonly x: number
  readonly y: number
  readonly result: number
  readonly scenario: string
}

/** A sweep of one input as points of a line for each scenario. */
export function linePoints(
  columns: ReadonlyMap<string, Float64Array>,
  id: string,
  scenarios: readonly string[],
  cell: string,
): LinePoint[] {
  const inputs = columnOf(columns, id)
  return scenarios.flatMap((scenario) => {
    const results = columnOf(columns, outputId(scenario, cell))
    return Array.from(inputs, (input, k) => ({ scenario, input, result: results[k] ?? Number.NaN }))
  })
}

/** A sweep of two inputs as a grid of who comes to the least; of scenarios that are level, the first. */
export function gridPoints(
  columns: ReadonlyMap<string, Float64Array>,
  [x, y]: readonly [string, string],
  scenarios: readonly string[],
  cell: string,
): GridPoint[] {
  const [xs, ys] = [columnOf(columns, x), columnOf(columns, y)]
  const results = scenarios.map((scenario) => ({
    scenario,
    column: columnOf(columns, outputId(scenario, cell)),
  }))
  return Array.from(xs, (at, k) => {
    const there = results.map(({ scenario, column }) => ({ scenario, result: column[k] ?? Number.NaN }))
    const least = there.reduce((a, b) => (b.result < a.result ? b : a))
    return { x: at, y: ys[k] ?? Number.NaN, ...least }
  })
}

function columnOf(columns: ReadonlyMap<string, Float64Array>, id: string): Float64Array {
  const column = columns.get(id)
  if (column) return column
  throw new Error(`no column "${id}" in this sweep; there are: ${[...columns.keys()].join(', ')}`)
}
