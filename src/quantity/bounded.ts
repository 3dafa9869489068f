import type { Decimal } from 'decimal.js'
import type { Arithmetic, Num } from './arithmetic.js'
import { exact } from './exact.js'

/**
 * A number known only to lie between two bounds. Each operation gives bounds that hold whatever its arguments
 * are inside theirs, so a total's bounds are guaranteed; they are wide where one input is used twice.
 */
export class Bounded implements Num<Bounded> {
  constructor(
    readonly low: Decimal,
    readonly high: Decimal,
  ) {}

  plus(y: Bounded): Bounded {
    return new Bounded(this.low.plus(y.low), this.high.plus(y.high))
  }
  minus(y: Bounded): Bounded {
    return new Bounded(this.low.minus(y.high), this.high.minus(y.low))
  }
  times(y: Bounded): Bounded {
    return hull([
      this.low.times(y.low),
      this.low.times(y.high),
      this.high.times(y.low),
      this.high.times(y.high),
    ])
  }
  div(y: Bounded): Bounded {
    // A divisor that may be zero has no bounds; the sheet reports the cell by its name.
    return hull([this.low.div(y.low), this.low.div(y.high), this.high.div(y.low), this.high.div(y.high)])
  }
}

function hull(xs: readonly [Decimal, ...Decimal[]]): Bounded {
  return new Bounded(
    xs.reduce((a, b) => exact.min(a, b)),
    xs.reduce((a, b) => exact.max(a, b)),
  )
}

function eachEnd(f: (end: 'low' | 'high') => Decimal): Bounded {
  return new Bounded(f('low'), f('high'))
}

/** The arithmetic of ranges: low and high of each input in, guaranteed low and high of each cell out. */
export const bounded: Arithmetic<Bounded> = {
  of: (x) => new Bounded(exact.of(x), exact.of(x)),
  input: (row) => new Bounded(row.low, row.high),
  cell: (_id, value) => value,
  min: (a, b) => eachEnd((end) => exact.min(a[end], b[end])),
  max: (a, b) => eachEnd((end) => exact.max(a[end], b[end])),
  ceil: (a) => eachEnd((end) => exact.ceil(a[end])),
  choose: (a, atLeast, then, otherwise) => {
    if (a.low.gte(atLeast.high)) return then
    if (a.high.lt(atLeast.low)) return otherwise
    return hull([then.low, then.high, otherwise.low, otherwise.high])
  },
  sum: (xs) => eachEnd((end) => exact.sum(xs.map((x) => x[end]))),
  round: (a, decimals, rule) => eachEnd((end) => exact.round(a[end], decimals, rule)),
}
