import type { Arithmetic, Num } from '../../quantity/index.js'
import { type Apportioned, apportion, share } from './apportion.js'
import type { ChargeLine } from './charge-lines.js'
import type { ChargeRules } from './charge-rules.js'
import { declaredEntries, type Entry } from './entry.js'
import { feeOf } from './fee.js'
import type { Undetermined } from './undetermined.js'

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
  const { entries, undetermined } = declaredEntries(m, parts, rules)
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
