import { quantileSorted } from 'simple-statistics'

/** One result over all draws. Amounts in the unit of the cell. */
export interface Summary {
  readonly draws: number
  readonly mean: number
  /** What the mean may be off by chance, one standard error. */
  readonly standardError: number
  readonly deviation: number
  readonly p10: number
  readonly p50: number
  readonly p90: number
  /** Bounds that hold the true P90 nineteen times in twenty. */
  readonly p90Between: readonly [number, number]
  readonly least: number
  readonly most: number
  /** Mean of the dearest twentieth. */
  readonly worstTwentieth: number
}

/** Summary of a column of draws. Sorts a copy. */
export function summary(column: Float64Array): Summary {
  const sorted = column.slice().sort()
  const n = sorted.length
  // Summed from the least up, less the middle value: sums of millions of like amounts keep their last digits.
  const centre = sorted[n >> 1] ?? Number.NaN
  let sum = 0
  let squares = 0
  for (const x of sorted) {
    sum += x - centre
    squares += (x - centre) ** 2
  }
  const shift = sum / n
  const variance = n > 1 ? Math.max(0, (squares - n * shift * shift) / (n - 1)) : 0
  const spread = 1.96 * Math.sqrt(n * 0.9 * 0.1)
  const rank = (k: number): number => sorted[Math.min(n - 1, Math.max(0, Math.round(k)))] ?? Number.NaN
  return {
    draws: n,
    mean: centre + shift,
    standardError: Math.sqrt(variance / n),
    deviation: Math.sqrt(variance),
    p10: quantile(sorted, 0.1),
    p50: quantile(sorted, 0.5),
    p90: quantile(sorted, 0.9),
    p90Between: [rank(0.9 * n - spread), rank(0.9 * n + spread)],
    least: sorted[0] ?? Number.NaN,
    most: sorted[n - 1] ?? Number.NaN,
    worstTwentieth: shortfall(sorted, 0.05),
  }
}

/** The quantile of sorted draws, between two of them in proportion (type 7 of Hyndman and Fan 1996). */
export const quantile = (sorted: Float64Array, probability: number): number =>
  quantileSorted(sorted as unknown as number[], probability)

/** Expected shortfall of sorted costs: the mean of the dearest share, a draw that the cut splits counted in part. */
export function shortfall(sorted: Float64Array, share: number): number {
  const take = sorted.length * share
  const whole = Math.floor(take)
  let sum = 0
  for (let i = 1; i <= whole; i++) sum += sorted[sorted.length - i] ?? 0
  const rest = take - whole
  if (rest > 1e-9) sum += rest * (sorted[sorted.length - whole - 1] ?? 0)
  return sum / (whole + (rest > 1e-9 ? rest : 0))
}

/** Share of draws above an amount. */
export function chanceOver(column: Float64Array, budget: number): number {
  let over = 0
  for (const x of column) if (x > budget) over += 1
  return over / column.length
}

/** Share of draws in which the first is less than the second; draws that are level count half. */
export function chanceBeats(first: Float64Array, second: Float64Array): number {
  let wins = 0
  for (let i = 0; i < first.length; i++) {
    const gap = (first[i] as number) - (second[i] as number)
    wins += gap < 0 ? 1 : gap === 0 ? 0.5 : 0
  }
  return wins / first.length
}

/** How results settle as draws are added: the figures after the first draws, twice as many, and so on to all. */
export function convergence(column: Float64Array): Summary[] {
  const stops: number[] = []
  for (let n = column.length; n >= 100; n = Math.ceil(n / 2)) stops.push(n)
  return stops.reverse().map((n) => summary(column.subarray(0, n)))
}
