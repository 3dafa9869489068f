import type { Decimal } from 'decimal.js'
import { type CsvFile, type Row, readTable } from '../tables/csv.js'
import { factsOf } from '../tables/fields.js'
import { groupBy } from '../tables/group-by.js'
import { inventoryColumns } from '../tables/household-columns.js'
import { suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'
import type {
  DutyRateRow,
  FeeRow,
  ImportTaxRow,
  SurchargeRow,
  ValueBaseRow,
  VehicleChargeRow,
} from './charges/columns.js'
import { type CustomsFigure, customsColumns, type GoodsClass, type Jurisdiction } from './columns.js'
import type { DocumentRow, GoodsRule, HeadingRow } from './papers/columns.js'
import type { ReliefRow } from './relief/columns.js'

const MATERIALS = factsOf(inventoryColumns.shape.material).allowed ?? []

/** The customs rules, read and checked against each other. */
export interface CustomsTables {
  readonly jurisdictions: ReadonlyMap<string, Jurisdiction>
  readonly jurisdictionOfCountry: ReadonlyMap<string, Jurisdiction>
  readonly classes: ReadonlyMap<string, GoodsClass>
  readonly relief: ReadonlyMap<string, readonly ReliefRow[]>
  readonly dutyRates: ReadonlyMap<string, readonly DutyRateRow[]>
  readonly importTax: ReadonlyMap<string, readonly ImportTaxRow[]>
  readonly valueBase: ReadonlyMap<string, readonly ValueBaseRow[]>
  readonly fees: ReadonlyMap<string, readonly FeeRow[]>
  readonly surcharges: ReadonlyMap<string, readonly SurchargeRow[]>
  readonly vehicleCharges: readonly VehicleChargeRow[]
  readonly goodsRules: ReadonlyMap<string, readonly GoodsRule[]>
  readonly documents: ReadonlyMap<string, readonly DocumentRow[]>
  readonly headings: ReadonlyMap<string, HeadingRow>
  readonly figures: ReadonlyMap<string, CustomsFigure>
}

type Columns = typeof customsColumns
type FileName = keyof Columns

/** The files of data/reference/customs, all of which `readCustomsTables` wants. */
export const CUSTOMS_FILES = Object.keys(customsColumns) as readonly FileName[]

/**
 * Reads the customs rules: every file of `CUSTOMS_FILES`, by the last part of its name.
 *
 * @returns the tables, or every problem of every file, including rows that name something no other file has
 */
export function readCustomsTables(files: readonly CsvFile[]): Read<CustomsTables> {
  const problems: Problem[] = []
  const take = <F extends FileName>(name: F): readonly Row<Columns[F]>[] => {
    const csv = files.find(({ file }) => file.split('/').at(-1) === name)
    if (csv === undefined) {
      problems.push({
        file: name,
        line: 1,
        column: 'file',
        found: files.map(({ file }) => file).join(', '),
        expected: `the file ${name}`,
        fix: `Put ${name} back into data/reference/customs.`,
      })
      return []
    }
    const read = readTable<Columns[F]>(csv, customsColumns[name])
    if (read.ok) return read.value
    problems.push(...read.problems)
    return []
  }
  const jurisdictions = take('jurisdictions.csv')
  const classes = take('classes.csv')
  const relief = take('relief.csv')
  const dutyRates = take('duty-rates.csv')
  const importTax = take('import-tax.csv')
  const valueBase = take('value-base.csv')
  const fees = take('fees.csv')
  const surcharges = take('surcharges.csv')
  const vehicleCharges = take('vehicle-charges.csv')
  const goodsRules = take('goods-rules.csv')
  const documents = take('documents.csv')
  const headings = take('strings.csv')
  const figures = take('customs-figures.csv')

  const territories = [...jurisdictions.map((row) => row.id), 'any']
  const countries = jurisdictions.flatMap((row) => row.countries)
  const goods = [...classes.flatMap((row) => [row.id, row.group]), 'any']
  const known = (column: string, found: readonly string[], all: readonly string[], row: Place) => {
    for (const name of found) {
      if (all.includes(name)) continue
      problems.push({
        ...row.place,
        column,
        found: name,
        expected: 'a name that the tables define',
        fix: suggestion(name, all),
      })
    }
  }
  const perTerritory = [relief, dutyRates, valueBase, fees, surcharges, goodsRules, documents]
  for (const row of perTerritory.flat()) known('jurisdiction', [row.jurisdiction], territories, row)
  for (const row of importTax) known('country', [row.country], countries, row)
  for (const row of relief) known('excluded', row.excluded, goods, row)
  for (const row of relief) known('only', row.only, goods, row)
  for (const row of surcharges) known('classes', row.classes, goods, row)
  const measures = surcharges.map((row) => row.id)
  for (const row of surcharges) known('gives_way_to', row.gives_way_to, measures, row)
  for (const row of vehicleCharges) known('country', [row.country], [...countries, 'any'], row)
  for (const row of dutyRates) known('class', [row.class], goods, row)
  for (const row of goodsRules) known('classes', row.classes, goods, row)
  for (const row of goodsRules) known('materials', row.materials, MATERIALS, row)
  for (const row of documents) known('goods', row.goods, [...goods, ...MATERIALS], row)
  for (const row of relief) problems.push(...reliefProblems(row))
  problems.push(...overlaps(dutyRates, (row) => `${row.jurisdiction} ${row.class}`, 'class'))
  problems.push(...overlaps(importTax, (row) => row.country, 'country'))
  problems.push(...overlaps(valueBase, (row) => row.jurisdiction, 'jurisdiction'))
  problems.push(...overlaps(fees, (row) => row.id, 'id'))
  problems.push(...overlaps(surcharges, (row) => row.id, 'id'))
  problems.push(...overlaps(goodsRules, (row) => row.id, 'id'))
  problems.push(...overlaps(vehicleCharges, (row) => row.id, 'id'))
  problems.push(...overlaps(relief, (row) => row.id, 'id'))
  if (problems.length > 0) return { ok: false, problems }
  return {
    ok: true,
    value: {
      jurisdictions: byId(jurisdictions),
      jurisdictionOfCountry: new Map(
        jurisdictions.flatMap((row) => row.countries.map((c) => [c, row] as const)),
      ),
      classes: byId(classes),
      relief: groupBy(relief, (row) => row.jurisdiction),
      dutyRates: groupBy(dutyRates, (row) => `${row.jurisdiction} ${row.class}`),
      importTax: groupBy(importTax, (row) => row.country),
      valueBase: groupBy(valueBase, (row) => row.jurisdiction),
      fees: groupBy(fees, (row) => row.jurisdiction),
      surcharges: groupBy(surcharges, (row) => row.jurisdiction),
      vehicleCharges,
      goodsRules: groupBy(goodsRules, (row) => row.jurisdiction),
      documents: groupBy(documents, (row) => row.jurisdiction),
      headings: byId(headings),
      figures: byId(figures),
    },
  }
}

interface Place {
  readonly place: { readonly file: string; readonly line: number }
}

interface Dated {
  readonly from?: string | undefined
  readonly until?: string | undefined
}

/** Does a dated row hold on a day? */
export const holdsOn = (row: Dated, day: string): boolean =>
  (row.from === undefined || row.from <= day) && (row.until === undefined || day <= row.until)

/** The days a set of dated rows covers, for the message where a day falls outside them. */
export function daysCovered(rows: readonly Dated[]): string {
  return rows.map((row) => `${row.from ?? 'the beginning'} to ${row.until ?? 'today'}`).join(', ')
}

/** A single figure of customs-figures.csv. An unknown id is an error of the program. */
export function customsFigure(tables: Pick<CustomsTables, 'figures'>, id: string): Decimal {
  const row = tables.figures.get(id)
  if (row === undefined) throw new Error(`unknown figure "${id}" of customs-figures.csv`)
  return row.likely
}

function reliefProblems(row: ReliefRow): Problem[] {
  const wanted: [boolean, string, string, string][] = [
    [
      typeof row.abroad_months === 'object' && row.abroad_to === undefined,
      'abroad_to',
      '',
      'the day months abroad are counted to',
    ],
    [
      typeof row.owned_months === 'object' && row.owned_to === undefined,
      'owned_to',
      '',
      'the day ownership is counted to',
    ],
    [
      typeof row.after === 'number' && row.window_from === undefined,
      'window_from',
      '',
      'the day the window is counted from',
    ],
    [
      (row.ceiling === 'total' || row.ceiling.startsWith('per-item')) &&
        (row.ceiling_amount === undefined || row.ceiling_currency === undefined),
      'ceiling_amount',
      row.ceiling_amount?.toString() ?? '',
      'amount and currency of the ceiling',
    ],
    [row.effect === 'none' && row.refusal === undefined, 'refusal', '', 'the reason why there is no relief'],
  ]
  return wanted.flatMap(([wrong, column, found, expected]) =>
    wrong
      ? [
          {
            ...row.place,
            column,
            found,
            expected,
            fix: `Fill in ${column}, or blank the column it belongs to.`,
          },
        ]
      : [],
  )
}

function overlaps<R extends Dated & Place>(
  rows: readonly R[],
  key: (row: R) => string,
  column: string,
): Problem[] {
  return [...groupBy(rows, key)].flatMap(([name, same]) =>
    same.flatMap((row, i) =>
      same
        .slice(0, i)
        .some(
          (other) =>
            (row.from ?? '') <= (other.until ?? '9999') && (other.from ?? '') <= (row.until ?? '9999'),
        )
        ? [
            {
              ...row.place,
              column,
              found: name,
              expected: 'one row for each day',
              fix: 'End the older row (until) before this one starts (from).',
            },
          ]
        : [],
    ),
  )
}

const byId = <R extends { readonly id: string }>(rows: readonly R[]): ReadonlyMap<string, R> =>
  new Map(rows.map((row) => [row.id, row]))
