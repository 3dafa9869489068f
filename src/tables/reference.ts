import type { z } from 'zod'
import { readSizeType } from '../stowage/container-number.js'
import { type CsvFile, type Row, readTable } from './csv.js'
import { type Problem, type Read, short } from './problem.js'
import {
  backgroundColumns,
  cartonColumns,
  claimNoticeColumns,
  containerColumns,
  countryColumns,
  coverColumns,
  currencyColumns,
  figureColumns,
  freightColumns,
  holidayColumns,
  itemColumns,
  leadTimeColumns,
  likelyColumns,
  perilColumns,
  portChargeColumns,
  roomStarterColumns,
  serviceColumns,
  serviceLevelColumns,
  stowageColumns,
  vehicleClassColumns,
  wageColumns,
} from './reference-columns.js'

/** The sourced tables, each with the file it is kept in and the description of its rows. */
export const REFERENCE_TABLES = {
  containers: { file: 'containers.csv', columns: containerColumns },
  cartons: { file: 'cartons.csv', columns: cartonColumns },
  items: { file: 'items.csv', columns: itemColumns },
  roomStarters: { file: 'room-starters.csv', columns: roomStarterColumns },
  vehicleClasses: { file: 'vehicle-classes.csv', columns: vehicleClassColumns },
  figures: { file: 'figures.csv', columns: figureColumns },
  background: { file: 'background.csv', columns: backgroundColumns },
  stowage: { file: 'stowage.csv', columns: stowageColumns },
  freight: { file: 'freight.csv', columns: freightColumns },
  wages: { file: 'wages.csv', columns: wageColumns },
  services: { file: 'services.csv', columns: serviceColumns },
  serviceLevels: { file: 'service-levels.csv', columns: serviceLevelColumns },
  covers: { file: 'covers.csv', columns: coverColumns },
  perils: { file: 'perils.csv', columns: perilColumns },
  portCharges: { file: 'port-charges.csv', columns: portChargeColumns },
  claimNotice: { file: 'claim-notice.csv', columns: claimNoticeColumns },
  leadTimes: { file: 'lead-times.csv', columns: leadTimeColumns },
  portHolidays: { file: 'port-holidays.csv', columns: holidayColumns },
  currencies: { file: 'currencies.csv', columns: currencyColumns },
  countries: { file: 'countries.csv', columns: countryColumns },
  likely: { file: 'likely.csv', columns: likelyColumns },
} as const

type Tables = typeof REFERENCE_TABLES
export type Reference = { readonly [K in keyof Tables]: readonly Row<Tables[K]['columns']>[] }

export type Container = Reference['containers'][number]
export type Carton = Reference['cartons'][number]
export type Service = Reference['services'][number]
export type LeadTime = Reference['leadTimes'][number]
export type Cover = Reference['covers'][number]
export type PortCharge = Reference['portCharges'][number]

/** Reads every reference table; all problems of all files come back together. */
export function readReference(files: readonly CsvFile[]): Read<Reference> {
  const reads = Object.entries(REFERENCE_TABLES).map(([name, { file, columns }]) => {
    const found = files.find((f) => f.file.endsWith(`/${file}`) || f.file === file)
    return [
      name,
      found
        ? readTable<z.ZodObject>(found, columns)
        : ({ ok: false, problems: [missingFile(file)] } as const),
    ] as const
  })
  const problems = reads.flatMap(([name, read]) => {
    if (!read.ok) return read.problems
    const [first = 'id'] = Object.keys(REFERENCE_TABLES[name as keyof Tables].columns.shape)
    return [
      ...(name === 'containers' ? outsides(read.value as never) : []),
      ...doubled(read.value, [first, ...(ALSO_NAMED_BY[name] ?? [])]),
    ]
  })
  if (problems.length > 0) return { ok: false, problems }
  const tables = Object.fromEntries(reads.map(([name, read]) => [name, read.ok ? read.value : []]))
  return { ok: true, value: tables as unknown as Reference }
}

/** A container's size and type code says how long and how high it is outside; a row that says otherwise is a slip. */
function outsides(rows: Reference['containers']): Problem[] {
  return rows.flatMap((row): Problem[] => {
    const code = readSizeType(row.id)
    const sides = code.ok
      ? ([
          ['outside_length_mm', row.outside_length_mm, code.value.lengthMm],
          ['outside_height_mm', row.outside_height_mm, code.value.heightMm],
        ] as const)
      : []
    return sides.flatMap(([column, found, due]) =>
      due === undefined || found.eq(due)
        ? []
        : [
            {
              ...row.place,
              column,
              found: found.toString(),
              expected: `${due}, as the code ${row.id} says`,
              fix: 'Put the right size, or the code of the container that has this one.',
            },
          ],
    )
  })
}

/** Columns that name a row together with the first one. */
const ALSO_NAMED_BY: Readonly<Record<string, readonly string[]>> = {
  figures: ['where'],
  freight: ['from_region', 'to_region'],
  roomStarters: ['item_code'],
  wages: ['who'],
}

/** Rows of one name are refused, unless the days on which they hold (`from`, `until`) tell them apart. */
function doubled(rows: readonly Row<z.ZodObject>[], columns: readonly string[]): Problem[] {
  const seen = new Map<string, Row<z.ZodObject>[]>()
  return rows.flatMap((row): Problem[] => {
    const name = columns.map((column) => String(row[column] ?? '')).join(', ')
    const before = seen.get(name) ?? []
    seen.set(name, [...before, row])
    const day = (value: unknown, otherwise: string) => (typeof value === 'string' ? value : otherwise)
    const same = before.find(
      (other) =>
        day(row.from, '') <= day(other.until, '9999') && day(other.from, '') <= day(row.until, '9999'),
    )
    if (same === undefined) return []
    const fix =
      row.from === undefined && row.until === undefined
        ? `It is in line ${same.place.line} already: keep one row.`
        : `End the row of line ${same.place.line} (until) before this one starts (from).`
    return [
      {
        ...row.place,
        column: columns[0] ?? 'id',
        found: short(name),
        expected: 'one row of a name for each day',
        fix,
      },
    ]
  })
}

/** What is said of a file that is not there. */
export function missingFile(file: string): Problem {
  return {
    file,
    line: 1,
    column: 'file',
    found: 'no such file',
    expected: `the file ${file}`,
    fix: 'Start from its template: quaybook new FOLDER writes one of each.',
  }
}
