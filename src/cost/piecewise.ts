import type { Decimal } from 'decimal.js'
import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { Exact, exact } from '../quantity/exact.js'

/** Coefficients by power of the variable; powers may be below zero, as in a price for each m³. */
type Powers = ReadonlyMap<number, Decimal>

/** One stretch of a function: above the stretch before it, up to and with `upTo`. */
interface Stretch {
  readonly upTo: Decimal
  readonly powers: Powers
}

/**
 * A function of one variable that is given by a formula on each of some stretches: what a cost is that rises with
 * the volume and jumps where another container begins. Numbers of the arithmetic that `piecewiseUpTo` makes.
 */
export class Piecewise implements Num<Piecewise> {
  constructor(readonly stretches: readonly Stretch[]) {}

  plus(y: Piecewise): Piecewise {
    return combine(this, y, (a, b) => added(a, b, one))
  }
  minus(y: Piecewise): Piecewise {
    return combine(this, y, (a, b) => added(a, b, one.neg()))
  }
  times(y: Piecewise): Piecewise {
    return combine(this, y, multiplied)
  }
  div(y: Piecewise): Piecewise {
    return combine(this, y, divided)
  }

  /** The value at a point of the domain, the points of a jump belonging to the stretch below. */
  at(x: Decimal): Decimal {
    const stretch = this.stretches.find(({ upTo }) => x.lte(upTo)) ?? this.stretches.at(-1)
    return stretch ? worth(stretch.powers, x) : new Exact(Number.NaN)
  }
}

const zero = new Exact(0)
const one = new Exact(1)

/** More whole steps than any household fills containers: beyond it a formula is wrong, not large. */
const MOST_STEPS = 10_000

/** The arithmetic of functions of one variable from zero to `most`, and the variable itself. */
export interface PiecesArithmetic extends Arithmetic<Piecewise> {
  readonly variable: Piecewise
}

/**
 * The arithmetic in which every number is a function of one variable over 0 to `most`: run a formula in it, and
 * out comes where it bends and jumps, exactly.
 *
 * Amounts are not rounded to the cent here (`round` leaves a function as it is), because a cost in whole cents is
 * a staircase that meets another at no definite point. Where a maximum or a branch hangs on a difference that is
 * not linear, no exact bend is known, and it throws a sentence that says so.
 */
export function piecewiseUpTo(most: Decimal): PiecesArithmetic {
  const constant = (x: Decimal): Piecewise => new Piecewise([{ upTo: most, powers: new Map([[0, x]]) }])
  return {
    variable: new Piecewise([{ upTo: most, powers: new Map([[1, one]]) }]),
    of: (x) => constant(exact.of(x)),
    input: (row) => constant(row.likely),
    cell: (_id, value) => value,
    min: (a, b) => chosen(a, b, b, a),
    max: (a, b) => chosen(a, b, a, b),
    ceil,
    choose: (a, atLeast, then, otherwise) => chosen(a, atLeast, then, otherwise),
    sum: (xs) => xs.reduce((total, x) => total.plus(x), constant(zero)),
    round: (a) => a,
  }
}

function worth(powers: Powers, x: Decimal): Decimal {
  return [...powers].reduce((sum, [power, c]) => sum.plus(c.times(x.pow(power))), zero)
}

function tidy(powers: Map<number, Decimal>): Powers {
  return new Map([...powers].filter(([power, c]) => power === 0 || !c.isZero()))
}

function added(a: Powers, b: Powers, sign: Decimal): Powers {
  const sum = new Map(a)
  for (const [power, c] of b) sum.set(power, (sum.get(power) ?? zero).plus(c.times(sign)))
  return tidy(sum)
}

function multiplied(a: Powers, b: Powers): Powers {
  const product = new Map<number, Decimal>()
  for (const [p, c] of a) {
    for (const [q, d] of b) product.set(p + q, (product.get(p + q) ?? zero).plus(c.times(d)))
  }
  return tidy(product)
}

function divided(a: Powers, b: Powers): Powers {
  const [divisor, ...more] = [...b].filter(([, c]) => !c.isZero())
  if (more.length > 0)
    throw new Error('a formula divides by a sum that holds the variable; no exact bends are known')
  const [power, by] = divisor ?? [0, zero]
  return tidy(new Map([...a].map(([p, c]) => [p - power, c.div(by)] as const)))
}

const middle = (from: Decimal, upTo: Decimal): Decimal => from.plus(upTo).div(2)

function walk<T>(
  functions: readonly Piecewise[],
  visit: (from: Decimal, upTo: Decimal, powers: readonly Powers[]) => readonly T[],
): T[] {
  const ends = [
    ...new Map(functions.flatMap((f) => f.stretches.map((s) => [s.upTo.toString(), s.upTo]))).values(),
  ]
  ends.sort((a, b) => a.cmp(b))
  let from: Decimal = zero
  return ends.flatMap((upTo) => {
    const powers = functions.map((f) => (f.stretches.find((s) => upTo.lte(s.upTo)) as Stretch).powers)
    const out = visit(from, upTo, powers)
    from = upTo
    return [...out]
  })
}

/** Neighbours with the same formula are one stretch. */
function joined(stretches: readonly Stretch[]): Piecewise {
  const out: Stretch[] = []
  for (const stretch of stretches) {
    const last = out.at(-1)
    if (last && same(last.powers, stretch.powers)) out[out.length - 1] = { ...last, upTo: stretch.upTo }
    else out.push(stretch)
  }
  return new Piecewise(out)
}

const same = (a: Powers, b: Powers): boolean =>
  a.size === b.size && [...a].every(([power, c]) => b.get(power)?.eq(c) ?? false)

function combine(a: Piecewise, b: Piecewise, f: (a: Powers, b: Powers) => Powers): Piecewise {
  return joined(walk([a, b], (_from, upTo, [p, q]) => (p && q ? [{ upTo, powers: f(p, q) }] : [])))
}

/** Where a function is zero inside a stretch: at one place at most, if it is linear up to a power. */
function root(powers: Powers, from: Decimal, upTo: Decimal): Decimal | undefined {
  const terms = [...powers].filter(([, c]) => !c.isZero()).sort(([p], [q]) => p - q)
  const [low, high, ...more] = terms
  if (!low || !high) return undefined
  if (more.length > 0 || high[0] - low[0] !== 1) {
    throw new Error('a formula takes a maximum of something that is not linear; no exact bend is known')
  }
  const x = low[1].neg().div(high[1])
  return x.gt(from) && x.lt(upTo) ? x : undefined
}

function chosen(a: Piecewise, atLeast: Piecewise, then: Piecewise, otherwise: Piecewise): Piecewise {
  return joined(
    walk([a, atLeast, then, otherwise], (from, upTo, [p, q, yes, no]): Stretch[] => {
      if (!p || !q || !yes || !no) return []
      const gap = added(p, q, one.neg())
      const bend = root(gap, from, upTo)
      const parts = bend ? [[from, bend] as const, [bend, upTo] as const] : [[from, upTo] as const]
      return parts.map(([start, end]) => ({
        upTo: end,
        powers: worth(gap, middle(start, end)).gte(0) ? yes : no,
      }))
    }),
  )
}

function ceil(f: Piecewise): Piecewise {
  return joined(
    walk([f], (from, upTo, [powers]): Stretch[] => {
      if (!powers) return []
      const whole = (n: Decimal): Powers => new Map([[0, n]])
      const slope = powers.get(1) ?? zero
      if ([...powers.keys()].some((power) => power !== 0 && power !== 1)) {
        throw new Error('a formula rounds up something that is not linear; no exact steps are known')
      }
      const base = powers.get(0) ?? zero
      if (slope.isZero()) return [{ upTo, powers: whole(base.ceil()) }]
      const [low, high] = [worth(powers, from), worth(powers, upTo)].sort((x, y) => x.cmp(y)) as [
        Decimal,
        Decimal,
      ]
      const count = high.ceil().minus(low.floor()).toNumber()
      if (!(count <= MOST_STEPS))
        throw new Error(`a formula takes ${count} whole steps, more than ${MOST_STEPS}`)
      const steps = Array.from({ length: count + 1 }, (_, i) => low.floor().plus(i).minus(base).div(slope))
      const ends = [...steps.filter((x) => x.gt(from) && x.lt(upTo)), upTo].sort((x, y) => x.cmp(y))
      let start = from
      return ends.map((end) => {
        const value = worth(powers, middle(start, end)).ceil()
        start = end
        return { upTo: end, powers: whole(value) }
      })
    }),
  )
}
