import { breakEvenDamage, type CoverCost } from '../insurance/break-even.js'
import { premium } from '../insurance/premium.js'
import type { Num } from '../quantity/arithmetic.js'
import type { ServiceCost } from './cost-cells.js'
import { byProfessionals, readByCoverDecision } from './cover-question.js'
import { layersOf } from './inputs/layered.js'
import type { InputTable } from './inputs.js'
import type { PlanContext } from './plan-context.js'

/** Amount of money in another currency, with the dated rate. */
const inHousehold = <N extends Num<N>>({ ledger }: PlanContext<N>, id: string): N => ledger.money(id)

/** Values of everything shipped: declared, to replace, and insured. The same whichever way the goods are carried. */
export function valueCells<N extends Num<N>>(context: PlanContext<N>): void {
  const { ledger } = context
  const { m } = ledger
  const lines = context.shipment.lines
  const of = (kind: 'value' | 'replacement-value') => [
    ...lines.map((l) =>
      ledger.input(`line.${l.line}.quantity`).times(inHousehold(context, `line.${l.line}.${kind}`)),
    ),
    ...context.shipment.vehicles.map((v) => inHousehold(context, `vehicle.${v.vehicle}.${kind}`)),
  ]
  ledger.putStatementLine(
    'value.declared',
    'Value today of everything shipped: what customs is told',
    m.sum(of('value')),
  )
  const replacement = ledger.putStatementLine(
    'value.replacement',
    'Replacement value of everything shipped',
    m.sum(of('replacement-value')),
  )
  const insured = ledger.putStatementLine(
    'value.insured',
    'Sum insured',
    replacement.times(ledger.input('insured.share')),
  )
  ledger.put(
    'value.insured-share',
    'Sum insured over replacement value',
    '1',
    m.choose(m.of(0), replacement, m.of(1), insured.div(replacement)),
  )
}

/**
 * Each cover: premium, the services it forces, and the damage at which it has paid for itself over the next cheaper one
 * and over none.
 */
export function insuranceCells<N extends Num<N>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
): void {
  const { ledger, reference } = context
  const { m } = ledger
  const insured = ledger.get('value.insured')
  const rows = reference.covers
  // The tax of the country where the insured lives when the cover is bought.
  const taxId = `tax.premium.${context.household.facts.origin_country.toLowerCase()}`
  const tax = ledger.has(taxId) ? ledger.input(taxId) : undefined
  const cost = new Map<string, CoverCost<N>>()
  for (const row of rows) {
    const id = `cover.${row.id}`
    const rate = ledger.input(`${id}.rate`)
    const onRoute =
      ledger.choice('route-risk') === 'war' ? rate.plus(ledger.input('cover.war-addition')) : rate
    const net = premium(m, insured, onRoute, ledger.money(`${id}.minimum`))
    const paid = ledger.putStatementLine(
      `${id}.premium`,
      `${row.label}: premium${tax ? ' with its tax' : ''}`,
      tax ? net.times(m.of(1).plus(tax)) : net,
    )
    const forced = row.requires.map((service) => forcedBy(m, costs.get(service)))
    const forcedServices = ledger.putStatementLine(
      `${id}.forced-services`,
      `${row.label}: services it makes you buy`,
      m.sum(forced),
    )
    cost.set(row.id, { premium: paid, deductible: ledger.money(`${id}.deductible`), forcedServices })
    ledger.put(
      `${id}.cost`,
      `${row.label}: premium and forced services`,
      ledger.currency,
      paid.plus(forcedServices),
    )
  }
  const none: CoverCost<N> = { premium: m.of(0), deductible: m.of(0), forcedServices: m.of(0) }
  for (const [i, row] of rows.entries()) {
    const mine = cost.get(row.id) ?? none
    const cheaper = rows[i + 1]
    ledger.putStatementLine(
      `cover.${row.id}.break-even`,
      `${row.label}: damage at which it has paid for itself`,
      breakEvenDamage(m, mine, none),
    )
    if (cheaper) {
      const other = cost.get(cheaper.id) ?? none
      const bare = { ...mine, forcedServices: m.of(0) }
      ledger.putStatementLine(
        `cover.${row.id}.break-even-over-next`,
        `${row.label} over ${cheaper.label}: damage at which it pays`,
        breakEvenDamage(m, mine, other),
      )
      ledger.putStatementLine(
        `cover.${row.id}.break-even-premium-only`,
        `${row.label} over ${cheaper.label}: the same for the premium alone`,
        breakEvenDamage(m, bare, { ...other, forcedServices: m.of(0) }),
      )
    }
  }
  // No formula can hold the cover decision; what it reads is put on the sheet all the same, to be seen and traced.
  for (const id of idsOfCoverDecision(ledger.inputs)) ledger.input(id)
  const chosen = ledger.choice('cover')
  ledger.put(
    'cost.cover.premium',
    'Premium of the cover chosen',
    ledger.currency,
    chosen === 'none' ? m.of(0) : ledger.get(`cover.${chosen}.premium`),
  )
}

/** Ids by the inputs before any change: changes add none, and there may be a hundred thousand. */
const knownIds = new WeakMap<InputTable['numbers'], readonly string[]>()

/** The inputs that the cover decision reads, in the order of the table. */
function idsOfCoverDecision({ numbers }: InputTable): readonly string[] {
  const { below } = layersOf(numbers)
  const known = knownIds.get(below) ?? [...below.keys()].filter(readByCoverDecision)
  knownIds.set(below, known)
  return known
}

function forcedBy<N extends Num<N>>(m: PlanContext<N>['ledger']['m'], cost: ServiceCost<N> | undefined): N {
  if (!cost || byProfessionals(cost.provider)) return m.of(0)
  return m.max(m.of(0), cost.byMover.minus(cost.paid))
}
