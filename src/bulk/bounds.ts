import { Digits } from './digits.js'
import type { Step } from './lower.js'

/** Half the distance from 1 to the next double: the most one float64 operation errs by, relative to its result. */
const unit = 2 ** -53
/** Bounds are themselves worked out in float64; this much more covers that. */
const slack = 1 + 2 ** -40
/** Covers results so small that doubles lose digits. */
const smallest = 1e-300

/** What is known of the doubles of one value, for every scenario of a span. */
export const known = {
  /** The double is a whole number and exactly the value. */
  whole: 1,
  /** The value is the one decimal of few digits nearest to the double: doubles compare as the values do. */
  nearest: 2,
  /** The double is zero where, and only where, the value is. */
  zero: 4,
  /** The same in every scenario of the program. */
  constant: 8,
  /** The double lies above one, at one or below it as the value does. */
  unity: 16,
} as const

/**
 * For each value of a program, over all scenarios of a span: between which bounds it lies, and by how much the
 * float64 value can differ from the exact one. Decisions (ceil, round, choose, a clamp) compare their distance
 * from the edge with the tolerance found here; nearer ones are settled exactly.
 */
export class Bounds {
  readonly low: Float64Array
  readonly high: Float64Array
  readonly error: Float64Array
  readonly facts: Uint8Array
  /** How near to its edge a decision cannot be trusted. */
  readonly tolerance: Float64Array
  /** 1 where a distance of exactly zero is decided all the same; 2 where it is if the value is zero. */
  readonly sureTies: Uint8Array
  /** The argument that a min, max or choose takes in every scenario of the span, where it is always the same; else -1. */
  readonly taken: Int32Array
  readonly digits: Digits

  constructor(size: number) {
    this.low = new Float64Array(size)
    this.high = new Float64Array(size)
    this.error = new Float64Array(size)
    this.facts = new Uint8Array(size)
    this.tolerance = new Float64Array(size)
    this.sureTies = new Uint8Array(size)
    this.taken = new Int32Array(size).fill(-1)
    this.digits = new Digits(size, this)
  }

  /** Bounds of each step in turn, from those of the inputs over the span. */
  follow(steps: readonly Step[], columns: readonly Float64Array[], count: number): void {
    for (const step of steps) {
      this.#follow(step, columns, count)
      this.digits.follow(step)
      // What never is zero has a double that never is.
      const { slot } = step
      if (this.#lo(slot) > 0 || this.#hi(slot) < 0) this.facts[slot] = (this.facts[slot] ?? 0) | known.zero
    }
  }

  #follow(step: Step, columns: readonly Float64Array[], count: number): void {
    switch (step.kind) {
      case 'constant': {
        const { slot, value, nearest } = step
        const whole = nearest && Number.isSafeInteger(value)
        const facts =
          (nearest ? known.nearest : 0) |
          (whole ? known.whole : 0) |
          (nearest || value !== 0 ? known.zero : 0) |
          known.constant
        this.#set(slot, value, value, whole ? 0 : Math.abs(value) * unit, facts)
        break
      }
      case 'input':
        this.#input(step.slot, columns[step.column] ?? new Float64Array(0), count)
        break
      case 'polynomial':
        this.#polynomial(step)
        break
      case 'div':
        this.#quotient(step.slot, step.a, step.b)
        break
      case 'min':
      case 'max':
        this.#extreme(step.kind, step.slot, step.a, step.b)
        break
      case 'ceil': {
        const { slot, a } = step
        this.#edge(
          slot,
          this.#err(a),
          (this.#has(a, known.nearest) ? 1 : 0) || (this.#has(a, known.zero) ? 2 : 0),
        )
        const [low, high] = [Math.ceil(this.#lo(a)), Math.ceil(this.#hi(a))]
        const whole = Math.max(Math.abs(low), Math.abs(high)) < 2 ** 52
        this.#set(
          slot,
          low,
          high,
          whole ? 0 : Math.max(Math.abs(low), Math.abs(high)) * unit,
          known.zero | (whole ? known.whole | known.nearest : 0),
        )
        break
      }
      case 'round':
        this.#round(step.slot, step.a, 10 ** step.decimals, step.rule === 'down')
        break
      case 'choose':
        this.#choose(step)
        break
    }
  }

  /**
   * Ten to the digits of a value whose double may be off in its last places although the value has few digits, as
   * a sum of cents has: the nearest whole number over it is the double nearest to the value. Else 0.
   */
  finishing(slot: number): number {
    return this.#has(slot, known.nearest) ? 0 : this.digits.gridOf(slot)
  }

  /** Whether a value is surely at least another: among amounts of few digits also where they are the same throughout. */
  #isAtLeast(a: number, b: number): boolean {
    return this.#lo(a) >= this.#hi(b) || this.digits.isAtLeast(a, b)
  }

  #isBelow(a: number, b: number): boolean {
    return this.#hi(a) < this.#lo(b) || this.digits.isBelow(a, b)
  }

  #lo(slot: number): number {
    return this.low[slot] ?? Number.NEGATIVE_INFINITY
  }
  #hi(slot: number): number {
    return this.high[slot] ?? Number.POSITIVE_INFINITY
  }
  #err(slot: number): number {
    return this.error[slot] ?? Number.POSITIVE_INFINITY
  }
  #has(slot: number, fact: number): boolean {
    return ((this.facts[slot] ?? 0) & fact) !== 0
  }

  /** Low and high are of the exact value and are widened here to hold the float64 value too. */
  #set(slot: number, low: number, high: number, error: number, facts: number): void {
    const finite = low <= high && error < Number.POSITIVE_INFINITY
    const most = finite ? error * slack : Number.POSITIVE_INFINITY
    this.low[slot] = finite ? low - most : Number.NEGATIVE_INFINITY
    this.high[slot] = finite ? high + most : Number.POSITIVE_INFINITY
    this.error[slot] = most
    this.facts[slot] = finite ? facts : 0
  }

  #edge(slot: number, distance: number, sureTies: number): void {
    this.tolerance[slot] = sureTies === 1 ? 0 : distance * slack
    this.sureTies[slot] = sureTies
  }

  #input(slot: number, column: Float64Array, count: number): void {
    const [low, high] = extent(column, count)
    const whole = this.digits.ofColumn(slot, column, count) === 0
    const size = Math.max(Math.abs(low), Math.abs(high))
    const exact = whole && size < 2 ** 52
    this.#set(
      slot,
      low,
      high,
      exact ? 0 : size * unit,
      known.nearest | known.zero | (exact ? known.whole : 0),
    )
    // The decimal of a double has its sign.
    this.#keepSign(slot, low, high)
  }

  /** A value known not to be negative, or not to be positive, has a double that is not either. */
  #keepSign(slot: number, low: number, high: number): void {
    if (low >= 0) this.low[slot] = Math.max(0, this.low[slot] ?? 0)
    if (high <= 0) this.high[slot] = Math.min(0, this.high[slot] ?? 0)
  }

  #polynomial(step: Extract<Step, { kind: 'polynomial' }>): void {
    let [low, high] = [step.base, step.base]
    let error = 0
    let size = Math.abs(step.base)
    let whole = step.whole
    let zeros = true
    let rising = true
    let falling = true
    let nearest = true
    let cancelled = false
    for (const { coefficient, weight, factors } of step.terms) {
      let [from, to] = [coefficient, coefficient]
      // Coefficients that cancelled leave the rounding of what they were before.
      let bound = weight
      cancelled ||= weight > Math.abs(coefficient) * (1 + 1e-12)
      // How much the product of the factors may be off, relative to the product of their bounds.
      let off = 0
      for (const factor of factors) {
        const [a, b, err] = [this.#lo(factor), this.#hi(factor), this.#err(factor)]
        const most = Math.max(Math.abs(a), Math.abs(b))
        const [p, q, r, s] = [from * a, from * b, to * a, to * b]
        from = Math.min(p, q, r, s)
        to = Math.max(p, q, r, s)
        off = off * most + bound * err
        bound *= most
        whole &&= this.#has(factor, known.whole)
        zeros &&= this.#has(factor, known.zero)
        nearest &&= this.#has(factor, known.nearest)
      }
      error += off + (factors.length + 1) * unit * bound
      size += bound
      low += from
      high += to
      rising &&= from >= 0
      falling &&= to <= 0
      nearest &&= factors.length === 1
    }
    const parts = step.terms.length + (step.base === 0 ? 0 : 1)
    const exact = whole && size < 2 ** 52
    const comparesTwo = nearest && step.plain && parts === 2 && step.shortBase
    const surelyZero =
      (zeros && !cancelled && step.base === 0 && (rising || falling || parts === 1)) || comparesTwo
    this.#set(
      step.slot,
      // The sums of bounds are rounded too.
      low - size * parts * unit,
      high + size * parts * unit,
      exact ? 0 : error + (parts + 1) * unit * size + smallest,
      (exact ? known.whole | known.nearest : 0) | (surelyZero || exact ? known.zero : 0),
    )
    // A sum of products none of which can be negative is itself not negative.
    if (rising && step.base >= 0) this.low[step.slot] = Math.max(0, this.low[step.slot] ?? 0)
    if (falling && step.base <= 0) this.high[step.slot] = Math.min(0, this.high[step.slot] ?? 0)
  }

  #quotient(slot: number, a: number, b: number): void {
    const [low, high] = [this.#lo(b), this.#hi(b)]
    if (!(low > 0 || high < 0)) {
      this.#set(slot, Number.NaN, Number.NaN, Number.POSITIVE_INFINITY, 0)
      return
    }
    const least = Math.min(Math.abs(low), Math.abs(high))
    const quotients = [this.#lo(a) / low, this.#lo(a) / high, this.#hi(a) / low, this.#hi(a) / high]
    const [from, to] = [Math.min(...quotients), Math.max(...quotients)]
    const size = Math.max(Math.abs(from), Math.abs(to))
    const error = (this.#err(a) + size * this.#err(b)) / least + unit * size
    // Two doubles that compare as their values do: their rounded quotient is one only where they are the same.
    const nearest = this.#has(a, known.nearest) && this.#has(b, known.nearest)
    this.#set(
      slot,
      from - size * unit,
      to + size * unit,
      error + smallest,
      (this.#has(a, known.zero) ? known.zero : 0) | (nearest && low > 0 ? known.unity : 0),
    )
    this.#keepSign(slot, from, to)
  }

  /** How a comparison of two values is decided: see `sureTies`. */
  #comparison(slot: number, a: number, b: number): void {
    const isZero = (x: number): boolean => this.#lo(x) === 0 && this.#hi(x) === 0
    const isOne = (x: number): boolean => this.#lo(x) === 1 && this.#hi(x) === 1
    const both = this.#has(a, known.nearest) && this.#has(b, known.nearest)
    const againstOne = (isOne(a) && this.#has(b, known.unity)) || (isOne(b) && this.#has(a, known.unity))
    const againstZero = (isZero(a) && this.#has(b, known.zero)) || (isZero(b) && this.#has(a, known.zero))
    this.#edge(slot, this.#err(a) + this.#err(b), both || againstOne ? 1 : againstZero ? 2 : 0)
  }

  #extreme(kind: 'min' | 'max', slot: number, a: number, b: number): void {
    const [lesser, greater] = this.#hi(a) <= this.#lo(b) ? [a, b] : [b, a]
    if (this.#hi(lesser) <= this.#lo(greater)) {
      this.#same(slot, kind === 'min' ? lesser : greater, [a, b])
      return
    }
    this.taken[slot] = -1
    this.#comparison(slot, a, b)
    // The extreme of two doubles is as near as they are. Only against a constant is it worth settling which of
    // the two it is, because then a value held at its limit is known exactly.
    const settled = this.#has(a, known.constant) || this.#has(b, known.constant)
    if (!settled) this.#edge(slot, Number.NEGATIVE_INFINITY, 0)
    const extreme = kind === 'min' ? Math.min : Math.max
    const both = (this.facts[a] ?? 0) & (this.facts[b] ?? 0)
    // The bounds of both hold the float64 values already: nothing is added to them.
    this.low[slot] = extreme(this.#lo(a), this.#lo(b))
    this.high[slot] = extreme(this.#hi(a), this.#hi(b))
    this.error[slot] = Math.max(this.#err(a), this.#err(b))
    this.facts[slot] = settled ? (both & ~known.zero) | this.#clampedZero(a, b) : both
  }

  /** One and the same argument is taken in every scenario of the span: nothing to settle. */
  #same(slot: number, as: number, compared: readonly [number, number]): void {
    // What may be no number at all has bounds, and has to be looked at all the same.
    const numbers = compared.every((at) => this.#err(at) < Number.POSITIVE_INFINITY)
    this.taken[slot] = numbers ? as : -1
    this.#edge(slot, Number.NEGATIVE_INFINITY, 0)
    this.low[slot] = this.#lo(as)
    this.high[slot] = this.#hi(as)
    this.error[slot] = numbers ? this.#err(as) : Number.POSITIVE_INFINITY
    this.facts[slot] = numbers ? (this.facts[as] ?? 0) : 0
  }

  #clampedZero(a: number, b: number): number {
    const either = (this.#has(a, known.zero) ? 1 : 0) + (this.#has(b, known.zero) ? 1 : 0)
    const isZero = (x: number): boolean => this.#lo(x) === 0 && this.#hi(x) === 0
    // Above zero by more than the tolerance a value's double cannot be zero.
    return either === 2 || isZero(a) || isZero(b) ? known.zero : 0
  }

  #round(slot: number, a: number, scale: number, down: boolean): void {
    const size = Math.max(Math.abs(this.#lo(a)), Math.abs(this.#hi(a))) * scale
    const trusted = size < 2 ** 50
    const distance = trusted ? this.#err(a) * scale + 2 * unit * size + smallest : Number.POSITIVE_INFINITY
    const whole = this.#has(a, known.whole)
    // A whole number is on no half, and rounding down leaves it as it is.
    this.#edge(slot, distance, down ? (whole && trusted ? 1 : this.#has(a, known.zero) ? 2 : 0) : 0)
    const outward = 2 ** -50
    const [from, to] = [this.#lo(a) * scale - size * outward, this.#hi(a) * scale + size * outward]
    // A half may go either way.
    const low = (down ? Math.trunc(from) : Math.ceil(from - 0.5)) / scale
    const high = (down ? Math.trunc(to) : Math.floor(to + 0.5)) / scale
    const most = Math.max(Math.abs(low), Math.abs(high))
    const short = most * scale < 1e15
    this.#set(
      slot,
      low,
      high,
      whole ? 0 : most * unit,
      known.zero | (short ? known.nearest : 0) | (whole ? known.whole : 0),
    )
    this.#keepSign(slot, this.#lo(a), this.#hi(a))
  }

  #choose(step: Extract<Step, { kind: 'choose' }>): void {
    const { slot, a, atLeast, met, otherwise } = step
    const always = this.#isAtLeast(a, atLeast)
    if (always || this.#isBelow(a, atLeast)) {
      this.#same(slot, always ? met : otherwise, [a, atLeast])
      return
    }
    this.taken[slot] = -1
    this.#comparison(slot, a, atLeast)
    this.low[slot] = Math.min(this.#lo(met), this.#lo(otherwise))
    this.high[slot] = Math.max(this.#hi(met), this.#hi(otherwise))
    this.error[slot] = Math.max(this.#err(met), this.#err(otherwise))
    this.facts[slot] = (this.facts[met] ?? 0) & (this.facts[otherwise] ?? 0)
  }
}

/** The least and the greatest of the first values of a column; not numbers where one of them is not. */
function extent(column: Float64Array, count: number): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = 0; i < count; i++) {
    const x = column[i] as number
    low = Math.min(low, x)
    high = Math.max(high, x)
  }
  return [low, high]
}
