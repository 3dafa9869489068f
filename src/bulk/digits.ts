import type { Step } from './lower.js'

/** Digits after the point that a value may have for its whole multiples to be told apart; more count as none. */
const mostDecimals = 15
const noGrid = 99
/** The most that scaling a bound below 2 to the 50th to whole last digits errs by, in last digits. */
const scaling = 2 ** -3
/** Inputs of a grid have few digits; looking for more would only cost time. */
const mostInputDecimals = 6

/**
 * How many digits after the point the values of a program can have: a decision on values of few digits is made on whole
 * numbers of the last one.
 */
export class Digits {
  /** Digits after the point that the exact value can have, at most; `noGrid` where there is no such number. */
  readonly decimals: Uint8Array
  /** Ten to the power of those digits where a decision can be made on whole numbers of the last digit, else 0. */
  readonly grid: Float64Array

  /** @param bounds what is known of the values: between which they lie and by how much their doubles may be off */
  constructor(
    size: number,
    private readonly bounds: Readonly<Record<'low' | 'high' | 'error', Float64Array>>,
  ) {
    this.decimals = new Uint8Array(size).fill(noGrid)
    this.grid = new Float64Array(size)
  }

  /** Digits that all values of an input's column are content with. */
  ofColumn(slot: number, column: Float64Array, count: number): number {
    const decimals = sharedDecimals(column, count)
    this.decimals[slot] = decimals
    return decimals
  }

  /** How many digits after the point the value of a step can have, and whether they decide its edges. */
  follow(step: Step): void {
    const { slot } = step
    const of = (at: number): number => this.decimals[at] ?? noGrid
    switch (step.kind) {
      case 'constant':
        this.decimals[slot] = Math.min(noGrid, step.decimals)
        break
      case 'input':
        break
      case 'polynomial': {
        let most = step.base === 0 ? 0 : step.baseDecimals
        for (const { decimals, factors } of step.terms) {
          most = Math.max(
            most,
            factors.reduce((sum, factor) => sum + of(factor), decimals),
          )
        }
        this.decimals[slot] = Math.min(noGrid, most)
        break
      }
      case 'div':
        this.decimals[slot] = noGrid
        break
      case 'min':
      case 'max':
        this.decimals[slot] = Math.max(of(step.a), of(step.b))
        this.grid[slot] = this.gridOf(step.a, step.b)
        break
      case 'ceil':
        this.decimals[slot] = 0
        this.grid[slot] = this.gridOf(step.a)
        break
      case 'round':
        this.decimals[slot] = step.decimals
        this.grid[slot] = this.gridOf(step.a)
        break
      case 'choose':
        this.decimals[slot] = Math.max(of(step.met), of(step.otherwise))
        this.grid[slot] = this.gridOf(step.a, step.atLeast)
        break
    }
  }

  /** Ten to the digits of the values if, so scaled, their doubles are surely nearest to the right whole number. */
  gridOf(...slots: readonly number[]): number {
    const decimals = Math.max(...slots.map((slot) => this.decimals[slot] ?? noGrid))
    if (decimals > mostDecimals) return 0
    const scale = 10 ** decimals
    const { low, high, error } = this.bounds
    const sure = slots.every((slot) => {
      const size = Math.max(
        Math.abs(low[slot] ?? Number.NEGATIVE_INFINITY),
        Math.abs(high[slot] ?? Number.POSITIVE_INFINITY),
      )
      return size * scale < 2 ** 50 && (error[slot] ?? Number.POSITIVE_INFINITY) * scale < 0.25
    })
    return sure ? scale : 0
  }

  /** Whether a value is surely at least another, counted in whole numbers of the last digit. */
  isAtLeast(a: number, b: number): boolean {
    const scale = this.gridOf(a, b)
    return scale > 0 && this.#least(a, scale) >= this.#greatest(b, scale)
  }

  /** Whether a value is surely less than another, counted likewise. */
  isBelow(a: number, b: number): boolean {
    const scale = this.gridOf(a, b)
    return scale > 0 && this.#greatest(a, scale) < this.#least(b, scale)
  }

  /** The least whole number of last digits that a value can be, given that `gridOf` vouches for the scale. */
  #least(slot: number, scale: number): number {
    return Math.ceil((this.bounds.low[slot] ?? Number.NEGATIVE_INFINITY) * scale - scaling)
  }
  #greatest(slot: number, scale: number): number {
    return Math.floor((this.bounds.high[slot] ?? Number.POSITIVE_INFINITY) * scale + scaling)
  }
}

/** Digits after the point that every value of a column is content with; values drawn at random have none in common. */
function sharedDecimals(column: Float64Array, count: number): number {
  let decimals = 0
  let scale = 1
  for (let i = 0; i < count; i++) {
    const x = column[i] as number
    // The quotient of whole numbers is the double nearest to the decimal: the one that its shortest text names.
    while (Math.round(x * scale) / scale !== x) {
      decimals += 1
      if (decimals > mostInputDecimals) return noGrid
      scale = 10 ** decimals
    }
  }
  return decimals
}
