import type { Hold, LoadPlan, LoadRules, Piece, Placement } from '../types.js'

/** What a plan breaks. */
export type Rule =
  | 'list'
  | 'inside'
  | 'overlap'
  | 'clear'
  | 'size'
  | 'support'
  | 'load'
  | 'heavy'
  | 'floor'
  | 'lift'
  | 'deck'
  | 'mass'
  | 'line'
  | 'balance'
  | 'door'
  | 'order'
  | 'front'
  | 'slender'
  | 'reach'

/** One broken rule, with the pieces concerned and a sentence with the figures. */
export interface Violation {
  readonly rule: Rule
  readonly pieceIds: readonly string[]
  readonly text: string
}

/** A piece where the plan puts it. */
export interface Stowed {
  readonly piece: Piece
  readonly at: Placement
  readonly name: string
}

/** What is checked: a plan, what it was made of and under which rules. */
export interface Load {
  readonly hold: Hold
  readonly pieces: readonly Piece[]
  readonly plan: LoadPlan
  readonly rules: LoadRules
  /** The placements of known pieces, in loading order. */
  readonly stowed: readonly Stowed[]
}

/** One rule, or a few of a kind: everything of a load that breaks it. */
export type Check = (load: Load) => readonly Violation[]

/** A rule that looks at one stowed piece at a time, asked of every one. */
export function ofEach(check: (stowed: Stowed, load: Load) => readonly Violation[]): Check {
  return (load) => load.stowed.flatMap((stowed) => check(stowed, load))
}
