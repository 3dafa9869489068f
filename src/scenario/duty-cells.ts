import {
  chargeLines,
  chargeRules,
  type ImportCharges,
  importCharges,
  type Undetermined,
} from '../duty/charge.js'
import { type DutyMove, dutyMove } from '../duty/move.js'
import { assessFor, type LineAssessment } from '../duty/relief.js'
import type { Num } from '../quantity/arithmetic.js'
import type { ServiceCost } from './cost-cells.js'
import { type PlanContext, shippedLines, shippedVehicles } from './plan-context.js'

/** What customs makes of this move, apart from the amounts: verdicts, importer, and what could not be determined. */
export interface CustomsFindings {
  readonly move: DutyMove
  readonly importer: string
  readonly assessments: readonly LineAssessment[]
  readonly undetermined: readonly Undetermined[]
  /** The currency the charges are made in; undefined where the tables do not know the destination. */
  readonly currency: string | undefined
}

/** Carriage to the place of entry belongs to the customs value where the law counts freight in. */
const TO_THE_BORDER = [
  'origin-haulage',
  'origin-terminal',
  'freight',
  'fuel-surcharge',
  'currency-adjustment',
] as const
const INLAND = ['destination-terminal', 'destination-haulage'] as const

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

/** Charges with one person as the importer; undefined where the tables cannot tell how the destination charges. */
function charged<N extends Num<N>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
  move: DutyMove,
  importer: string,
  relieved: boolean,
): { charges?: ImportCharges<N>; findings: CustomsFindings } {
  const { ledger, household, reference } = context
  const { m } = ledger
  const person = household.people.find((p) => p.person === importer)
  if (!person)
    throw new Error(
      `unknown person "${importer}"; there are: ${household.people.map((p) => p.person).join(', ')}`,
    )
  const assessments = assessFor(reference.customs, move, person)
  const how = chargeRules(m, reference.customs, move.destination, move.importOn, (row) =>
    ledger.inputRow(row),
  )
  const value = (id: string): N | undefined => {
    if (ledger.has(`vehicle.${id}.value`)) return ledger.money(`vehicle.${id}.value`)
    const stated = household.inventory.find((line) => line.line === id)?.value !== undefined
    return stated ? ledger.input(`line.${id}.quantity`).times(ledger.money(`line.${id}.value`)) : undefined
  }
  const adults = household.people.filter((p) => p.adult).length
  const counted = chargeLines(
    m,
    assessments,
    value,
    ledger.choice('relief-counting') === 'hoped' ? 'hoped' : 'sure',
    {
      adults,
      minors: household.people.length - adults,
    },
  )
  const missing: Undetermined[] = []
  const exchangeId = `exchange.${how.currency}`
  const sameMoney = how.currency === ledger.currency
  if (how.currency !== undefined && !sameMoney && !ledger.has(exchangeId)) {
    missing.push({ what: 'all charges', lines: [], why: `no rate from ${how.currency} in exchange.csv` })
  }
  const findings = {
    move,
    importer,
    assessments,
    currency: how.currency,
    undetermined: [...how.undetermined, ...counted.undetermined, ...missing],
  }
  if (!how.rules || missing.length > 0) return { findings }
  const amount = (services: readonly string[]) =>
    m.sum(services.flatMap((service) => costs.get(service)?.byMover ?? []))
  const nothingFree = { duty: false, excise: false, tax: false, fee: false }
  const lines = relieved
    ? counted.lines
    : counted.lines.map(({ id, class: kind, value: worth, quantity }) => ({
        id,
        class: kind,
        value: worth,
        quantity,
        free: nothingFree,
      }))
  const charges = importCharges(m, lines, how.rules, {
    freight: amount(TO_THE_BORDER),
    insurance: ledger.get('cost.cover.premium'),
    inland: amount(INLAND),
    exchange: sameMoney ? m.of(1) : m.of(1).div(ledger.input(exchangeId)),
  })
  return {
    charges,
    findings: { ...findings, undetermined: [...findings.undetermined, ...charges.undetermined] },
  }
}

/** The person of the household with whom as importer the charges are least; the first one on a tie. */
export function cheapestImporter<N extends Num<N>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
  isLess: (a: N, b: N) => boolean,
): string {
  const move = customsMove(context)
  const adults = context.household.people.filter((p) => p.adult)
  const able = adults.length > 0 ? adults : context.household.people
  let best: { person: string; total: N } | undefined
  for (const { person } of able) {
    const { charges } = charged(context, costs, move, person, true)
    if (charges && (best === undefined || isLess(charges.total, best.total)))
      best = { person, total: charges.total }
  }
  return best?.person ?? able[0]?.person ?? ''
}

/** Customs: value, duty, excise, import tax and fees of what is not freed, and what they would be without relief. */
export function dutyCells<N extends Num<N>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
  importer: string,
): CustomsFindings {
  const { ledger } = context
  const { m } = ledger
  const move = customsMove(context)
  const { charges, findings } = charged(context, costs, move, importer, true)
  if (!charges || findings.currency === undefined) return findings
  const { currency } = findings
  ledger.put('duty.customs-value', 'Customs value of everything shipped', currency, charges.customsValue)
  const digits = context.reference.currencies.find((c) => c.code === currency)?.minor_units.toNumber() ?? 2
  const levies = [
    ['duty', 'Customs duty', charges.duty],
    ['excise', 'Excise', charges.excise],
    ['tax', 'Import tax', charges.tax],
    ['fees', 'Customs fees', charges.fee],
  ] as const
  const back =
    currency === ledger.currency ? (x: N) => x : (x: N) => x.times(ledger.input(`exchange.${currency}`))
  for (const [id, label, amount] of levies) {
    ledger.put(`duty.${id}`, label, currency, amount)
    ledger.putMoney(`cost.customs.${id}`, label, back(ledger.get(`duty.${id}`)))
  }
  for (const entry of charges.entries) {
    const name = `duty.entry.${entry.class}`
    if (ledger.cells.has(`${name}.dutiable`)) continue
    ledger.put(
      `${name}.dutiable`,
      `${entry.class}: customs value that is charged`,
      currency,
      m.round(entry.dutiable, digits),
    )
    ledger.put(`${name}.duty`, `${entry.class}: duty`, currency, entry.duty)
    ledger.put(`${name}.tax`, `${entry.class}: import tax`, currency, entry.tax)
  }
  ledger.put(
    'cost.customs.total',
    'Customs charges',
    ledger.currency,
    m.sum(levies.map(([id]) => ledger.get(`cost.customs.${id}`))),
  )
  const bare = charged(context, costs, move, importer, false).charges
  if (bare) {
    const without = ledger.putMoney(
      'duty.without-relief',
      'Customs charges if nothing were freed',
      back(bare.total),
    )
    ledger.put(
      'duty.relief-saves',
      'What relief saves',
      ledger.currency,
      without.minus(ledger.get('cost.customs.total')),
    )
  }
  return findings
}
