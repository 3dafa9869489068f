import { type DutyMove, dutyMove } from '../../customs/move.js'
import type { Num } from '../../quantity/arithmetic.js'
import type { Household } from '../../tables/household.js'
import { layersOf } from '../inputs/layered.js'
import type { PlanContext } from '../plan-context.js'
import { inHouseholdCurrency } from '../shipment.js'

/**
 * The move as customs sees it under this scenario: what ships, who owns it, what it is worth, on which days. Plans that
 * differ in nothing of it get the same move, so that what the law says to it is found once.
 */
export function customsMove<N extends Num<N>>({ ledger, household, shipment }: PlanContext<N>): DutyMove {
  const { facts, people, consignments } = household
  const { origin_country, destination_country, load_on, import_on, currency } = facts
  const key = JSON.stringify([
    [origin_country, destination_country, load_on, import_on, currency],
    [people, shipment.vehicles, consignments],
    // The list of lines goes by the rates before any change.
    [...layersOf(ledger.inputs.numbers).above.values()].flatMap(({ id, likely }) =>
      id.startsWith('exchange.') ? [[id, likely]] : [],
    ),
  ])
  const known = moves.get(household.inventory) ?? new Map<string, DutyMove>()
  moves.set(household.inventory, known)
  const found =
    known.get(key) ??
    dutyMove(
      facts,
      people,
      [...shipment.lines, ...shipment.apart.map((line) => declaredWith(household, line))],
      shipment.vehicles,
      // A missing rate has been refused where the files are read.
      (amount, from) => inHouseholdCurrency(ledger.inputs, facts, amount, from) ?? amount,
    )
  if (known.size >= REMEMBERED) known.clear()
  known.set(key, found)
  return found
}

const moves = new WeakMap<Household['inventory'], Map<string, DutyMove>>()
/** Enough for the scenarios of a page; more would only hold memory. */
const REMEMBERED = 64

/** A line with the day of the consignment it goes with. */
const declaredWith = <L extends { readonly consignment?: string | undefined }>(
  { consignments }: Pick<Household, 'consignments'>,
  line: L,
) => ({
  ...line,
  import_on: consignments.find(({ consignment }) => consignment === line.consignment)?.import_on,
})
