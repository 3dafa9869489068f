import type { Decimal } from 'decimal.js'
import type { Arithmetic, Num, NumberInput, RoundingRule } from './arithmetic.js'
import { exact } from './exact.js'

/** What a recorded node does with its arguments. */
export type Operation =
  | { readonly kind: 'constant' }
  | { readonly kind: 'input'; readonly row: NumberInput }
  | { readonly kind: 'cell'; readonly id: string }
  | { readonly kind: 'plus' | 'minus' | 'times' | 'div' }
  | { readonly kind: 'min' | 'max' | 'ceil' | 'choose' | 'sum' }
  | { readonly kind: 'round'; readonly decimals: number; readonly rule: RoundingRule }

/**
 * A number that remembers how it came about: the operation, its arguments and the exact value.
 * Arguments are always older than the node, so nodes form a tree with shared branches and no loops.
 */
export class Recorded implements Num<Recorded> {
  constructor(
    readonly operation: Operation,
    readonly args: readonly Recorded[],
    readonly value: Decimal,
  ) {}

  plus(y: Recorded): Recorded {
    return new Recorded({ kind: 'plus' }, [this, y], this.value.plus(y.value))
  }
  minus(y: Recorded): Recorded {
    return new Recorded({ kind: 'minus' }, [this, y], this.value.minus(y.value))
  }
  times(y: Recorded): Recorded {
    return new Recorded({ kind: 'times' }, [this, y], this.value.times(y.value))
  }
  div(y: Recorded): Recorded {
    return new Recorded({ kind: 'div' }, [this, y], this.value.div(y.value))
  }
}

const values = (xs: readonly Recorded[]): Decimal[] => xs.map((x) => x.value)

/** The arithmetic that keeps the formula: for `explain`, for the workbook, and as the source of bulk columns. */
export const recorded: Arithmetic<Recorded> = {
  of: (x) => new Recorded({ kind: 'constant' }, [], exact.of(x)),
  input: (row) => new Recorded({ kind: 'input', row }, [], exact.input(row)),
  cell: (id, value) => new Recorded({ kind: 'cell', id }, [value], value.value),
  min: (a, b) => new Recorded({ kind: 'min' }, [a, b], exact.min(a.value, b.value)),
  max: (a, b) => new Recorded({ kind: 'max' }, [a, b], exact.max(a.value, b.value)),
  ceil: (a) => new Recorded({ kind: 'ceil' }, [a], exact.ceil(a.value)),
  choose: (a, atLeast, then, otherwise) =>
    new Recorded(
      { kind: 'choose' },
      [a, atLeast, then, otherwise],
      exact.choose(a.value, atLeast.value, then.value, otherwise.value),
    ),
  sum: (xs) => new Recorded({ kind: 'sum' }, xs, exact.sum(values(xs))),
  round: (a, decimals, rule = 'half-even') =>
    new Recorded({ kind: 'round', decimals, rule }, [a], exact.round(a.value, decimals, rule)),
}
