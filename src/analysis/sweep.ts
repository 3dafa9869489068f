import type { Decimal } from 'decimal.js'
import { Columns, type Program } from '../bulk/index.js'
import { Exact } from '../quantity/exact.js'

/** One input of a sweep and the values it takes, in rising order. */
export interface Axis {
  readonly id: string
  readonly values: readonly Decimal[]
}

/** Part `index` of `of`, counted from 1: a share of a sweep's rows. */
export interface Part {
  readonly index: number
  readonly of: number
}

/** Rows of a grid: row `start` is the first of `rows`; columns by input id, then by output id. */
export interface Rows {
  readonly start: number
  readonly count: number
  readonly columns: ReadonlyMap<string, Float64Array>
}

/** Rows are worked out in groups of this many wherever a part begins, so that every part agrees to the last bit. */
const group = 1024

/**
 * Evenly spaced values from one to another, ends included, exact in decimals.
 *
 * @param steps how many values, 2 or more. Example: 10 to 12 in 5 steps → 10, 10.5, 11, 11.5, 12
 */
export function axis(id: string, from: Decimal.Value, to: Decimal.Value, steps: number): Axis {
  if (!Number.isSafeInteger(steps) || steps < 2) {
    throw new Error(`axis "${id}" has ${steps} values; give a whole number, 2 or more`)
  }
  const low = new Exact(from)
  const high = new Exact(to)
  if (low.gte(high)) throw new Error(`axis "${id}" runs from ${low} to ${high}; give the lower value first`)
  const width = high.minus(low)
  // Taken at the shortest text of its double, as columns take it, so that the file shows what was calculated.
  const value = (k: number): Decimal => new Exact(low.plus(width.times(k).div(steps - 1)).toNumber())
  return { id, values: Array.from({ length: steps }, (_, k) => value(k)) }
}

/** How many rows the grid of these axes has. */
export const rowCount = (axes: readonly Axis[]): number => axes.reduce((n, a) => n * a.values.length, 1)

/** First row and row after the last of one part; the parts of a sweep follow each other without gap or overlap. */
export function partRows(total: number, part: Part): readonly [number, number] {
  const { index, of } = part
  if (!Number.isSafeInteger(index) || !Number.isSafeInteger(of) || index < 1 || index > of) {
    throw new Error(`part ${index}/${of}: give a part from 1/${of} to ${of}/${of}`)
  }
  const cut = (k: number): number => Number((BigInt(total) * BigInt(k)) / BigInt(of))
  return [cut(index - 1), cut(index)]
}

/**
 * Works out a grid: every value of each axis with every value of the others, the last axis fastest.
 * One or two axes give a line or a heat map; more are allowed.
 *
 * @param program compiled over the axes' inputs
 * @param each is handed the rows in order, at most 1024 at a time; the columns are the caller's to keep
 */
export function sweepRows(
  program: Program,
  axes: readonly Axis[],
  each: (rows: Rows) => void,
  part: Part = { index: 1, of: 1 },
): void {
  const columns = new Columns(program)
  const values = axes.map((a) => Float64Array.from(a.values, (v) => v.toNumber()))
  const missing = program.inputs.find((id) => axes.every((a) => a.id !== id))
  if (missing !== undefined)
    throw new Error(`the program varies "${missing}", which no axis gives values for`)
  const total = rowCount(axes)
  const [from, until] = partRows(total, part)
  const place = (row: number, k: number): number => {
    const after = axes.slice(k + 1).reduce((n, a) => n * a.values.length, 1)
    return Math.floor(row / after) % (values[k]?.length ?? 1)
  }
  for (let first = from - (from % group); first < until; first += group) {
    const count = Math.min(group, total - first)
    const inputs = values.map((column, k) =>
      Float64Array.from({ length: count }, (_, i) => column[place(first + i, k)] ?? 0),
    )
    const of = new Map(axes.map((a, k) => [a.id, inputs[k] ?? new Float64Array(count)]))
    const results = columns.evaluate(of)
    const [start, end] = [Math.max(first, from), Math.min(first + count, until)]
    const cut = (column: Float64Array): Float64Array => column.slice(start - first, end - first)
    const all = [...axes.map((a) => a.id), ...results.keys()]
    each({
      start,
      count: end - start,
      columns: new Map(all.map((id) => [id, cut(of.get(id) ?? results.get(id) ?? new Float64Array(count))])),
    })
  }
}

/** The whole grid as columns. Keeps every value in memory: 8 bytes each. */
export function sweep(program: Program, axes: readonly Axis[]): Map<string, Float64Array> {
  const total = rowCount(axes)
  const kept = new Map<string, Float64Array>()
  sweepRows(program, axes, ({ start, columns }) => {
    for (const [id, column] of columns) {
      const whole = kept.get(id) ?? new Float64Array(total)
      kept.set(id, whole)
      whole.set(column, start)
    }
  })
  return kept
}

/**
 * A sweep as CSV text, in pieces: a head line in part 1, then a row for each point. The pieces of all parts, one
 * after the other, are the file of the whole byte for byte.
 *
 * @param write is handed each piece in turn
 */
export function sweepCsv(
  program: Program,
  axes: readonly Axis[],
  write: (text: string) => void,
  part: Part = { index: 1, of: 1 },
): void {
  const head = [...axes.map((a) => a.id), ...program.outputs.map(({ id }) => id)]
  if (part.index === 1) write(`${head.map(csvField).join(',')}\n`)
  sweepRows(
    program,
    axes,
    ({ count, columns }) => {
      const all = head.map((id) => columns.get(id))
      const lines = Array.from({ length: count }, (_, i) =>
        all.map((column) => String(column?.[i] ?? '')).join(','),
      )
      write(`${lines.join('\n')}\n`)
    },
    part,
  )
}

/** Text that a spreadsheet program takes for a formula gets an apostrophe; what holds a comma or quote is quoted. */
function csvField(text: string): string {
  const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe
}
