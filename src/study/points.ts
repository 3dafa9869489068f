import { latinHypercube, sobolSample } from './sample.js'
import type { Study, Varied } from './study-file.js'

/** The points at which every scenario of a study is planned. */
export interface Points {
  /** Inputs that are words: each combination of them is planned by itself. The last one varies fastest. */
  readonly words: readonly (readonly { readonly id: string; readonly value: string }[])[]
  /** Inputs that are numbers, in the order of the file. */
  readonly numbers: readonly string[]
  /** How many points of numbers there are for each combination of words. */
  readonly count: number
  /** The values of each number at points `from` to `from + count`. */
  columns(from: number, count: number): ReadonlyMap<string, Float64Array>
}

/**
 * The points of a study: every combination of the lists, the last row of the file fastest, and within each the points
 * of the sample.
 *
 * @param isWord whether an input is a choice of words or a day, not a number
 */
export function pointsOf({ inputs, seed }: Study, isWord: (id: string) => boolean): Points {
  const lists = inputs.flatMap((input) => (input.kind === 'list' ? [input] : []))
  const samples = inputs.flatMap((input) => (input.kind === 'sample' ? [input] : []))
  const drawn = samples[0]?.count ?? 1
  const ranges = samples.map(({ id, low, high }) => ({ id, low: Number(low), high: Number(high) }))
  const sample = samples[0]?.how === 'sobol' ? sobolSample(ranges, seed) : latinHypercube(ranges, drawn, seed)
  const words = lists.filter(({ id }) => isWord(id))
  const grid = lists.filter(({ id }) => !isWord(id))
  const spans = grid.map((_, k) => grid.slice(k + 1).reduce((n, { values }) => n * values.length, drawn))
  const gridValues = grid.map(({ values }) => Float64Array.from(values, Number))
  const numbers = inputs.filter(({ id }) => !isWord(id)).map(({ id }) => id)
  return {
    words: combinations(words),
    numbers,
    count: grid.reduce((n, { values }) => n * values.length, drawn),
    columns(from, count) {
      const column = (at: (point: number) => number): Float64Array =>
        Float64Array.from({ length: count }, (_, i) => at(from + i))
      const ofGrid = grid.map(({ id }, k): [string, Float64Array] => {
        const [values, span] = [gridValues[k] ?? new Float64Array(1), spans[k] ?? 1]
        return [id, column((point) => values[Math.floor(point / span) % values.length] ?? Number.NaN)]
      })
      const ofSample = [...sample].map(([id, valueAt]): [string, Float64Array] => [
        id,
        column((point) => valueAt(point % drawn)),
      ])
      const all = new Map([...ofGrid, ...ofSample])
      return new Map(numbers.map((id) => [id, all.get(id) ?? new Float64Array(count)]))
    },
  }
}

function combinations(
  lists: readonly Extract<Varied, { kind: 'list' }>[],
): { id: string; value: string }[][] {
  return lists.reduce<{ id: string; value: string }[][]>(
    (rows, { id, values }) => rows.flatMap((row) => values.map((value) => [...row, { id, value }])),
    [[]],
  )
}
