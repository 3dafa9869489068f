import { sampleRankCorrelation } from 'simple-statistics'
import { batchSize, drawer } from './draws.js'
import { drawnColumns, worker } from './simulate.js'
import type { SimulationPlan } from './simulation-plan.js'

/** How much of the variance of a result one uncertain figure explains. */
export interface SobolIndex {
  readonly id: string
  /** Alone: the share of the variance that would go if the figure were known. */
  readonly firstOrder: number
  /** With all its interactions: the share that would stay if everything else were known. */
  readonly total: number
}

/** A result of drawn columns, one figure each: the first `count` draws of them. */
export type ResultOf = (columns: readonly Float64Array[], count: number) => Float64Array

/**
 * First-order and total Sobol indices of a result, by two independent sets of draws and one mixed set for each figure.
 *
 * Estimators of Jansen (1999) as in Saltelli et al. 2010, table 2; the figures must be independent of each other. In the
 * first-order one the expected difference of two independent results, twice the variance, is taken from the same draws,
 * so that a figure without effect comes out at zero and not at what those draws happen to differ by. With n draws the
 * standard error of an index is about 1 ÷ √n.
 *
 * @param first,second columns of the two sets, one for each figure
 * @param wanted places of the figures whose indices are asked for
 */
export function sobolIndices(
  result: ResultOf,
  first: readonly Float64Array[],
  second: readonly Float64Array[],
  count: number,
  wanted: readonly number[] = first.map((_, k) => k),
): Omit<SobolIndex, 'id'>[] {
  const [a, b] = [result(first, count).slice(0, count), result(second, count).slice(0, count)]
  const variance = varianceOf(a, b)
  let apart = 0
  for (let i = 0; i < count; i++) apart += ((b[i] as number) - (a[i] as number)) ** 2
  return wanted.map((k) => {
    if (!(variance > 0)) return { firstOrder: 0, total: 0 }
    const mixed = result(
      first.map((column, j) => (j === k ? (second[k] as Float64Array) : column)),
      count,
    )
    let [toSecond, toFirst] = [0, 0]
    for (let i = 0; i < count; i++) {
      toSecond += ((b[i] as number) - (mixed[i] as number)) ** 2
      toFirst += ((a[i] as number) - (mixed[i] as number)) ** 2
    }
    return {
      firstOrder: (apart - toSecond) / (2 * count * variance),
      total: toFirst / (2 * count * variance),
    }
  })
}

function varianceOf(a: Float64Array, b: Float64Array): number {
  const n = a.length + b.length
  let sum = 0
  for (const column of [a, b]) for (const x of column) sum += x
  const mean = sum / n
  let squares = 0
  for (const column of [a, b]) for (const x of column) squares += (x - mean) ** 2
  return squares / (n - 1)
}

/**
 * What drives the uncertainty of one output of a simulation: Sobol indices of the figures asked for, correlations left
 * out because indices are only defined without them.
 *
 * @param ids uncertain figures of the plan; those that are not drawn are left out
 * @param count draws of each set, at most a batch
 */
export function simulationSobol(
  plan: SimulationPlan,
  output: string,
  ids: readonly string[],
  count = 4096,
): SobolIndex[] {
  const place = outputPlace(plan, output)
  const draw = drawer({ ...plan.draws, correlations: [] })
  const [first, second] = [drawnColumns(plan), drawnColumns(plan)]
  draw(0, batchSize, first)
  draw(1, batchSize, second)
  const places = new Map(plan.draws.uncertain.map(({ id }, k) => [id, k]))
  const wanted = ids.flatMap((id) => {
    const k = places.get(id)
    return k === undefined ? [] : [{ id, k }]
  })
  const found = sobolIndices(
    resultOf(plan, place),
    first,
    second,
    Math.min(count, batchSize),
    wanted.map(({ k }) => k),
  )
  return wanted.map(({ id }, i) => ({ id, ...(found[i] ?? { firstOrder: 0, total: 0 }) }))
}

/**
 * Rank correlation (Spearman) of each drawn figure with an output, correlations between figures as the plan has them.
 *
 * @returns from −1 to 1 for each uncertain figure, the strongest first
 */
export function rankCorrelations(
  plan: SimulationPlan,
  output: string,
  count = 4096,
): { readonly id: string; readonly correlation: number }[] {
  const drawn = drawnColumns(plan)
  drawer(plan.draws)(0, batchSize, drawn)
  const result = [...resultOf(plan, outputPlace(plan, output))(drawn, Math.min(count, batchSize))]
  return plan.draws.uncertain
    .map(({ id }, k) => {
      const column = [...(drawn[k] as Float64Array).subarray(0, result.length)]
      const varies = column.some((x) => x !== column[0])
      return { id, correlation: varies ? sampleRankCorrelation(column, result) : 0 }
    })
    .toSorted((a, b) => Math.abs(b.correlation) - Math.abs(a.correlation))
}

function outputPlace(plan: SimulationPlan, output: string): number {
  const place = plan.program.outputs.findIndex(({ id }) => id === output)
  if (place >= 0) return place
  throw new Error(
    `"${output}" was not simulated; there are: ${plan.program.outputs.map(({ id }) => id).join(', ')}`,
  )
}

function resultOf(plan: SimulationPlan, place: number): ResultOf {
  const work = worker(plan)
  return (columns, count) => {
    const result = new Float64Array(count)
    work(columns, count, (start, n, outputs) => {
      result.set((outputs[place] as Float64Array).subarray(0, n), start)
    })
    return result
  }
}
