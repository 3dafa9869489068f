import type { Decimal } from 'decimal.js'
import type { Arithmetic, Confirmed, Num, NumberInput, RoundingRule } from '../../quantity/index.js'
import type { IsoDate } from '../../tables/fields.js'
import type { LineAssessment } from '../relief/assess.js'
import type { CustomsTables, Levy } from '../tables.js'
import { daysCovered, holdsOn } from '../tables.js'

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
  readonly ceiling?: Ceiling<N>
  /** The share charged although relief is granted, as days short of days asked. */
  readonly proRata?: { readonly short: number; readonly of: number }
}

export interface FeeRule<N> {
  readonly id: string
  readonly label: string
  readonly rate?: N
  readonly fixed?: N
  readonly on: 'charged' | 'all'
  readonly above?: N
  readonly floor?: N
  readonly cap?: N
}

/** How a country charges an import on one day. Rates are shares of one. */
export interface ChargeRules<N> {
  readonly base: 'cif' | 'fob'
  readonly dutyRate: (goodsClass: string) => N | undefined
  readonly exciseRate: (goodsClass: string) => N | undefined
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
export interface Carriage<N> {
  /** To the place of entry. */
  readonly freight: N
  readonly insurance: N
  /** From there to the door. */
  readonly inland: N
  /** Units of the currency of the charges for one unit of the household's. */
  readonly exchange: N
}

/** A class of goods on the declaration: all lines of the class that are charged alike. */
export interface Entry<N> {
  readonly class: string
  readonly lines: readonly string[]
  /** Customs value of what is charged. */
  readonly dutiable: N
  readonly duty: N
  readonly excise: N
  readonly taxBase: N
  readonly tax: N
}

/** What could not be worked out, and why: never counted as nought without saying so. */
export interface Undetermined {
  readonly what: string
  readonly lines: readonly string[]
  readonly why: string
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
  readonly total: N
  /** The total in the household's currency, not rounded. */
  readonly totalHousehold: N
  /** Each line's part, not rounded, in the currency of the charges: for ranking lines, not for paying. */
  readonly perLine: readonly {
    readonly id: string
    readonly customsValue: N
    readonly duty: N
    readonly excise: N
    readonly tax: N
  }[]
  readonly undetermined: readonly Undetermined[]
}

/** A line with its parts of carriage and the share of it that is charged. */
interface Apportioned<N> {
  readonly line: ChargeLine<N>
  readonly customsValue: N
  /** Customs value plus what else the import tax is taken of, before duty. */
  readonly taxParts: N
  /** 1 where nothing is freed, 0 where all is, between for ceilings; undefined stands for a plain 0. */
  readonly dutyShare: N | undefined
  readonly taxShare: N | undefined
}

// Stands in for a sum of nought where it divides: shares of nothing are nothing.
const LEAST = '0.000001'

/**
 * What an import costs: customs value of each line with or without its part of freight and insurance, duty by
 * class, excise on value and duty, import tax on its own base, fees with floor and cap.
 *
 * Freight, insurance and inland carriage are apportioned by value over all lines, freed ones too. Lines of one
 * class that are charged alike make one entry, and amounts are rounded once per entry, as a declaration is
 * assessed; so cutting a line in two changes nothing.
 *
 * @param lines values in the household's currency
 * @returns amounts in the currency of the charges; a rate that is not known leaves its levy out and is listed
 *
 * Source: WTO Customs Valuation Agreement art. 8(2) for in or out; row `value-base.csv` for each country.
 * Example: 12,000 of goods and 2,400 of freight in a CIF country make a customs value of 14,400.
 */
export function importCharges<N extends Num<N>>(
  m: Arithmetic<N>,
  lines: readonly ChargeLine<N>[],
  rules: ChargeRules<N>,
  carriage: Carriage<N>,
): ImportCharges<N> {
  const zero = m.of(0)
  const apportioned = apportion(m, lines, rules, carriage)
  const undetermined: Undetermined[] = []
  const entries = groupsOf(apportioned).map((group) => entryOf(m, group, rules, undetermined))
  const customsValue = m.round(
    m.sum(apportioned.map((part) => part.customsValue)),
    rules.decimals,
    rules.rounding,
  )
  const fees = rules.fees.map((fee) => ({
    id: fee.id,
    label: fee.label,
    amount: feeOf(m, fee, apportioned, rules),
  }))
  const duty = m.sum(entries.map((entry) => entry.duty))
  const excise = m.sum(entries.map((entry) => entry.excise))
  const tax = m.sum(entries.map((entry) => entry.tax))
  const fee = m.sum(fees.map(({ amount }) => amount))
  const total = m.sum([duty, excise, tax, fee])
  const perLine = apportioned.map((part) => {
    const dutyOf =
      share(part.customsValue, part.dutyShare)?.times(rules.dutyRate(part.line.class) ?? zero) ?? zero
    const dutiable = share(part.customsValue, part.dutyShare) ?? zero
    const exciseRate = rules.exciseRate(part.line.class)
    const exciseOf = exciseRate ? dutiable.plus(dutyOf).times(exciseRate) : zero
    const taxBase = (share(part.taxParts, part.taxShare) ?? zero).plus(
      part.taxShare ? dutyOf.plus(exciseOf) : zero,
    )
    const tax = taxBase.times(rules.taxRate ?? zero)
    return { id: part.line.id, customsValue: part.customsValue, duty: dutyOf, excise: exciseOf, tax }
  })
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
    perLine,
    undetermined,
  }
}

function share<N extends Num<N>>(amount: N, part: N | undefined): N | undefined {
  return part && amount.times(part)
}

function apportion<N extends Num<N>>(
  m: Arithmetic<N>,
  lines: readonly ChargeLine<N>[],
  rules: ChargeRules<N>,
  carriage: Carriage<N>,
): Apportioned<N>[] {
  const sum = m.sum(lines.map((line) => line.value))
  // Each euro of goods carries this much freight and insurance, and this much inland carriage.
  const perValue = m.max(sum, m.of(LEAST))
  const freightRate = carriage.freight.plus(carriage.insurance).div(perValue)
  const inlandRate = carriage.inland.div(perValue)
  const excess = excessShares(m, lines, carriage.exchange)
  const one = m.of(1)
  return lines.map((line) => {
    const value = line.value.times(carriage.exchange)
    const freight = value.times(freightRate)
    const customsValue = rules.base === 'cif' ? value.plus(freight) : value
    let taxParts = customsValue.times(rules.taxUplift)
    if (rules.base === 'fob' && rules.taxAddsFreight) taxParts = taxParts.plus(freight)
    if (rules.taxAddsInland) taxParts = taxParts.plus(value.times(inlandRate))
    const relieved = line.ceiling
      ? excess(line, value)
      : line.proRata
        ? m.of(line.proRata.short).div(m.of(line.proRata.of))
        : undefined
    return {
      line,
      customsValue,
      taxParts,
      dutyShare: line.free.duty ? relieved : one,
      taxShare: line.free.tax ? relieved : one,
    }
  })
}

/** The share of each line above its ceiling: of one piece, or of the pool that the line is in. */
function excessShares<N extends Num<N>>(m: Arithmetic<N>, lines: readonly ChargeLine<N>[], exchange: N) {
  const least = m.of(LEAST)
  const excess = (value: N, ceiling: N) => m.max(value.minus(ceiling), m.of(0)).div(m.max(value, least))
  const pools = new Map<string, N[]>()
  for (const { ceiling, value } of lines) {
    if (ceiling?.kind === 'total')
      pools.set(ceiling.pool, [...(pools.get(ceiling.pool) ?? []), value.times(exchange)])
  }
  const byPool = new Map<string, N>()
  return (line: ChargeLine<N>, value: N): N => {
    const ceiling = line.ceiling
    if (!ceiling) return m.of(0)
    if (ceiling.kind !== 'total') {
      const piece = value.div(m.of(line.quantity))
      if (ceiling.kind === 'per-item') return excess(piece, ceiling.amount)
      return m.choose(ceiling.amount, piece, m.of(0), m.of(1))
    }
    const known = byPool.get(ceiling.pool)
    if (known) return known
    const whole = excess(m.sum(pools.get(ceiling.pool) ?? []), ceiling.amount)
    byPool.set(ceiling.pool, whole)
    return whole
  }
}

function groupsOf<N>(parts: readonly Apportioned<N>[]): Apportioned<N>[][] {
  const groups = new Map<string, Apportioned<N>[]>()
  for (const part of parts) {
    if (part.dutyShare === undefined && part.taxShare === undefined && part.line.free.excise) continue
    const alike = `${part.line.class} ${part.dutyShare !== undefined} ${part.taxShare !== undefined} ${part.line.free.excise}`
    const group = groups.get(alike)
    if (group) group.push(part)
    else groups.set(alike, [part])
  }
  return [...groups.values()]
}

function entryOf<N extends Num<N>>(
  m: Arithmetic<N>,
  group: readonly Apportioned<N>[],
  rules: ChargeRules<N>,
  undetermined: Undetermined[],
): Entry<N> {
  const zero = m.of(0)
  const goodsClass = group[0]?.line.class ?? ''
  const lines = group.map((part) => part.line.id)
  const round = (amount: N) => m.round(amount, rules.decimals, rules.rounding)
  const dutiable = m.sum(group.flatMap((part) => share(part.customsValue, part.dutyShare) ?? []))
  const charged = group.some((part) => part.dutyShare !== undefined)
  const rate = rules.dutyRate(goodsClass)
  if (charged && rate === undefined) {
    undetermined.push({
      what: `duty on ${goodsClass}`,
      lines,
      why: `no rate for the class ${goodsClass} on that day`,
    })
  }
  const dutyBase = m.round(dutiable, rules.dutyBaseDecimals, rules.rounding)
  const duty = charged && rate !== undefined ? round(dutyBase.times(rate)) : zero
  const exciseRate = rules.exciseRate(goodsClass)
  const excise = charged && exciseRate !== undefined ? round(dutiable.plus(duty).times(exciseRate)) : zero
  const taxed = group.some((part) => part.taxShare !== undefined)
  const parts = m.sum(group.flatMap((part) => share(part.taxParts, part.taxShare) ?? []))
  const taxBase = taxed ? parts.plus(duty).plus(excise) : zero
  if (taxed && rules.taxRate === undefined) {
    undetermined.push({ what: 'import tax', lines, why: 'no rate on that day' })
  }
  const tax = taxed && rules.taxRate !== undefined ? round(taxBase.times(rules.taxRate)) : zero
  return { class: goodsClass, lines, dutiable, duty, excise, taxBase, tax }
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
      if (fee.on === 'charged') return share(part.customsValue, part.dutyShare) ?? []
      return part.line.free.fee ? [] : part.customsValue
    }),
  )
  let amount = fee.fixed ?? base.times(fee.rate ?? zero)
  if (fee.floor) amount = m.max(amount, fee.floor)
  if (fee.cap) amount = m.min(amount, fee.cap)
  // No base, no fee: a floor must not charge a consignment that is wholly free.
  return m.choose(base, fee.above ?? m.of('0.005'), m.round(amount, rules.decimals, rules.rounding), zero)
}

/** Turns a reference figure into a number of the model; `m.input` keeps it changeable, `m.of` does not. */
export type AsNumber<N> = (row: NumberInput) => N

/**
 * How a country charges on a day, from the tables. What they do not cover comes back as `undetermined`, and
 * `undefined` in place of rules where not even the value base is known.
 *
 * @param country ISO 3166-1 code of the destination
 */
export function chargeRules<N extends Num<N>>(
  m: Arithmetic<N>,
  tables: CustomsTables,
  country: string,
  on: IsoDate,
  asNumber: AsNumber<N> = (row) => m.input(row),
): {
  readonly rules: ChargeRules<N> | undefined
  readonly currency: string | undefined
  readonly undetermined: readonly Undetermined[]
} {
  const jurisdiction = tables.jurisdictionOfCountry.get(country)
  const bases = jurisdiction ? (tables.valueBase.get(jurisdiction.id) ?? []) : []
  const base = bases.find((row) => holdsOn(row, on))
  if (jurisdiction === undefined || base === undefined) {
    const why = jurisdiction
      ? `no row of value-base.csv for ${jurisdiction.label} holds on ${on}; days covered: ${daysCovered(bases) || 'none'}`
      : `${country} is not a country of jurisdictions.csv; ask its customs authority`
    return {
      rules: undefined,
      currency: jurisdiction?.currency,
      undetermined: [{ what: 'all charges', lines: [], why }],
    }
  }
  const figure = (id: string, label: string, unit: string, row: Figure, range: Range): N =>
    asNumber({ id, label, unit, ...range, source: row.source, confirmed: row.confirmed })
  const single = (likely: Decimal): Range => ({ low: likely, likely, high: likely })
  const rateRow = (goodsClass: string) => {
    const names = [goodsClass, tables.classes.get(goodsClass)?.group ?? '', 'any']
    for (const name of names) {
      const row = tables.dutyRates.get(`${jurisdiction.id} ${name}`)?.find((each) => holdsOn(each, on))
      if (row) return row
    }
    return undefined
  }
  const known = new Map<string, { readonly duty: N; readonly excise: N | undefined }>()
  const rates = (goodsClass: string) => {
    const row = rateRow(goodsClass)
    if (row === undefined) return undefined
    const id = `customs.${jurisdiction.id}.${row.class}`
    const made = known.get(id) ?? {
      duty: figure(`${id}.duty`, `duty on ${row.class}`, '1', row, {
        low: row.low ?? row.likely,
        likely: row.likely,
        high: row.high ?? row.likely,
      }),
      excise: row.excise && figure(`${id}.excise`, `excise on ${row.class}`, '1', row, single(row.excise)),
    }
    known.set(id, made)
    return made
  }
  const taxRows = tables.importTax.get(country) ?? []
  const taxRow = taxRows.find((row) => holdsOn(row, on))
  const undetermined: Undetermined[] = []
  if (taxRow?.rate === undefined) {
    const why =
      taxRow?.note ??
      `no row of import-tax.csv for ${country} holds on ${on}; days covered: ${daysCovered(taxRows) || 'none'}`
    undetermined.push({ what: 'import tax', lines: [], why })
  }
  const unit = jurisdiction.currency
  return {
    currency: jurisdiction.currency,
    undetermined,
    rules: {
      base: base.base,
      dutyRate: (goodsClass) => rates(goodsClass)?.duty,
      exciseRate: (goodsClass) => rates(goodsClass)?.excise,
      taxRate:
        taxRow?.rate && figure(`customs.${country}.tax`, taxRow.label, '1', taxRow, single(taxRow.rate)),
      taxAddsFreight: base.tax_adds.includes('freight'),
      taxAddsInland: base.tax_adds.includes('inland'),
      taxUplift: m.of(base.tax_uplift),
      dutyBaseDecimals: base.duty_base_decimals,
      decimals: base.decimals,
      rounding: base.rounding,
      fees: (tables.fees.get(jurisdiction.id) ?? [])
        .filter((row) => holdsOn(row, on))
        .map((row) => ({
          id: row.id,
          label: row.label,
          on: row.on,
          ...(row.rate && { rate: figure(`customs.${row.id}`, row.label, '1', row, single(row.rate)) }),
          ...(row.fixed && { fixed: figure(`customs.${row.id}`, row.label, unit, row, single(row.fixed)) }),
          ...(row.above && { above: m.of(row.above) }),
          ...(row.floor && { floor: m.of(row.floor) }),
          ...(row.cap && { cap: m.of(row.cap) }),
        })),
    },
  }
}

interface Figure {
  readonly source: string
  readonly confirmed: Exclude<Confirmed, 'stated'>
}
type Range = Pick<NumberInput, 'low' | 'likely' | 'high'>

/** How hopefully to count: relief at the authority's discretion as refused, or as granted. */
export type Counting = 'sure' | 'hoped'

/**
 * Lines as they are charged, from what was assessed. A line that is refused or unknown is charged in full; one at
 * the authority's discretion too, unless counted as hoped.
 *
 * @param value the line's value in the household's currency, all pieces; `undefined` where none is stated
 * @param people how many adults and minors share a ceiling that is given per head
 */
export function chargeLines<N extends Num<N>>(
  m: Arithmetic<N>,
  assessments: readonly LineAssessment[],
  value: (id: string) => N | undefined,
  counting: Counting = 'sure',
  people: { readonly adults: number; readonly minors: number } = { adults: 1, minors: 0 },
): { readonly lines: readonly ChargeLine<N>[]; readonly undetermined: readonly Undetermined[] } {
  const lines: ChargeLine<N>[] = []
  const without: string[] = []
  for (const { line, levies, by, person } of assessments) {
    const worth = value(line.id)
    if (worth === undefined) {
      without.push(line.id)
      continue
    }
    const granted = (levy: Levy) =>
      levies[levy] === 'qualifies' || (counting === 'hoped' && levies[levy] === 'discretionary')
    // A line that is refused takes nothing of a ceiling.
    const route = granted('duty') ? by.duty : granted('tax') ? by.tax : undefined
    const row = route?.row
    const kind = row?.ceiling
    const ceiling =
      row?.ceiling_amount && (kind === 'per-item' || kind === 'per-item-limit' || kind === 'total')
        ? {
            kind,
            // A ceiling that counts minors is the household's, any other the person's.
            pool: row.ceiling_minor_share ? row.id : `${row.id} ${person}`,
            amount: m.of(
              row.ceiling_minor_share
                ? row.ceiling_amount.times(row.ceiling_minor_share.times(people.minors).plus(people.adults))
                : row.ceiling_amount,
            ),
          }
        : undefined
    lines.push({
      id: line.id,
      class: line.class,
      value: worth,
      quantity: line.quantity,
      free: {
        duty: granted('duty'),
        tax: granted('tax'),
        // Excise follows duty where no rule speaks of it on its own.
        excise: granted('excise') || (by.excise === undefined && granted('duty')),
        fee: granted('fee'),
      },
      ...(ceiling && { ceiling }),
      ...(route?.proRata && { proRata: route.proRata }),
    })
  }
  const why = 'no value is stated, and customs is told the value of every line'
  return { lines, undetermined: without.length > 0 ? [{ what: 'value', lines: without, why }] : [] }
}

/**
 * The charge that comes due when relieved goods are sold, lent, hired out or pledged too early: at the rates and
 * the value of that day.
 *
 * @param value what customs accepts as the value on the day of disposal
 * @param disposal the day of disposal, and the last day of the period: `periodEnd(importOn, no_disposal, 'month')`
 * @returns nought once the period is over
 *
 * Source: Regulation (EC) 1186/2009 art. 8. Example: 900 at 12 % duty and 21 % VAT: 108.00 + 211.68 = 319.68.
 */
export function disposalCharge<N extends Num<N>>(
  m: Arithmetic<N>,
  value: N,
  rates: { readonly duty: N; readonly tax: N },
  disposal: { readonly on: IsoDate; readonly lockedUntil: IsoDate },
  decimals = 2,
  rounding: RoundingRule = 'half-up',
): { readonly duty: N; readonly tax: N; readonly total: N } {
  if (disposal.on > disposal.lockedUntil) return { duty: m.of(0), tax: m.of(0), total: m.of(0) }
  const duty = m.round(value.times(rates.duty), decimals, rounding)
  const tax = m.round(value.plus(duty).times(rates.tax), decimals, rounding)
  return { duty, tax, total: duty.plus(tax) }
}
