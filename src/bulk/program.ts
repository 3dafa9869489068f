import type { RoundingRule } from '../quantity/arithmetic.js'

/**
 * One step of a compiled plan. Arguments are positions of earlier nodes; a constant is its exact decimal text,
 * so that a program is plain data that a worker or a file can be handed.
 */
export type ProgramNode =
  | { readonly kind: 'constant'; readonly text: string; readonly args: readonly number[] }
  | { readonly kind: 'input'; readonly column: number; readonly args: readonly number[] }
  | {
      readonly kind: 'plus' | 'minus' | 'times' | 'div' | 'min' | 'max' | 'ceil' | 'choose' | 'sum'
      readonly args: readonly number[]
    }
  | {
      readonly kind: 'round'
      readonly decimals: number
      readonly rule: RoundingRule
      readonly args: readonly number[]
    }

/** A plan reduced to what depends on the inputs that will vary, in an order in which it can be worked out. */
export interface Program {
  /** Ids of the varied inputs: the columns a scenario fills in, in this order. */
  readonly inputs: readonly string[]
  readonly nodes: readonly ProgramNode[]
  readonly outputs: readonly { readonly id: string; readonly node: number }[]
}
