import type { Decimal } from 'decimal.js'
import type { ConsignmentCarriage } from '../../customs/charges/consignments.js'
import type { CustomsCarriage } from '../../customs/charges/import-charges.js'
import type { CarriageAmounts } from '../../customs/charges/importer.js'
import type { DutyMove } from '../../customs/move.js'
import type { Num } from '../../quantity/arithmetic.js'
import { exact } from '../../quantity/exact.js'
import type { Service } from '../../tables/reference.js'
import type { ServiceCost } from '../cost-cells.js'
import type { PlanContext } from '../plan-context.js'

/** What carrying the goods costs as customs counts it, whoever pays; undefined without a rate into the charges' money. */
export function carriageFor<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
  currency: string,
): CustomsCarriage<N> | undefined {
  const { m } = ledger
  const amount = (part: Service['customs_value']) =>
    m.sum([...costs.values()].flatMap((cost) => (cost.service.customs_value === part ? [cost.byMover] : [])))
  const same = currency === ledger.currency
  if (!same && !ledger.has(`exchange.${currency}`)) return undefined
  return {
    freight: amount('border'),
    insurance: ledger.get('cost.cover.premium'),
    inland: amount('inland'),
    exchange: same ? m.of(1) : m.of(1).div(ledger.input(`exchange.${currency}`)),
  }
}

/** The parts of what carrying a consignment costs, as customs counts it. */
const PARTS = [
  ['freight', 'carriage to the place of entry'],
  ['insurance', 'cover'],
  ['inland', 'carriage from there to the door'],
] as const

/** The consignments of a move that have a name, and so a carriage of their own. */
const namedConsignments = (move: DutyMove): string[] => [
  ...new Set(move.lines.flatMap(({ consignment }) => consignment ?? [])),
]

const OWN_CARRIAGE = 'duty.carriage.consignment.'
const ownCarriage = (name: string, part: string) => `${OWN_CARRIAGE}${name}.${part}`

/** Writes the carriage down, and what carrying each named consignment costs, before anything is charged on it. */
export function putCarriage<N extends Num<N>>(
  { ledger }: PlanContext<N>,
  move: DutyMove,
  currency: string,
  carriage: CustomsCarriage<N>,
): void {
  ledger.put('duty.carriage.freight', 'Carriage to the place of entry', ledger.currency, carriage.freight)
  ledger.put('duty.carriage.inland', 'Carriage from there to the door', ledger.currency, carriage.inland)
  ledger.put(
    'duty.exchange',
    'Money of the charges for one of the household',
    `${currency}/${ledger.currency}`,
    carriage.exchange,
  )
  for (const name of namedConsignments(move)) {
    for (const [part, label] of PARTS) {
      const amount = ledger.money(`consignment.${name}.${part}`)
      ledger.put(ownCarriage(name, part), `Consignment ${name}: ${label}`, ledger.currency, amount)
    }
  }
}

/** What was put, as the charges take it. */
export const carriageAsPut = <N extends Num<N>>(
  { ledger }: PlanContext<N>,
  move: DutyMove,
): ConsignmentCarriage<N> => {
  const exchange = ledger.get('duty.exchange')
  const own = (name: string, part: string) => ledger.get(ownCarriage(name, part))
  return {
    freight: ledger.get('duty.carriage.freight'),
    insurance: ledger.get('cost.cover.premium'),
    inland: ledger.get('duty.carriage.inland'),
    exchange,
    consignments: new Map(
      namedConsignments(move).map((name) => [
        name,
        {
          freight: own(name, 'freight'),
          insurance: own(name, 'insurance'),
          inland: own(name, 'inland'),
          exchange,
        },
      ]),
    ),
  }
}

/** The carriage a plan's customs step counted, for questions asked of it afterwards (`duty.whatWouldChange`). */
export function customsCarriage(
  cells: ReadonlyMap<string, { readonly value: Decimal }>,
): CarriageAmounts | undefined {
  const value = (id: string) => cells.get(id)?.value
  const exchange = value('duty.exchange')
  const [freight, insurance, inland] = [
    'duty.carriage.freight',
    'cost.cover.premium',
    'duty.carriage.inland',
  ].map(value)
  if (!freight || !insurance || !inland || !exchange) return undefined
  const names = [...cells.keys()].flatMap((id) =>
    id.startsWith(OWN_CARRIAGE) && id.endsWith('.freight')
      ? [id.slice(OWN_CARRIAGE.length, -'.freight'.length)]
      : [],
  )
  const consignments = new Map(
    names.map((name) => {
      const part = (which: string) => value(ownCarriage(name, which)) ?? exact.of(0)
      return [
        name,
        { freight: part('freight'), insurance: part('insurance'), inland: part('inland'), exchange },
      ]
    }),
  )
  return { freight, insurance, inland, exchange, consignments }
}
