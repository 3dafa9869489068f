import type { ChargeLine } from '../../customs/charges/charge-lines.js'
import { type ChargeRules, chargeRules } from '../../customs/charges/charge-rules.js'
import { consignmentCharges } from '../../customs/charges/consignments.js'
import type { ImportCharges } from '../../customs/charges/import-charges.js'
import type { DutyMove } from '../../customs/move.js'
import type { Num } from '../../quantity/arithmetic.js'
import { groupBy } from '../../tables/group-by.js'
import type { PlanContext } from '../plan-context.js'
import { carriageAsPut } from './carriage.js'

/** How the country charges on the day of the main consignment, its rates as inputs of the plan. */
export const rulesOf = <N extends Num<N>>({ ledger, reference }: PlanContext<N>, move: DutyMove) =>
  chargeRules(ledger.m, reference.customs, move.destination, move.importOn, (row) => ledger.inputRow(row))

/** The charges of all consignments; rates of a later one's day are no inputs, because an input has one value. */
export const chargesOf = <N extends Num<N>>(
  context: PlanContext<N>,
  move: DutyMove,
  lines: readonly ChargeLine<N>[],
  rules: ChargeRules<N>,
): ImportCharges<N> => {
  const { m } = context.ledger
  const main = { on: move.importOn, rules, carriage: carriageAsPut(context, move) }
  return consignmentCharges(
    m,
    lines,
    main,
    (day) =>
      chargeRules(m, context.reference.customs, move.destination, day, (row) => m.of(row.likely)).rules,
  )
}

/** Multiplied with the dated rate, never divided by its inverse: 1 ÷ 6.1 is not exact, and a cent can hang on it. */
export const inHousehold = <N extends Num<N>>({ ledger }: PlanContext<N>, currency: string, amount: N): N =>
  currency === ledger.currency ? amount : amount.times(ledger.input(`exchange.${currency}`))

/** Writes the charges down: each levy for the statement, the entries of the declaration, the total. */
export function putCharges<N extends Num<N>>(
  context: PlanContext<N>,
  currency: string,
  charges: ImportCharges<N>,
  determined: boolean,
): void {
  const { ledger, reference } = context
  const { m } = ledger
  ledger.put('duty.customs-value', 'Customs value of everything shipped', currency, charges.customsValue)
  const digits = reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  // A rate that the tables lack leaves its levy out: no figure may pass for the whole then.
  const known = determined ? '' : ', as far as determined'
  const levies = [
    ['duty', `Customs duty${known}`, charges.duty],
    ['excise', `Excise${known}`, charges.excise],
    ['tax', `Import tax${known}`, charges.tax],
    ['fees', 'Customs fees', charges.fee],
  ] as const
  for (const [id, label, amount] of levies) {
    const charged = ledger.put(`duty.${id}`, label, currency, amount)
    ledger.putStatementLine(`cost.customs.${id}`, label, inHousehold(context, currency, charged))
  }
  for (const entries of groupBy(charges.entries, (entry) => entry.class).values()) {
    const kind = entries[0]?.class ?? ''
    // Lines of one class that are relieved by different rules make several entries of the declaration.
    entries.forEach((entry, i) => {
      const id = entries.length === 1 ? `duty.entry.${kind}` : `duty.entry.${kind}.${i + 1}`
      const label = entries.length === 1 ? kind : `${kind}, entry ${i + 1} (${entry.lines.join(', ')})`
      ledger.put(
        `${id}.dutiable`,
        `${label}: customs value that is charged`,
        currency,
        m.round(entry.dutiable, digits),
      )
      ledger.put(`${id}.duty`, `${label}: duty`, currency, entry.duty)
      ledger.put(`${id}.tax`, `${label}: import tax`, currency, entry.tax)
    })
  }
  ledger.put(
    'cost.customs.total',
    `Customs charges${known}`,
    ledger.currency,
    m.sum(levies.map(([id]) => ledger.get(`cost.customs.${id}`))),
  )
  if (!determined && charges.ifRefused && charges.ifRefused !== charges.total) {
    ledger.putStatementLine(
      'duty.if-refused',
      'Customs charges if relief that is open is refused',
      inHousehold(context, currency, charges.ifRefused),
    )
  }
}
