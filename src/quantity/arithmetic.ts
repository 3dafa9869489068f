import type { Decimal } from 'decimal.js'

/**
 * A number as every formula of the model sees it. decimal.js's `Decimal` fits as it stands;
 * so do the recorded, the bounded and the bulk number.
 */
export interface Num<N> {
  plus(y: N): N
  minus(y: N): N
  times(y: N): N
  div(y: N): N
}

/** How a tax law or a statement rounds an exact half of the last digit. */
export type RoundingRule = 'half-even' | 'half-up' | 'down'

/** A number that somebody may change: a row of a CSV file, with its range. */
export interface NumberInput {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly low: Decimal
  readonly likely: Decimal
  readonly high: Decimal
  readonly source: string
  readonly confirmed: Confirmed
  /** The last day somebody looked, where the row says. */
  readonly lookedOn?: string | undefined
  /** Days after that for which it may be relied on. */
  readonly goodForDays?: number | undefined
}

/**
 * How sure we are of a reference value: read in the source itself, in a text that quotes it (`secondary`),
 * remembered, or what the trade commonly says; `stated` is what the household itself wrote down.
 */
export type Confirmed = 'looked up' | 'secondary' | 'from memory' | 'common practice' | 'stated'

/**
 * What the model needs from an arithmetic beyond plus, minus, times and div. Every formula is written once
 * against this interface; the arithmetic decides whether it yields cents, a formula, a range or a column.
 * Formulas never look inside a number: a branch that depends on one is a `choose`.
 */
export interface Arithmetic<N extends Num<N>> {
  of(x: Decimal.Value): N
  input(row: NumberInput): N
  /** Names a result, so that a reading which keeps formulas can refer to it. */
  cell(id: string, value: N): N
  min(a: N, b: N): N
  max(a: N, b: N): N
  ceil(a: N): N
  /** `then` where `a` is at least `atLeast`, else `otherwise`. */
  choose(a: N, atLeast: N, then: N, otherwise: N): N
  sum(xs: readonly N[]): N
  /** To a number of decimals; half-even unless a tax rule says otherwise. */
  round(a: N, decimals: number, rule?: RoundingRule): N
}
