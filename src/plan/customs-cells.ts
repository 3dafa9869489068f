import type { Decimal } from 'decimal.js'
import { chargeLines } from '../customs/charges/charge-lines.js'
import { chargeRules } from '../customs/charges/charge-rules.js'
import {
  type CustomsCarriage,
  type ImportCharges,
  importCharges,
  type Undetermined,
} from '../customs/charges/import-charges.js'
import {
  authorityOf,
  type CarriageAmounts,
  customsOutcome,
  headcount,
  withAsk,
} from '../customs/charges/importer.js'
import { type DutyMove, dutyMove } from '../customs/move.js'
import { type Stop, stops } from '../customs/papers/restrictions.js'
import { assessFor, insideOneTerritory } from '../customs/relief/assess.js'
import type { LineAssessment } from '../customs/relief/verdict.js'
import type { Num } from '../quantity/arithmetic.js'
import type { Service } from '../tables/reference.js'
import type { ServiceCost } from './cost-cells.js'
import { type PlanContext, shippedLines, shippedVehicles } from './plan-context.js'

/** What customs makes of this move, apart from the amounts: verdicts, importer, and what could not be determined. */
export interface CustomsFindings {
  readonly move: DutyMove
  readonly importer: string
  readonly assessments: readonly LineAssessment[]
  readonly undetermined: readonly Undetermined[]
  /** What the law of a country on the way prohibits: obeyed by every recommendation. */
  readonly stops: readonly Stop[]
  /** The currency the charges are made in; undefined where the tables do not know the destination. */
  readonly currency: string | undefined
}

/** The move as customs sees it under this scenario: what ships, who owns it, on which days. */
export function customsMove<N extends Num<N>>(context: PlanContext<N>): DutyMove {
  const { ledger, household } = context
  const facts = {
    ...household.facts,
    load_on: ledger.choice('load-on'),
    import_on: ledger.choice('import-on'),
  }
  const rate = (currency: string) =>
    household.exchange.find((x) => x.from === currency && x.to === household.facts.currency)?.rate
  const shipped = [...shippedLines(context)].map((line) => ({ ...line, take: 'ship' as const }))
  const vehicles = shippedVehicles(context).map((vehicle) => ({ ...vehicle, take: 'ship' as const }))
  return dutyMove(facts, household.people, shipped, vehicles, (amount, currency) =>
    currency === undefined || currency === household.facts.currency
      ? amount
      : amount.times(rate(currency) ?? 1),
  )
}

/** Every thing declared by the person it belongs to. */
const EACH_OWNER = 'each owner'

/** How an importer fares with every line of the move: one person for all, or each owner for their own. */
function assessmentsFor<N extends Num<N>>(
  context: PlanContext<N>,
  move: DutyMove,
  importer: string,
): LineAssessment[] {
  const { household, reference } = context
  const by = (name: string) => {
    const person = household.people.find((p) => p.person === name)
    if (person) return assessFor(reference.customs, move, person)
    throw new Error(
      `unknown person "${name}"; there are: ${household.people.map((p) => p.person).join(', ')}`,
    )
  }
  if (importer !== EACH_OWNER) return by(importer)
  const first = household.people[0]?.person ?? ''
  const each = new Map(move.lines.map((line) => [line.owner ?? first, by(line.owner ?? first)]))
  return move.lines.flatMap((line, i) => each.get(line.owner ?? first)?.[i] ?? [])
}

/** What carrying the goods costs as customs counts it, whoever pays; undefined without a rate into the charges' money. */
function carriageFor<N extends Num<N>>(
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

const counting = <N extends Num<N>>({ ledger }: PlanContext<N>) =>
  ledger.choice('relief-counting') === 'included' ? 'included' : 'excluded'

/** Who declares, so that the charges are least: an adult, or each owner for their own; the first one on a tie. */
export function cheapestImporter(
  context: PlanContext<Decimal>,
  costs: ReadonlyMap<string, ServiceCost<Decimal>>,
): string {
  const { household, reference } = context
  const adults = household.people.filter((p) => p.adult).map((p) => p.person)
  const first = adults[0] ?? household.people[0]?.person ?? ''
  const move = customsMove(context)
  const currency = reference.customs.jurisdictionOfCountry.get(move.destination)?.currency
  const carriage = currency === undefined ? undefined : carriageFor(context, costs, currency)
  if (carriage === undefined) return first
  const { options } = customsOutcome(reference.customs, move, carriage, counting(context))
  const able = options.filter((option) => option.importer === EACH_OWNER || adults.includes(option.importer))
  const charged = able.flatMap(({ importer, charges }) =>
    charges ? [{ importer, total: charges.ifRefused ?? charges.total }] : [],
  )
  return charged.length === 0
    ? first
    : charged.reduce((best, next) => (next.total.lt(best.total) ? next : best)).importer
}

/** Customs: value, duty, excise, import tax and fees of what is not freed, and what they would be without relief. */
export function dutyCells<N extends Num<N>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
  importer: string,
): CustomsFindings {
  const { ledger, household, reference } = context
  const { m } = ledger
  const move = customsMove(context)
  const assessments = assessmentsFor(context, move, importer)
  const how = chargeRules(m, reference.customs, move.destination, move.importOn, (row) =>
    ledger.inputRow(row),
  )
  const { currency } = how
  const value = (id: string): N | undefined => {
    if (ledger.has(`vehicle.${id}.value`)) return ledger.money(`vehicle.${id}.value`)
    const stated = household.inventory.find((line) => line.line === id)?.value !== undefined
    return stated ? ledger.input(`line.${id}.quantity`).times(ledger.money(`line.${id}.value`)) : undefined
  }
  const { lines, undetermined } = chargeLines(m, assessments, value, counting(context), headcount(household))
  const ask = authorityOf(reference.customs, move.destination)
  const found = (gaps: readonly Undetermined[]): CustomsFindings => ({
    move,
    importer,
    assessments,
    currency,
    stops: stops(reference.customs, move),
    undetermined: withAsk(gaps, ask),
  })
  if (!how.rules || currency === undefined) return found([...how.undetermined, ...undetermined])
  const carriage = carriageFor(context, costs, currency)
  if (!carriage) {
    const why = `no rate from ${currency} into ${ledger.currency}; add it to exchange.csv`
    return found([...how.undetermined, ...undetermined, { what: 'all charges', lines: [], why }])
  }
  const named: CustomsCarriage<N> = {
    freight: ledger.put(
      'duty.carriage.freight',
      'Carriage to the place of entry',
      ledger.currency,
      carriage.freight,
    ),
    insurance: carriage.insurance,
    inland: ledger.put(
      'duty.carriage.inland',
      'Carriage from there to the door',
      ledger.currency,
      carriage.inland,
    ),
    exchange: ledger.put(
      'duty.exchange',
      'Money of the charges for one of the household',
      `${currency}/${ledger.currency}`,
      carriage.exchange,
    ),
  }
  const charges = importCharges(m, lines, how.rules, named)
  // A rate that no line needs is no gap.
  const gaps = [...undetermined, ...charges.undetermined]
  putCharges(context, currency, charges, gaps.length === 0)
  // Inside one customs territory nothing is imported, so there is nothing that relief could save.
  if (insideOneTerritory(reference.customs, move)) return found(charges.undetermined)
  const nothingFree = { duty: false, excise: false, tax: false, fee: false }
  const bare = importCharges(
    m,
    lines.map(({ open, ceiling, proRata, ...line }) => ({ ...line, free: nothingFree })),
    how.rules,
    named,
  )
  const without = ledger.putStatementLine(
    'duty.without-relief',
    'Customs charges if nothing were freed',
    inHousehold(context, currency, bare.total),
  )
  ledger.put(
    'duty.relief-saves',
    'What relief saves',
    ledger.currency,
    // Against what it may come to: a charge that is open is not saved.
    without.minus(ledger.get(ledger.has('duty.if-refused') ? 'duty.if-refused' : 'cost.customs.total')),
  )
  return found(gaps)
}

/** Multiplied with the dated rate, never divided by its inverse: 1 ÷ 6.1 is not exact, and a cent can hang on it. */
const inHousehold = <N extends Num<N>>({ ledger }: PlanContext<N>, currency: string, amount: N): N =>
  currency === ledger.currency ? amount : amount.times(ledger.input(`exchange.${currency}`))

function putCharges<N extends Num<N>>(
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
  for (const entry of charges.entries) {
    const id = `duty.entry.${entry.class}`
    ledger.put(
      `${id}.dutiable`,
      `${entry.class}: customs value that is charged`,
      currency,
      m.round(entry.dutiable, digits),
    )
    ledger.put(`${id}.duty`, `${entry.class}: duty`, currency, entry.duty)
    ledger.put(`${id}.tax`, `${entry.class}: import tax`, currency, entry.tax)
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

/** The carriage a plan's customs step counted, for questions asked of it afterwards (`duty.whatWouldChange`). */
export function customsCarriage(
  cells: ReadonlyMap<string, { readonly value: Decimal }>,
): CarriageAmounts | undefined {
  const [freight, insurance, inland, exchange] = [
    'duty.carriage.freight',
    'cost.cover.premium',
    'duty.carriage.inland',
    'duty.exchange',
  ].map((id) => cells.get(id)?.value)
  return freight && insurance && inland && exchange ? { freight, insurance, inland, exchange } : undefined
}
