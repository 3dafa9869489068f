import type { Decimal } from 'decimal.js'
import { chargeLines } from '../customs/charges/charge-lines.js'
import { chargeRules } from '../customs/charges/charge-rules.js'
import { type ConsignmentCarriage, consignmentCharges } from '../customs/charges/consignments.js'
import type {
  ChargeLine,
  ChargeRules,
  CustomsCarriage,
  ImportCharges,
  Undetermined,
} from '../customs/charges/import-charges.js'
import { authorityOf, type CarriageAmounts, headcount, withAsk } from '../customs/charges/importer.js'
import { type DutyMove, dutyMove } from '../customs/move.js'
import { type Stop, stops } from '../customs/papers/restrictions.js'
import { assessFor, insideOneTerritory } from '../customs/relief/assess.js'
import type { LineAssessment } from '../customs/relief/verdict.js'
import type { CustomsTables } from '../customs/tables.js'
import type { Arithmetic, Num } from '../quantity/arithmetic.js'
import { exact } from '../quantity/exact.js'
import type { Household } from '../tables/household.js'
import type { Service } from '../tables/reference.js'
import type { ServiceCost } from './cost-cells.js'
import { layersOf } from './inputs/layered.js'
import type { PlanContext, References } from './plan-context.js'
import { UnusableInput } from './refusal.js'
import { inHouseholdCurrency } from './shipment.js'
import { decide, type WayLedger, WayNumber } from './ways.js'

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

/** Every thing declared by the person it belongs to. */
const EACH_OWNER = 'each owner'

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

/** The cell that says who declares, where several would fare differently. */
export const IMPORTER_TAKEN = 'importer.taken'

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

/** One way to declare: who, what the law says to each line then, and how the lines are charged. */
interface Declaring<N> {
  readonly importer: string
  readonly assessments: readonly LineAssessment[]
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

/** What the law says to a move, whatever things cost. */
interface Law {
  readonly ways: readonly Pick<Declaring<never>, 'importer' | 'assessments'>[]
  readonly stops: readonly Stop[]
}

const laws = new WeakMap<CustomsTables, WeakMap<DutyMove, Map<string, Law>>>()

/** The ways to declare that the law does not treat alike, and what it prohibits: found once for a move. */
function lawOf<N extends Num<N>>(context: PlanContext<N>, move: DutyMove): Law {
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

/** Whether the destination has extra duties that look at the single thing. */
function surcharged({ customs }: References, move: DutyMove): boolean {
  const jurisdiction = customs.jurisdictionOfCountry.get(move.destination)
  return (customs.surcharges.get(jurisdiction?.id ?? '') ?? []).length > 0
}

/** Lines of one class that are charged alike as one: an entry of the declaration is assessed as a whole. */
function chargedAlike<N extends Num<N>>(
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

/**
 * Customs: value, duty, excise, import tax and fees of what is not freed. Where it is open who declares, every way is
 * charged and the one with the least charges is taken.
 *
 * @param ground what `customsGround` found, in the arithmetic G of the sheet it was found in
 * @param lift a number of that arithmetic in this sheet's
 * @returns what was found for each way to declare, in the order that `importer.taken` counts
 */
export function customsCells<N extends Num<N>, G extends Num<G>>(
  context: PlanContext<N>,
  costs: ReadonlyMap<string, ServiceCost<N>>,
  ground: CustomsGround<G>,
  lift: (value: G) => N,
): readonly CustomsFindings[] {
  const { ledger, reference } = context
  const { move, ways } = ground
  const [first] = ways
  if (!first) return []
  const currency = reference.customs.jurisdictionOfCountry.get(move.destination)?.currency
  const carriage = currency === undefined ? undefined : carriageFor(context, costs, currency)
  if (currency === undefined || !carriage) {
    const how = rulesOf(context, move)
    const rate = `no rate from ${currency} into ${ledger.currency}; add it to exchange.csv`
    const gaps = currency === undefined || !how.rules ? [] : [{ what: 'all charges', lines: [], why: rate }]
    return [found(reference, ground, first, currency, [...how.undetermined, ...gaps])]
  }
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
  if (ways.length === 1) return [declared(context, ground, first, lift)]
  return decide(
    ledger,
    {
      preposition: 'by',
      id: IMPORTER_TAKEN,
      label: `Who declares, counted in the order ${ways.map(({ importer }) => importer).join(', ')}`,
      least: 'cost.customs.total',
      everyCell: true,
    },
    ways.map((way, i) => ({
      id: String(i + 1),
      label: way.importer === EACH_OWNER ? 'each declares their own' : `${way.importer} declares`,
      write: (sheet: WayLedger<N>) =>
        declared({ ...context, ledger: sheet }, ground, way, (value) => new WayNumber(lift(value), false)),
      works: (sheet: WayLedger<N>) => sheet.m.of(1),
    })),
  ).outcomes
}

const rulesOf = <N extends Num<N>>({ ledger, reference }: PlanContext<N>, move: DutyMove) =>
  chargeRules(ledger.m, reference.customs, move.destination, move.importOn, (row) => ledger.inputRow(row))

function found<G>(
  { customs }: References,
  { move, stops }: Pick<CustomsGround<G>, 'move' | 'stops'>,
  { importer, assessments, undetermined }: Declaring<G>,
  currency: string | undefined,
  gaps: readonly Undetermined[],
): CustomsFindings {
  return {
    move,
    importer,
    assessments,
    currency,
    stops,
    undetermined: withAsk([...undetermined, ...gaps], authorityOf(customs, move.destination)),
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

const carriageAsPut = <N extends Num<N>>(
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

/** The charges of all consignments; rates of a later one's day are no inputs, because an input has one value. */
const chargesOf = <N extends Num<N>>(
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

/** A line as it is charged, in another arithmetic. */
const lifted = <N extends Num<N>, G extends Num<G>>(
  { ceiling, value, ...line }: ChargeLine<G>,
  lift: (value: G) => N,
): ChargeLine<N> => ({
  ...line,
  value: lift(value),
  ...(ceiling ? { ceiling: { ...ceiling, amount: lift(ceiling.amount) } } : {}),
})

/** Charges one way to declare and writes the charges down. */
function declared<N extends Num<N>, G extends Num<G>>(
  context: PlanContext<N>,
  ground: CustomsGround<G>,
  way: Declaring<G>,
  lift: (value: G) => N,
): CustomsFindings {
  const { reference } = context
  const { move } = ground
  const { rules, currency, undetermined } = rulesOf(context, move)
  if (!rules || currency === undefined) return found(reference, ground, way, currency, undetermined)
  const lines = way.lines.map((line) => lifted(line, lift))
  const charges = chargesOf(context, move, lines, rules)
  // Inside one customs territory no relief is asked for, so none can be open; a rate that no line needs is no gap.
  const inside = insideOneTerritory(reference.customs, move)
  const known = { ...way, undetermined: inside ? [] : way.undetermined }
  putCharges(context, currency, charges, known.undetermined.length + charges.undetermined.length === 0)
  return found(reference, ground, known, currency, charges.undetermined)
}

/**
 * What the charges would be if nothing were freed, and so what relief saves. Inside one customs territory nothing is
 * imported, so there is nothing that relief could save.
 */
export function withoutReliefCells<N extends Num<N>>(
  context: PlanContext<N>,
  { move, ways: [way] }: CustomsGround<N>,
): void {
  const { ledger, reference } = context
  const { rules, currency } = rulesOf(context, move)
  const charged = ledger.written('cost.customs.total')
  if (!way || !rules || currency === undefined || !charged) return
  if (insideOneTerritory(reference.customs, move)) return
  const free = { duty: false, excise: false, tax: false, fee: false }
  const bare = chargesOf(
    context,
    move,
    chargedAlike(
      ledger.m,
      way.lines.map(({ open, ceiling, proRata, ...line }) => ({ ...line, free })),
      surcharged(reference, move),
    ),
    rules,
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
    without.minus(ledger.get(ledger.written('duty.if-refused') ? 'duty.if-refused' : 'cost.customs.total')),
  )
}

/** Ways that the law treats alike are one way: the first of them. */
function distinct<T extends Pick<Declaring<never>, 'assessments'>>(ways: readonly T[]): T[] {
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

/** Multiplied with the dated rate, never divided by its inverse: 1 ÷ 6.1 is not exact, and a cent can hang on it. */
const inHousehold = <N extends Num<N>>({ ledger }: PlanContext<N>, currency: string, amount: N): N =>
  currency === ledger.currency ? amount : amount.times(ledger.input(`exchange.${currency}`))

function groupBy<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>()
  for (const item of items) {
    const key = keyOf(item)
    const group = groups.get(key)
    if (group) group.push(item)
    else groups.set(key, [item])
  }
  return groups
}

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
