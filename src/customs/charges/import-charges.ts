import type { Arithmetic, Num, RoundingRule } from '../../quantity/index.js'
import type { Levy } from '../columns.js'
import { type Apportioned, apportion, share } from './apportion.js'

/**
 * Value above which relief stops. `per-item` and `total` charge the excess, of one piece or of all lines of a pool
 * together; `per-item-limit` charges a dearer piece as a whole.
 */
export interface Ceiling<N> {
  readonly kind: 'per-item' | 'per-item-limit' | 'total'
  /** Lines of one pool share one ceiling. */
  readonly pool: string
  /** In the currency of the charges; per piece but for `total`. */
  readonly amount: N
}

/** A line as it is charged: its value is a number of the model, everything else is settled beforehand. */
export interface ChargeLine<N> {
  readonly id: string
  /** Goods class: lines of one class make one entry of the declaration. */
  readonly class: string
  /** All pieces together, in the household's currency. */
  readonly value: N
  readonly quantity: number
  readonly free: Readonly<Record<Levy, boolean>>
  /** Levies nobody can say of whether relief frees the line from them: they stand in no sum. */
  readonly open?: Readonly<Record<Levy, boolean>>
  readonly ceiling?: Ceiling<N>
  /** The share charged although relief is granted, as days short of days asked. */
  readonly proRata?: { readonly short: number; readonly of: number }
  /** The consignment it comes with and the day it is declared, if not the main ones. */
  readonly consignment?: string
  readonly importOn?: string
  /** What surcharges look at besides the class. */
  readonly text?: string
  readonly madeOn?: string
}

export interface FeeRule<N> {
  readonly id: string
  readonly label: string
  readonly rate?: N
  readonly fixed?: N
  readonly on: 'charged' | 'freed' | 'all'
  /** Only where the base is more than this, or no more than that. */
  readonly above?: N
  readonly upTo?: N
  readonly floor?: N
  readonly cap?: N
}

/** An extra duty on some goods for a time, on top of the tariff. */
export interface Surcharge<N> {
  readonly id: string
  readonly label: string
  readonly rate: N
}

/** How a country charges an import on one day. Rates are shares of one. */
export interface ChargeRules<N> {
  readonly base: 'cif' | 'fob'
  readonly dutyRate: (goodsClass: string) => N | undefined
  readonly exciseRate: (goodsClass: string) => N | undefined
  /** Does the class bear excise, so that a missing rate is a gap and not a zero? */
  readonly isExcisable?: (goodsClass: string) => boolean
  readonly surcharges?: (line: ChargeLine<N>) => readonly Surcharge<N>[]
  readonly taxRate: N | undefined
  readonly taxAddsFreight: boolean
  readonly taxAddsInland: boolean
  readonly taxUplift: N
  readonly dutyBaseDecimals: number
  readonly decimals: number
  readonly rounding: RoundingRule
  readonly fees: readonly FeeRule<N>[]
}

/** What carrying the whole consignment costs, in the household's currency, and the declared rate. */
export interface CustomsCarriage<N> {
  /** To the place of entry. */
  readonly freight: N
  readonly insurance: N
  /** From there to the door. */
  readonly inland: N
  /** Units of the currency of the charges for one unit of the household's. */
  readonly exchange: N
}

/** A class of goods on the declaration. */
export interface Entry<N> {
  readonly class: string
  readonly lines: readonly string[]
  /** Customs value of what is charged. */
  readonly dutiable: N
  /** Surcharges included. */
  readonly duty: N
  readonly surcharges: readonly { readonly id: string; readonly label: string; readonly amount: N }[]
  readonly excise: N
  readonly taxBase: N
  readonly tax: N
}

/** What could not be worked out, why, and whom to ask: never counted as zero without saying so. */
export interface Undetermined {
  readonly what: string
  readonly lines: readonly string[]
  readonly why: string
  readonly ask?: string
}

/** Everything an import costs, in the currency of the charges unless said otherwise. */
export interface ImportCharges<N> {
  readonly entries: readonly Entry<N>[]
  readonly fees: readonly { readonly id: string; readonly label: string; readonly amount: N }[]
  /** Customs value of the whole consignment, freed or not. */
  readonly customsValue: N
  readonly duty: N
  readonly excise: N
  readonly tax: N
  readonly fee: N
  /** What is determined; the whole charge only where `undetermined` is empty. */
  readonly total: N
  /** The total in the household's currency, not rounded. */
  readonly totalHousehold: N
  /**
   * The total if every line whose relief is open were charged; the same as the total where none is, and undefined
   * where a rate is missing as well.
   */
  readonly ifRefused: N | undefined
  /** Each line's part, not rounded, in the currency of the charges: for ranking lines, not for paying. */
  readonly perLine: readonly {
    readonly id: string
    readonly customsValue: N
    readonly duty: N
    readonly excise: N
    readonly tax: N
  }[]
  readonly undetermined: readonly Undetermined[]
  /** Value already taken of each ceiling shared by lines, in the currency of the charges: see `used`. */
  readonly pools: ReadonlyMap<string, N>
}

/**
 * What an import costs: customs value of each line with or without its part of freight and insurance, duty by
 * class, surcharges, excise on value and duty, import tax on its own base, fees with floor and cap.
 *
 * Freight, insurance and inland carriage are apportioned by value over all lines, freed ones too, before anything is
 * rounded. Lines of one class make one entry, and each amount is rounded once per entry, as a declaration is assessed;
 * the tax base takes the duty of the taxed lines alone, rounded the same way. No rounded amount is shared out, so no
 * cents are left to allot: entries sum to the total, cutting a line in two changes nothing, and relief of any levy on
 * any line never raises the total.
 *
 * @param lines values in the household's currency
 * @param used what earlier consignments have taken of ceilings given once, by pool
 * @returns amounts in the currency of the charges; what is open or has no rate is left out and listed
 *
 * Source: WTO Customs Valuation Agreement art. 8(2) for in or out; row `value-base.csv` for each country.
 * Example: 12,000 of goods and 2,400 of freight in a CIF country make a customs value of 14,400.
 */
export function importCharges<N extends Num<N>>(
  m: Arithmetic<N>,
  lines: readonly ChargeLine<N>[],
  rules: ChargeRules<N>,
  carriage: CustomsCarriage<N>,
  used: ReadonlyMap<string, N> = new Map(),
): ImportCharges<N> {
  const known = charged(m, lines, rules, carriage, used)
  const open = lines.filter((line) => line.open !== undefined)
  if (open.length === 0)
    return { ...known, ifRefused: known.undetermined.length > 0 ? undefined : known.total }
  const refused = lines.map(({ open: unsettled, ...line }) => line)
  const whole = charged(m, refused, rules, carriage, used)
  return { ...known, ifRefused: whole.undetermined.length > 0 ? undefined : whole.total }
}

function charged<N extends Num<N>>(
  m: Arithmetic<N>,
  lines: readonly ChargeLine<N>[],
  rules: ChargeRules<N>,
  carriage: CustomsCarriage<N>,
  used: ReadonlyMap<string, N>,
): Omit<ImportCharges<N>, 'ifRefused'> {
  const { parts, pools } = apportion(m, lines, rules, carriage, used)
  const undetermined: Undetermined[] = []
  const entries = [...byClass(parts)].map((group) => entryOf(m, group, rules, undetermined))
  const customsValue = m.round(m.sum(parts.map((part) => part.customsValue)), rules.decimals, rules.rounding)
  const fees = rules.fees.map((fee) => ({
    id: fee.id,
    label: fee.label,
    amount: feeOf(m, fee, parts, rules),
  }))
  const duty = m.sum(entries.map((entry) => entry.duty))
  const excise = m.sum(entries.map((entry) => entry.excise))
  const tax = m.sum(entries.map((entry) => entry.tax))
  const fee = m.sum(fees.map(({ amount }) => amount))
  const total = m.sum([duty, excise, tax, fee])
  return {
    entries,
    fees,
    customsValue,
    duty,
    excise,
    tax,
    fee,
    total,
    totalHousehold: total.div(carriage.exchange),
    perLine: parts.map((part) => linePart(m, part, rules)),
    undetermined,
    pools,
  }
}

/** The parts of each class on which something is charged. */
function byClass<N>(parts: readonly Apportioned<N>[]): Iterable<Apportioned<N>[]> {
  const groups = new Map<string, Apportioned<N>[]>()
  for (const part of parts) {
    if (part.shares.duty === undefined && part.shares.tax === undefined && part.shares.excise === undefined)
      continue
    const group = groups.get(part.line.class)
    if (group) group.push(part)
    else groups.set(part.line.class, [part])
  }
  return groups.values()
}

function entryOf<N extends Num<N>>(
  m: Arithmetic<N>,
  group: readonly Apportioned<N>[],
  rules: ChargeRules<N>,
  undetermined: Undetermined[],
): Entry<N> {
  const zero = m.of(0)
  const goodsClass = group[0]?.line.class ?? ''
  const round = (amount: N, decimals = rules.decimals) => m.round(amount, decimals, rules.rounding)
  const rate = rules.dutyRate(goodsClass)
  const exciseRate = rules.exciseRate(goodsClass)
  const ids = (parts: readonly Apportioned<N>[]) => parts.map((part) => part.line.id)
  const dutiable = group.filter((part) => part.shares.duty !== undefined)
  const excised = group.filter((part) => part.shares.excise !== undefined)
  const noDuty = dutiable.length > 0 && rate === undefined
  const noExcise =
    excised.length > 0 && exciseRate === undefined && (rules.isExcisable?.(goodsClass) ?? false)
  // Tax is taken of value, duty and excise: where one of them is not known, neither is the tax.
  const taxable = group.filter(
    (part) =>
      part.shares.tax !== undefined &&
      !(noDuty && part.shares.duty !== undefined) &&
      !(noExcise && part.shares.excise !== undefined),
  )
  const untaxable = group.filter((part) => part.shares.tax !== undefined && !taxable.includes(part))
  if (noDuty || noExcise) {
    const named = [noDuty && 'duty', noExcise && 'excise', untaxable.length > 0 && 'import tax']
    const why = [
      noDuty && `no rate of duty for the class ${goodsClass} on that day`,
      noExcise && 'excise, and what states or provinces charge besides, is not in the tables',
    ]
    undetermined.push({
      what: `${listed(named.flatMap((name) => name || []))} on ${goodsClass}`,
      lines: ids([...new Set([...(noDuty ? dutiable : []), ...(noExcise ? excised : [])])]),
      why: why.flatMap((reason) => reason || []).join('; '),
    })
  }
  if (taxable.length > 0 && rules.taxRate === undefined) {
    undetermined.push({ what: 'import tax', lines: ids(taxable), why: 'no rate on that day' })
  }

  const dutyOn = (parts: readonly Apportioned<N>[]) => {
    const base = m.sum(parts.flatMap((part) => share(part.customsValue, part.shares.duty) ?? []))
    if (rate === undefined || parts.length === 0) return { base, duty: zero, surcharges: [] }
    const surcharges = surchargesOn(m, parts, rules, round)
    const tariff = round(round(base, rules.dutyBaseDecimals).times(rate))
    return { base, duty: m.sum([tariff, ...surcharges.map(({ amount }) => amount)]), surcharges }
  }
  const exciseOn = (parts: readonly Apportioned<N>[]) => {
    if (exciseRate === undefined || parts.length === 0) return zero
    const value = m.sum(parts.flatMap((part) => share(part.customsValue, part.shares.excise) ?? []))
    const duty = dutyOn(parts.filter((part) => part.shares.duty !== undefined)).duty
    return round(value.plus(duty).times(exciseRate))
  }
  const { base, duty, surcharges } = dutyOn(dutiable)
  const excise = noDuty ? zero : exciseOn(excised)
  const taxBase =
    taxable.length === 0
      ? zero
      : m.sum([
          m.sum(taxable.flatMap((part) => share(part.taxParts, part.shares.tax) ?? [])),
          dutyOn(taxable.filter((part) => part.shares.duty !== undefined)).duty,
          exciseOn(taxable.filter((part) => part.shares.excise !== undefined)),
        ])
  const tax = rules.taxRate === undefined || taxable.length === 0 ? zero : round(taxBase.times(rules.taxRate))
  return { class: goodsClass, lines: ids(group), dutiable: base, duty, surcharges, excise, taxBase, tax }
}

/** Names as a list in words: duty, excise and import tax. */
const listed = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`

/** Surcharges on the dutiable parts of a class, each rounded once. */
function surchargesOn<N extends Num<N>>(
  m: Arithmetic<N>,
  parts: readonly Apportioned<N>[],
  rules: ChargeRules<N>,
  round: (amount: N) => N,
): { id: string; label: string; amount: N }[] {
  const bases = new Map<string, { readonly rule: Surcharge<N>; readonly values: N[] }>()
  for (const part of parts) {
    const value = share(part.customsValue, part.shares.duty)
    if (value === undefined) continue
    for (const rule of rules.surcharges?.(part.line) ?? []) {
      const known = bases.get(rule.id)
      if (known) known.values.push(value)
      else bases.set(rule.id, { rule, values: [value] })
    }
  }
  return [...bases.values()].map(({ rule, values }) => ({
    id: rule.id,
    label: rule.label,
    amount: round(m.sum(values).times(rule.rate)),
  }))
}

function linePart<N extends Num<N>>(m: Arithmetic<N>, part: Apportioned<N>, rules: ChargeRules<N>) {
  const zero = m.of(0)
  const { line, shares } = part
  const rate = rules.dutyRate(line.class)
  const dutiable = share(part.customsValue, shares.duty) ?? zero
  const rates = rate ? [rate, ...(rules.surcharges?.(line) ?? []).map((each) => each.rate)] : []
  const duty = shares.duty && rates.length > 0 ? dutiable.times(m.sum(rates)) : zero
  const exciseRate = rules.exciseRate(line.class)
  const excised = share(part.customsValue, shares.excise)
  const excise = exciseRate && excised ? excised.plus(duty).times(exciseRate) : zero
  const missing =
    (shares.duty !== undefined && rate === undefined) ||
    (shares.excise !== undefined && exciseRate === undefined && rules.isExcisable?.(line.class))
  const taxed = missing ? undefined : share(part.taxParts, shares.tax)
  const tax = taxed && rules.taxRate ? taxed.plus(duty).plus(excise).times(rules.taxRate) : zero
  return { id: line.id, customsValue: part.customsValue, duty, excise, tax }
}

function feeOf<N extends Num<N>>(
  m: Arithmetic<N>,
  fee: FeeRule<N>,
  parts: readonly Apportioned<N>[],
  rules: ChargeRules<N>,
): N {
  const zero = m.of(0)
  const base = m.sum(
    parts.flatMap((part) => {
      if (fee.on === 'charged') return share(part.customsValue, part.shares.duty) ?? []
      if (part.line.free.fee) return []
      if (fee.on === 'all') return part.customsValue
      // A tax in place of duty on what is relieved; above a ceiling the usual charges are made.
      if (!part.line.free.duty || part.line.open?.duty) return []
      return part.customsValue.minus(share(part.customsValue, part.shares.duty) ?? zero)
    }),
  )
  let amount = fee.fixed ?? base.times(fee.rate ?? zero)
  if (fee.floor) amount = m.max(amount, fee.floor)
  if (fee.cap) amount = m.min(amount, fee.cap)
  let due = m.round(amount, rules.decimals, rules.rounding)
  // "More than 2,500": at the limit itself the limit is no less than the base, and nothing is due.
  if (fee.above) due = m.choose(fee.above, base, zero, due)
  if (fee.upTo) due = m.choose(fee.upTo, base, due, zero)
  // No base, no fee: a floor must not charge a consignment that is wholly free.
  return m.choose(base, m.of('0.005'), due, zero)
}
