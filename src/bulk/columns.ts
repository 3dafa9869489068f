import type { RoundingRule } from '../quantity/arithmetic.js'
import type { Term } from './lower.js'

/** Asks the exact arithmetic for the value of this step in one scenario of the block. */
export type Settle = (lane: number) => number

/** How a step treats values near its edge. */
export interface Edge {
  /** A distance from the edge that is greater is beyond doubt. */
  near: number
  /** A distance of zero is beyond doubt: 1 always, 2 where the value itself is zero. */
  ties: number
  /** Above zero: values near the edge are whole numbers over this, and are decided as such. */
  grid: number
  readonly settle: Settle
}

/*
 * One tight loop for each kind of step. Every one of them reads and writes the first `count` places of its
 * columns. What is near the edge, or is not a number, is left to whole numbers or to the exact arithmetic.
 */

/** The quotient of two columns. */
export function quotientInto(into: Float64Array, count: number, a: Float64Array, b: Float64Array): void {
  for (let i = 0; i < count; i++) into[i] = (a[i] as number) / (b[i] as number)
}

/** The lesser or the greater of two columns. */
export function extremeInto(
  into: Float64Array,
  count: number,
  a: Float64Array,
  b: Float64Array,
  greater: boolean,
  edge: Edge,
): void {
  const { near, ties, grid } = edge
  for (let i = 0; i < count; i++) {
    const x = a[i] as number
    const y = b[i] as number
    const difference = x - y
    into[i] = difference >= 0 === greater ? x : y
    if (!(Math.abs(difference) > near) && !(difference === 0 && (ties === 1 || (ties === 2 && x === 0)))) {
      if (grid === 0) into[i] = edge.settle(i)
      else into[i] = Math.round(x * grid) >= Math.round(y * grid) === greater ? x : y
    }
  }
}

/** Up to the next whole number. */
export function ceilInto(into: Float64Array, count: number, a: Float64Array, edge: Edge): void {
  const { near, ties, grid } = edge
  for (let i = 0; i < count; i++) {
    const x = a[i] as number
    const difference = x - Math.floor(x + 0.5)
    into[i] = Math.ceil(x)
    if (!(Math.abs(difference) > near) && !(difference === 0 && (ties === 1 || (ties === 2 && x === 0)))) {
      into[i] = grid === 0 ? edge.settle(i) : Math.ceil(Math.round(x * grid) / grid)
    }
  }
}

/** To a number of decimals; `scale` is ten to that power. */
export function roundInto(
  into: Float64Array,
  count: number,
  a: Float64Array,
  scale: number,
  rule: RoundingRule,
  edge: Edge,
): void {
  const { near, ties, grid } = edge
  if (rule === 'down') {
    for (let i = 0; i < count; i++) {
      const x = (a[i] as number) * scale
      const difference = x - Math.floor(x + 0.5)
      into[i] = Math.trunc(x) / scale
      if (!(Math.abs(difference) > near) && !(difference === 0 && (ties === 1 || (ties === 2 && x === 0)))) {
        into[i] = grid === 0 ? edge.settle(i) : roundedWhole(a[i] as number, grid, scale, rule)
      }
    }
    return
  }
  for (let i = 0; i < count; i++) {
    const x = (a[i] as number) * scale
    // Away from a half it does not matter which way a half goes. Without a branch: amounts of money lie above and
    // below a half at random, which no processor foretells.
    const whole = Math.floor(x + 0.5)
    into[i] = whole / scale
    if (!(0.5 - Math.abs(x - whole) > near)) {
      into[i] = grid === 0 ? edge.settle(i) : roundedWhole(a[i] as number, grid, scale, rule)
    }
  }
}

/** Rounds a value that is a whole number over `grid`, in whole numbers below 2^50. */
function roundedWhole(value: number, grid: number, scale: number, rule: RoundingRule): number {
  const whole = Math.round(value * grid)
  if (grid <= scale) return whole / grid
  const step = grid / scale
  const below = Math.floor(whole / step)
  const rest = whole - below * step
  if (rule === 'down') return (whole < 0 && rest > 0 ? below + 1 : below) / scale
  const up = 2 * rest > step || (2 * rest === step && (rule === 'half-up' ? whole > 0 : below % 2 !== 0))
  return (up ? below + 1 : below) / scale
}

/** `met` where `a` is at least `atLeast`, else `otherwise`. */
export function chooseInto(
  into: Float64Array,
  count: number,
  [a, atLeast, met, otherwise]: readonly [Float64Array, Float64Array, Float64Array, Float64Array],
  edge: Edge,
): void {
  const { near, ties, grid } = edge
  for (let i = 0; i < count; i++) {
    const x = a[i] as number
    const y = atLeast[i] as number
    const difference = x - y
    into[i] = (difference >= 0 ? met[i] : otherwise[i]) as number
    if (!(Math.abs(difference) > near) && !(difference === 0 && (ties === 1 || (ties === 2 && x === 0)))) {
      if (grid === 0) into[i] = edge.settle(i)
      else into[i] = (Math.round(x * grid) >= Math.round(y * grid) ? met[i] : otherwise[i]) as number
    }
  }
}

/** Copies a column whose values are whole numbers over `grid`, as the doubles nearest to them. */
export function finishInto(
  into: Float64Array,
  at: number,
  count: number,
  from: Float64Array,
  grid: number,
): void {
  for (let i = 0; i < count; i++) into[at + i] = Math.round((from[i] as number) * grid) / grid
}

/**
 * base + Σ coefficient × factors, as a function of the number of scenarios. Terms of one factor go four at a
 * time, so that long sums go through memory once for four.
 */
export function polynomialInto(
  into: Float64Array,
  base: number,
  terms: readonly Term[],
  column: (slot: number) => Float64Array,
): (count: number) => void {
  const passes: ((count: number, start: Start) => void)[] = []
  const singles: { readonly by: number; readonly of: Float64Array }[] = []
  for (const { coefficient: by, factors } of terms) {
    const [p, q, r] = factors.map(column)
    if (p === undefined) continue
    if (q === undefined) singles.push({ by, of: p })
    else if (r === undefined) passes.push((n, start) => addProduct2(into, n, start, by, p, q))
    else passes.push((n, start) => addProduct3(into, n, start, by, p, q, r))
  }
  for (let k = 0; k < singles.length; k += 4) {
    const [a, b, c, d] = singles.slice(k, k + 4)
    if (a && b && c && d) {
      passes.push((n, start) => add4(into, n, start, a.by, a.of, b.by, b.of, c.by, c.of, d.by, d.of))
    } else if (a && b && c)
      passes.push((n, start) => add3(into, n, start, a.by, a.of, b.by, b.of, c.by, c.of))
    else if (a && b) passes.push((n, start) => add2(into, n, start, a.by, a.of, b.by, b.of))
    else if (a) passes.push((n, start) => add1(into, n, start, a.by, a.of))
  }
  return (count) => {
    passes.forEach((pass, k) => {
      pass(count, k === 0 ? base : undefined)
    })
  }
}

type Start = number | undefined

function add1(into: Float64Array, n: number, start: Start, p: number, a: Float64Array): void {
  if (start === undefined) for (let i = 0; i < n; i++) into[i] = (into[i] as number) + p * (a[i] as number)
  else for (let i = 0; i < n; i++) into[i] = start + p * (a[i] as number)
}

function add2(
  into: Float64Array,
  n: number,
  start: Start,
  p: number,
  a: Float64Array,
  q: number,
  b: Float64Array,
): void {
  if (start === undefined) {
    for (let i = 0; i < n; i++) into[i] = (into[i] as number) + (p * (a[i] as number) + q * (b[i] as number))
  } else for (let i = 0; i < n; i++) into[i] = start + (p * (a[i] as number) + q * (b[i] as number))
}

function add3(
  into: Float64Array,
  n: number,
  start: Start,
  p: number,
  a: Float64Array,
  q: number,
  b: Float64Array,
  r: number,
  c: Float64Array,
): void {
  if (start === undefined) {
    for (let i = 0; i < n; i++) {
      into[i] = (into[i] as number) + (p * (a[i] as number) + q * (b[i] as number) + r * (c[i] as number))
    }
  } else {
    for (let i = 0; i < n; i++)
      into[i] = start + (p * (a[i] as number) + q * (b[i] as number) + r * (c[i] as number))
  }
}

function add4(
  into: Float64Array,
  n: number,
  start: Start,
  p: number,
  a: Float64Array,
  q: number,
  b: Float64Array,
  r: number,
  c: Float64Array,
  s: number,
  d: Float64Array,
): void {
  if (start === undefined) {
    for (let i = 0; i < n; i++) {
      into[i] =
        (into[i] as number) +
        (p * (a[i] as number) + q * (b[i] as number) + (r * (c[i] as number) + s * (d[i] as number)))
    }
  } else {
    for (let i = 0; i < n; i++) {
      into[i] =
        start + (p * (a[i] as number) + q * (b[i] as number) + (r * (c[i] as number) + s * (d[i] as number)))
    }
  }
}

function addProduct2(
  into: Float64Array,
  n: number,
  start: Start,
  p: number,
  a: Float64Array,
  b: Float64Array,
): void {
  if (start === undefined) {
    for (let i = 0; i < n; i++) into[i] = (into[i] as number) + p * (a[i] as number) * (b[i] as number)
  } else for (let i = 0; i < n; i++) into[i] = start + p * (a[i] as number) * (b[i] as number)
}

function addProduct3(
  into: Float64Array,
  n: number,
  start: Start,
  p: number,
  a: Float64Array,
  b: Float64Array,
  c: Float64Array,
): void {
  if (start === undefined) {
    for (let i = 0; i < n; i++) {
      into[i] = (into[i] as number) + p * (a[i] as number) * (b[i] as number) * (c[i] as number)
    }
  } else {
    for (let i = 0; i < n; i++) into[i] = start + p * (a[i] as number) * (b[i] as number) * (c[i] as number)
  }
}
