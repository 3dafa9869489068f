import { type ChargeLine, chargeLines } from '../../customs/charges/charge-lines.js'
import { headcount } from '../../customs/charges/importer.js'
import type { Undetermined } from '../../customs/charges/undetermined.js'
import type { DutyMove } from '../../customs/move.js'
import type { Stop } from '../../customs/papers/restrictions.js'
import type { Arithmetic, Num } from '../../quantity/arithmetic.js'
import { groupBy } from '../../tables/group-by.js'
import type { PlanContext, References } from '../plan-context.js'
import { type Declaration, lawOf } from './law.js'
import { customsMove } from './move.js'

/** One way to declare, with the lines as they are charged. */
export interface Declaring<N> extends Declaration {
  readonly lines: readonly ChargeLine<N>[]
  readonly undetermined: readonly Undetermined[]
}

/** What customs knows before anybody asks how the goods are carried: the same for every carriage. */
export interface CustomsGround<N> {
  readonly move: DutyMove
  /** The ways to declare that the law does not treat alike, in the order that `importer.taken` counts. */
  readonly ways: readonly Declaring<N>[]
  /** What a law on the way prohibits, whoever declares. */
  readonly stops: readonly Stop[]
}

/** Relief of every line under every way to declare, and the lines as they are charged. */
export function customsGround<N extends Num<N>>(context: PlanContext<N>): CustomsGround<N> {
  const { ledger, household } = context
  const { m } = ledger
  const move = customsMove(context)
  const stated = new Set(
    household.inventory.flatMap(({ line, value }) => (value === undefined ? [] : [line])),
  )
  const value = (id: string): N | undefined => {
    if (ledger.has(`vehicle.${id}.value`)) return ledger.money(`vehicle.${id}.value`)
    return stated.has(id)
      ? ledger.input(`line.${id}.quantity`).times(ledger.money(`line.${id}.value`))
      : undefined
  }
  const { ways: told, stops } = lawOf(context, move)
  const ways = told.map(({ importer, assessments }): Declaring<N> => {
    const { lines, undetermined } = chargeLines(
      m,
      assessments,
      value,
      counting(context),
      headcount(household),
    )
    return {
      importer,
      assessments,
      lines: chargedAlike(m, lines, surcharged(context.reference, move)),
      undetermined,
    }
  })
  return { move, ways, stops }
}

const counting = <N extends Num<N>>({ ledger }: PlanContext<N>) =>
  ledger.choice('relief-counting') === 'included' ? 'included' : 'excluded'

/** Whether the destination has extra duties that look at the single thing. */
export function surcharged({ customs }: References, move: DutyMove): boolean {
  const jurisdiction = customs.jurisdictionOfCountry.get(move.destination)
  return (customs.surcharges.get(jurisdiction?.id ?? '') ?? []).length > 0
}

/** Lines of one class that are charged alike as one: an entry of the declaration is assessed as a whole. */
export function chargedAlike<N extends Num<N>>(
  m: Arithmetic<N>,
  lines: readonly ChargeLine<N>[],
  surcharged: boolean,
): ChargeLine<N>[] {
  // A surcharge looks at the thing itself, so those lines stay apart.
  const groups = groupBy(lines, ({ id, class: kind, free, open, ceiling, proRata, consignment, importOn }) =>
    ceiling || proRata || surcharged
      ? `line ${id}`
      : JSON.stringify([kind, free, open, consignment, importOn]),
  )
  return [...groups.values()].flatMap((group) => {
    const [first] = group
    if (!first || group.length === 1) return group
    return {
      ...first,
      id: group.map(({ id }) => id).join(', '),
      value: m.sum(group.map(({ value }) => value)),
      quantity: group.reduce((sum, { quantity }) => sum + quantity, 0),
    }
  })
}
