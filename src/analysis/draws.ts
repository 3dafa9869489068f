import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import type { JumpableRandomGenerator } from 'pure-rand/types/JumpableRandomGenerator'
import { type Distribution, normalsBelow, normalsOf, spreadOf } from './distributions.js'

/** One uncertain figure: the column it fills and how it spreads. */
export interface Uncertain {
  readonly id: string
  readonly distribution: Distribution
}

/** Two figures that tend to move together: the correlation of the normal values behind them, −1 to 1. */
export interface Correlation {
  readonly first: string
  readonly second: string
  readonly coefficient: number
}

/** What is drawn, as plain data. */
export interface DrawPlan {
  readonly uncertain: readonly Uncertain[]
  readonly correlations: readonly Correlation[]
  /** A whole number; the same one gives the same draws on every platform. */
  readonly start: number
}

/** Draws of one batch: every batch has a stretch of the generator of its own, whoever works it out. */
export const batchSize = 8192

/** Every pair of some figures with one correlation. */
export const together = (ids: readonly string[], coefficient: number): Correlation[] =>
  ids.flatMap((first, i) => ids.slice(i + 1).map((second) => ({ first, second, coefficient })))

/**
 * Prepares the draws of a plan.
 *
 * Figures are linked by a Gaussian copula: correlated normal values, each turned into its probability and then
 * into the figure's own distribution. The generator is xoroshiro128+, 32 bits a draw.
 *
 * @returns fills one column for each uncertain figure with the draws of a batch, counted from 0. Of `count` draws only
 *   the first `wanted` are worked out; each is the same whatever is wanted. Throws one sentence if the correlations
 *   contradict each other or name a figure that is not drawn
 */
export function drawer(
  plan: DrawPlan,
): (batch: number, count: number, columns: readonly Float64Array[], wanted?: number) => void {
  const spreads = plan.uncertain.map(({ distribution }) => spreadOf(distribution))
  const mixing = mixes(plan)
  const generators = generatorsOf(plan.start)
  const linked = new Set(mixing.flatMap((mix) => mix.members))
  const normals = plan.uncertain.map((_, k) => new Float64Array(linked.has(k) ? batchSize : 0))
  const probabilities = new Float64Array(batchSize)
  return (batch, count, columns, wanted = count) => {
    const generator = generators(batch)
    spreads.forEach((spread, k) => {
      drawProbabilities(generator, count, probabilities)
      const [into, normal] = [columns[k] as Float64Array, normals[k] as Float64Array]
      if (linked.has(k)) normalsOf(probabilities, wanted, normal)
      else spread(probabilities, wanted, into)
    })
    for (const { members, rows } of mixing) {
      members.forEach((k, row) => {
        probabilities.fill(0, 0, wanted)
        for (let j = 0; j <= row; j++) {
          addTimes(rows[row]?.[j] ?? 0, normals[members[j] as number] as Float64Array, wanted, probabilities)
        }
        normalsBelow(probabilities, wanted, probabilities)
        spreads[k]?.(probabilities, wanted, columns[k] as Float64Array)
      })
    }
  }
}

function addTimes(weight: number, column: Float64Array, count: number, into: Float64Array): void {
  for (let i = 0; i < count; i++) into[i] = (into[i] as number) + weight * (column[i] as number)
}

/** Numbers strictly between 0 and 1, 32 bits each: one in four thousand million apart. */
function drawProbabilities(generator: JumpableRandomGenerator, count: number, into: Float64Array): void {
  for (let i = 0; i < count; i++) into[i] = ((generator.next() >>> 0) + 0.5) / 4_294_967_296
}

/** The generator of each batch: 2^64 values after that of the batch before. */
function generatorsOf(start: number): (batch: number) => JumpableRandomGenerator {
  if (!Number.isInteger(start)) throw new Error(`start of the draws is ${start}; give a whole number`)
  const first = xoroshiro128plus(start)
  let at = 0
  let current = first.clone()
  return (batch) => {
    if (batch < at) [at, current] = [0, first.clone()]
    for (; at < batch; at++) current.jump()
    return current.clone()
  }
}

interface Mix {
  /** Places of the figures that are linked, directly or through others. */
  readonly members: readonly number[]
  /** Lower triangle of the matrix that turns independent normal values into linked ones. */
  readonly rows: readonly Float64Array[]
}

function mixes({ uncertain, correlations }: DrawPlan): Mix[] {
  const places = new Map(uncertain.map(({ id }, k) => [id, k]))
  const links = new Map<number, Map<number, number>>()
  const link = (a: number, b: number, coefficient: number): void => {
    links.set(a, (links.get(a) ?? new Map<number, number>()).set(b, coefficient))
  }
  for (const { first, second, coefficient } of correlations) {
    const [a, b] = [places.get(first), places.get(second)]
    if (a === undefined || b === undefined) {
      const missing = a === undefined ? first : second
      throw new Error(
        `correlation of "${first}" and "${second}": "${missing}" is not drawn; leave it out or give it a range`,
      )
    }
    if (a === b || !(Math.abs(coefficient) <= 1)) {
      throw new Error(
        `correlation of "${first}" and "${second}" is ${coefficient}; give two figures and a number from -1 to 1`,
      )
    }
    link(a, b, coefficient)
    link(b, a, coefficient)
  }
  const seen = new Set<number>()
  const groups: number[][] = []
  for (const start of links.keys()) {
    const group: number[] = []
    const open = [start]
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      if (seen.has(at)) continue
      seen.add(at)
      group.push(at)
      open.push(...(links.get(at)?.keys() ?? []))
    }
    if (group.length > 0) groups.push(group.sort((a, b) => a - b))
  }
  const name = (k: number): string => uncertain[k]?.id ?? ''
  return groups.map((members) => ({
    members,
    rows: triangle(
      members.map((a) => members.map((b) => (a === b ? 1 : (links.get(a)?.get(b) ?? 0)))),
      members.map(name),
    ),
  }))
}

/** The lower triangle whose product with its mirror image is the matrix (Cholesky). */
function triangle(matrix: readonly (readonly number[])[], names: readonly string[]): Float64Array[] {
  const rows: Float64Array[] = matrix.map(() => new Float64Array(matrix.length))
  matrix.forEach((line, i) => {
    const row = rows[i] as Float64Array
    for (let j = 0; j <= i; j++) {
      const other = rows[j] as Float64Array
      let rest = line[j] as number
      for (let k = 0; k < j; k++) rest -= (row[k] as number) * (other[k] as number)
      if (i === j) {
        if (rest < -1e-12) {
          throw new Error(
            `the correlations of ${names.join(', ')} contradict each other at "${names[i]}"; bring them nearer to zero`,
          )
        }
        row[j] = Math.sqrt(Math.max(0, rest))
      } else row[j] = (other[j] as number) > 1e-9 ? rest / (other[j] as number) : 0
    }
  })
  return rows
}
