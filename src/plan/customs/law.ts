import type { DutyMove } from '../../customs/move.js'
import { type Stop, stops } from '../../customs/papers/restrictions.js'
import { assessFor } from '../../customs/relief/assess.js'
import type { LineAssessment } from '../../customs/relief/verdict.js'
import type { CustomsTables } from '../../customs/tables.js'
import type { Num } from '../../quantity/arithmetic.js'
import type { PlanContext } from '../plan-context.js'
import { UnusableInput } from '../refusal.js'

/** Every thing declared by the person it belongs to. */
export const EACH_OWNER = 'each owner'

/** One way to declare: who, and what the law says to each line then. */
export interface Declaration {
  readonly importer: string
  readonly assessments: readonly LineAssessment[]
}

/** What the law says to a move, whatever things cost. */
export interface Law {
  readonly ways: readonly Declaration[]
  readonly stops: readonly Stop[]
}

const laws = new WeakMap<CustomsTables, WeakMap<DutyMove, Map<string, Law>>>()

/** The ways to declare that the law does not treat alike, and what it prohibits: found once for a move. */
export function lawOf<N extends Num<N>>(context: PlanContext<N>, move: DutyMove): Law {
  const { customs } = context.reference
  const ofTables = laws.get(customs) ?? new WeakMap<DutyMove, Map<string, Law>>()
  laws.set(customs, ofTables)
  const known = ofTables.get(move) ?? new Map<string, Law>()
  ofTables.set(move, known)
  const importers = importersOf(context, move)
  const key = JSON.stringify(importers)
  const before = known.get(key)
  if (before) return before
  const people = new Map<string, readonly LineAssessment[]>()
  const found = {
    ways: distinct(
      importers.map((importer) => ({
        importer,
        assessments: assessmentsFor(context, move, importer, people),
      })),
    ),
    stops: stops(customs, move),
  }
  known.set(key, found)
  return found
}

/** Who may declare: the person named, or every adult and, where things have several owners, each owner. */
function importersOf<N extends Num<N>>({ ledger, household }: PlanContext<N>, move: DutyMove): string[] {
  const named = ledger.choice('importer')
  if (named !== 'least charges') return [named]
  const adults = household.people.filter((p) => p.adult).map((p) => p.person)
  const able = adults.length > 0 ? adults : household.people.slice(0, 1).map((p) => p.person)
  const first = household.people[0]?.person ?? ''
  const owners = new Set(move.lines.map((line) => line.owner ?? first))
  return owners.size > 1 ? [...able, EACH_OWNER] : able
}

/**
 * How an importer fares with every line of the move: one person for all, or each owner for their own.
 *
 * @param known how single people fare, as far as it was asked before; what is found is added
 */
function assessmentsFor<N extends Num<N>>(
  { household, reference }: PlanContext<N>,
  move: DutyMove,
  importer: string,
  known: Map<string, readonly LineAssessment[]>,
): readonly LineAssessment[] {
  const by = (name: string): readonly LineAssessment[] => {
    const person = household.people.find((p) => p.person === name)
    if (person) {
      const found = known.get(name) ?? assessFor(reference.customs, move, person)
      known.set(name, found)
      return found
    }
    throw new UnusableInput(
      `unknown person "${name}"; there are: ${household.people.map((p) => p.person).join(', ')}`,
    )
  }
  if (importer !== EACH_OWNER) return by(importer)
  const first = household.people[0]?.person ?? ''
  const owners = new Set(move.lines.map((line) => line.owner ?? first))
  const each = new Map([...owners].map((owner) => [owner, by(owner)]))
  return move.lines.flatMap((line, i) => each.get(line.owner ?? first)?.[i] ?? [])
}

/** Ways that the law treats alike are one way: the first of them. */
function distinct(ways: readonly Declaration[]): Declaration[] {
  const seen = new Set<string>()
  return ways.filter(({ assessments }) => {
    const key = JSON.stringify(
      assessments.map(({ verdict, levies, by }) => [
        verdict,
        levies,
        Object.values(by).map((route) => [route?.row.id, route?.proRata]),
      ]),
    )
    return seen.has(key) ? false : seen.add(key)
  })
}
