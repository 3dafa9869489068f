import type { Term } from './lower.js'

/** Asks the exact arithmetic for the value of this step in one scenario of the block. */
export type Settle = (lane: number) => number

/*
 * One tight loop for each kind of step. Every one of them reads and writes the first `count` places of its
 * columns. A difference that is not greater than `near`, or is not a number, is settled; a difference of nought
 * is not where `ties` says that doubles decide it: 1 always, 2 where the value itself is nought.
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
  near: number,
  ties: number,
  settle: Settle,
): void {
  for (let i = 0; i < count; i++) {
    const x = a[i] as number
    const y = b[i] as number
    const difference = x - y
    into[i] = difference >= 0 === greater ? x : y
    if (!(Math.abs(difference) > near) && !(difference === 0 && (ties === 1 || (ties === 2 && x === 0)))) {
      into[i] = settle(i)
    }
  }
}

/** Up to the next whole number. */
export function ceilInto(
  into: Float64Array,
  count: number,
  a: Float64Array,
  near: number,
  ties: number,
  settle: Settle,
): void {
  for (let i = 0; i < count; i++) {
    const x = a[i] as number
    const difference = x - Math.floor(x + 0.5)
    into[i] = Math.ceil(x)
    if (!(Math.abs(difference) > near) && !(difference === 0 && (ties === 1 || (ties === 2 && x === 0)))) {
      into[i] = settle(i)
    }
  }
}

/** To a number of decimals, `scale` being ten to that power; half-even and half-up differ on settled halves only. */
export function roundInto(
  into: Float64Array,
  count: number,
  a: Float64Array,
  scale: number,
  down: boolean,
  near: number,
  ties: number,
  settle: Settle,
): void {
  if (down) {
    for (let i = 0; i < count; i++) {
      const x = (a[i] as number) * scale
      const difference = x - Math.floor(x + 0.5)
      into[i] = Math.trunc(x) / scale
      if (!(Math.abs(difference) > near) && !(difference === 0 && (ties === 1 || (ties === 2 && x === 0)))) {
        into[i] = settle(i)
      }
    }
    return
  }
  for (let i = 0; i < count; i++) {
    const x = (a[i] as number) * scale
    const below = Math.floor(x)
    const difference = x - below - 0.5
    into[i] = (difference > 0 ? below + 1 : below) / scale
    if (!(Math.abs(difference) > near)) into[i] = settle(i)
  }
}

/** `then` where `a` is at least `atLeast`, else `otherwise`. */
export function chooseInto(
  into: Float64Array,
  count: number,
  [a, atLeast, then, otherwise]: readonly [Float64Array, Float64Array, Float64Array, Float64Array],
  near: number,
  ties: number,
  settle: Settle,
): void {
  for (let i = 0; i < count; i++) {
    const x = a[i] as number
    const difference = x - (atLeast[i] as number)
    into[i] = (difference >= 0 ? then[i] : otherwise[i]) as number
    if (!(Math.abs(difference) > near) && !(difference === 0 && (ties === 1 || (ties === 2 && x === 0)))) {
      into[i] = settle(i)
    }
  }
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
