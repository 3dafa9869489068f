import type { IsoDate } from '../../tables/fields.js'
import type { DutyLine } from '../move.js'
import type { Levy } from '../shared-columns.js'
import type { Anchor, ReliefRow, Span } from './columns.js'

/** The answer of a rule: `unknown` where the tables or the household do not say enough to tell. */
export type Verdict = 'qualifies' | 'discretionary' | 'unknown' | 'refused'

/** How one test ended. `waivable`: failed, but the authority may set it aside. `assumed`: passes if what it says is so. */
export type Outcome = 'pass' | 'assumed' | 'waivable' | 'unknown' | 'fail'

export type TestName =
  | 'covered'
  | 'nationality'
  | 'adult'
  | 'first-time'
  | 'earlier-relief'
  | 'permit'
  | 'residence'
  | 'abroad'
  | 'stay'
  | 'application'
  | 'leaves-again'
  | 'ceiling'
  | 'window'
  | 'only'
  | 'class'
  | 'held'
  | 'used'
  | 'owned'
  | 'taken-along'
  | 'listed'
  | 'length'
  | 'vehicle-age'
  | 'steering'
  | 'emissions'

/** One test of one rule, with the facts its sentence is made of. */
export interface Test {
  readonly test: TestName
  readonly outcome: Outcome
  /** What the law asks, e.g. months; and to which day it counts. */
  readonly needed?: number
  /** More than `needed` is asked, not at least so many. */
  readonly over?: boolean
  readonly from?: IsoDate
  readonly to?: IsoDate
  readonly anchor?: Anchor
  /** The day on which the test is met, or the last day on which it was. */
  readonly meetsOn?: IsoDate
  /** By how many days it fails; for a window, how many days late or early. */
  readonly daysShort?: number
  readonly because?: string
}

/** One rule tried on one person and one line. */
export interface RouteAssessment {
  readonly row: ReliefRow
  readonly verdict: Verdict
  readonly tests: readonly Test[]
  /** For relief charged by the day: the days short and the days asked, so that short/of is charged. */
  readonly proRata?: { readonly short: number; readonly of: number } | undefined
}

/** One line with one person as its importer: each levy on its own, the whole as bad as its worst levy. */
export interface LineAssessment {
  readonly line: DutyLine
  readonly person: string
  readonly verdict: Verdict
  readonly levies: Readonly<Record<Levy, Verdict>>
  /** The rule that decides each levy: the kindest one; undefined where none is about it. */
  readonly by: Readonly<Record<Levy, RouteAssessment | undefined>>
  readonly routes: readonly RouteAssessment[]
}

export type Rank = 0 | 1 | 2 | 3
export const VERDICTS = ['qualifies', 'discretionary', 'unknown', 'refused'] as const
export const RANK: Readonly<Record<Verdict, Rank>> = {
  qualifies: 0,
  discretionary: 1,
  unknown: 2,
  refused: 3,
}
export const OUTCOME_RANK: Readonly<Record<Outcome, Rank>> = {
  pass: 0,
  assumed: 0,
  waivable: 1,
  unknown: 2,
  fail: 3,
}

/** How bad the worst of some tests is. */
export function rankOf(tests: readonly Test[]): Rank {
  let worst: Rank = 0
  for (const { outcome } of tests) if (OUTCOME_RANK[outcome] > worst) worst = OUTCOME_RANK[outcome]
  return worst
}

/** What a test says of a span: the months, and whether more than them is asked. */
export const asked = ({ months, over }: Span): { needed: number; over?: boolean } =>
  over ? { needed: months, over } : { needed: months }

/** The rule that the verdict of a line rests on: that of the worse of duty and tax; undefined where none is about it. */
export function decidingRoute({ verdict, levies, by, routes }: LineAssessment): RouteAssessment | undefined {
  return (levies.duty === verdict ? by.duty : by.tax) ?? routes[0]
}
