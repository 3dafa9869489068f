import type { Decimal } from 'decimal.js'
import type { Arithmetic, Confirmed, Num, NumberInput, RoundingRule } from '../../quantity/index.js'
import type { IsoDate } from '../../tables/fields.js'
import type { Jurisdiction } from '../columns.js'
import { saysWord } from '../papers/words.js'
import { type CustomsTables, daysCovered, holdsOn } from '../tables.js'
import type { ChargeLine } from './charge-lines.js'
import type { SurchargeRow } from './columns.js'
import type { FeeRule } from './fee.js'
import type { Undetermined } from './undetermined.js'

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
  const figure: AsFigure<N> = (id, label, unit, row, range) =>
    asNumber({ id, label, unit, ...range, source: row.source, confirmed: row.confirmed })
  const rateRow = (goodsClass: string) => {
    const row = tables.classes.get(goodsClass)
    // A rate that stands for anything at all says nothing of vehicles, or of what bears excise.
    const names = [goodsClass, row?.group ?? '', ...(row?.general === false ? [] : ['any'])]
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
      duty: figure(`${id}.duty`, `duty on ${row.class}`, '1', row, rangeOf(row)),
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
      isExcisable: (goodsClass) => tables.classes.get(goodsClass)?.excisable ?? false,
      surcharges: surchargesFor(tables, jurisdiction, on, figure),
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
          ...(row.up_to && { upTo: m.of(row.up_to) }),
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

const single = (likely: Decimal): Range => ({ low: likely, likely, high: likely })
const rangeOf = (row: { low?: Decimal | undefined; likely: Decimal; high?: Decimal | undefined }): Range => ({
  low: row.low ?? row.likely,
  likely: row.likely,
  high: row.high ?? row.likely,
})

type AsFigure<N> = (id: string, label: string, unit: string, row: Figure, range: Range) => N

/** The surcharges that a day has, and which of them a line bears. */
function surchargesFor<N>(
  tables: CustomsTables,
  jurisdiction: Jurisdiction,
  on: IsoDate,
  figure: AsFigure<N>,
): (line: ChargeLine<N>) => readonly Surcharge<N>[] {
  const rows = (tables.surcharges.get(jurisdiction.id) ?? []).filter((row) => holdsOn(row, on))
  const made = new Map<string, Surcharge<N>>()
  const surcharge = (row: SurchargeRow): Surcharge<N> => {
    const known = made.get(row.id)
    if (known) return known
    const rate = figure(`customs.${row.id}`, row.label, '1', row, rangeOf(row))
    const one = { id: row.id, label: row.label, rate }
    made.set(row.id, one)
    return one
  }
  return (line) => {
    const borne = rows.filter((row) => bears(tables, row, line, on))
    const ids = new Set(borne.map((row) => row.id))
    return borne.filter((row) => !row.gives_way_to.some((id) => ids.has(id))).map(surcharge)
  }
}

function bears<N>(tables: CustomsTables, row: SurchargeRow, line: ChargeLine<N>, on: IsoDate): boolean {
  const group = tables.classes.get(line.class)?.group
  if (!row.classes.some((name) => name === line.class || name === group || name === 'any')) return false
  if (row.exempt_age_years !== undefined && line.madeOn !== undefined) {
    // By calendar years, as the customs authority counts them.
    const years = Number(on.slice(0, 4)) - Number(line.madeOn.slice(0, 4))
    if (years >= row.exempt_age_years) return false
  }
  return row.keywords.length === 0 || row.keywords.some((word) => saysWord(line.text ?? '', word))
}
