import { z } from 'zod'
import { LOADED_FILE, LOADING_FOLDER, type Stayed } from '../load/loaded.js'
import type { Plan } from '../plan/move.js'
import { type CsvFile, type Row, readTable } from '../tables/csv.js'
import { code, date, number, oneOf, optional, text } from '../tables/fields.js'
import { suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'

/** The folder, inside a household's, that holds what was found after arrival. */
export const ARRIVAL_FOLDER = 'arrival'

const currency = optional(
  code(/^[A-Z]{3}$/, 'an ISO 4217 currency code', {
    description: 'currency; blank: the household currency',
    example: 'EUR',
  }),
)

/** claims.csv: one row a damaged or missing thing. */
export const claimColumns = z.object({
  line: text({ description: 'the line of inventory.csv, or the vehicle', example: 'K-03' }),
  carton: optional(text({ description: 'the number on its carton', example: 'C-014' })),
  pieces: optional(
    number({ description: 'how many of the line; blank: all', example: '1', min: 0.01, max: 10_000 }),
  ),
  what: oneOf(['lost', 'damaged'], { description: 'not delivered, or damaged', example: 'damaged' }),
  seen: oneOf(['at the door', 'on unpacking'], {
    description: 'when it was found',
    example: 'on unpacking',
  }),
  found_on: date({ description: 'the day it was found', example: '2027-04-25' }),
  noted: oneOf(['yes', 'no'], {
    description: 'was it written on the delivery note, signed by the driver',
    example: 'yes',
  }),
  cause: text({ description: 'a peril of perils.csv, as far as one can tell', example: 'breakage' }),
  repair: optional(number({ description: 'what repair costs, by a written offer', example: '80', min: 0 })),
  worth_left: optional(
    number({
      description: 'what is left of its worth, share of one, where it is not repaired',
      example: '0.4',
      min: 0,
      max: 1,
    }),
  ),
  currency,
  note: optional(text({ description: 'anything else', example: 'photographs 12 to 15' })),
})
export type ClaimRow = Row<typeof claimColumns>

/** actuals.csv: what was paid in the end, a row a line of the statement. */
export const actualColumns = z.object({
  cell: text({ description: 'the cost line', example: 'cost.origin.packing' }),
  paid: number({ description: 'what was paid', example: '1250', min: 0 }),
  currency,
  note: optional(text({ description: 'anything else', example: 'invoice 204' })),
})
export type ActualRow = Row<typeof actualColumns>

/**
 * Reads claims.csv against what the plan shipped, less what stayed behind in the end; every problem of the file at once.
 */
export function readClaims(
  csv: CsvFile,
  plan: Plan,
  perils: readonly string[],
  cartons: readonly string[],
  stayed?: Stayed,
): Read<readonly ClaimRow[]> {
  const read = readTable(csv, claimColumns)
  if (!read.ok) return read
  const lines = [
    ...plan.shipment.lines.map(({ line }) => line),
    ...plan.shipment.vehicles.map(({ vehicle }) => vehicle),
  ]
  const problems: Problem[] = []
  const known = (row: ClaimRow, column: string, found: string, all: readonly string[], expected: string) => {
    if (!all.includes(found))
      problems.push({ ...row.place, column, found, expected, fix: suggestion(found, all) })
  }
  const claimed = new Map<string, number>()
  for (const row of read.value) {
    known(row, 'line', row.line, lines, 'a line or vehicle that this plan ships')
    known(row, 'cause', row.cause, perils, 'a peril of perils.csv')
    if (row.carton !== undefined)
      known(row, 'carton', row.carton, cartons, 'the number of a carton of the plan')
    const share = stayed?.loadedShare.get(row.line) ?? 1
    const shipped = plan.shipment.lines.find(({ line }) => line === row.line)?.quantity.toNumber() ?? 1
    const held = share === 1 ? shipped : Math.round(shipped * share * 1000) / 1000
    const behind = row.carton !== undefined && stayed?.marks.has(row.carton) ? 'carton' : 'line'
    if (behind === 'carton' || share === 0) {
      problems.push({
        ...row.place,
        column: behind,
        found: behind === 'carton' ? (row.carton ?? '') : row.line,
        expected: `a ${behind} that was loaded; ${LOADING_FOLDER}/${LOADED_FILE} says that it stays`,
        fix: 'Put right which of the two files is wrong.',
      })
      continue
    }
    const sum = (claimed.get(row.line) ?? 0) + (row.pieces?.toNumber() ?? held)
    claimed.set(row.line, sum)
    if (lines.includes(row.line) && sum > held) {
      problems.push({
        ...row.place,
        column: 'pieces',
        found: String(sum),
        expected: `at most the ${held} of line ${row.line}, over all its rows`,
        fix: 'Write the number of pieces lost or damaged, each piece once.',
      })
    }
    if (row.what === 'damaged' && row.repair === undefined && row.worth_left === undefined) {
      problems.push({
        ...row.place,
        column: 'repair',
        found: '',
        expected: 'what repair costs, or the worth that is left',
        fix: 'Write the amount of a written offer, or a share of one in worth_left.',
      })
    }
  }
  return problems.length > 0 ? { ok: false, problems } : read
}

/** Reads actuals.csv against the cost lines of the plan; every problem of the file at once. */
export function readActuals(csv: CsvFile, plan: Plan): Read<readonly ActualRow[]> {
  const read = readTable(csv, actualColumns)
  if (!read.ok) return read
  const lines = costLines(plan)
  const seen = new Set<string>()
  const problems = read.value.flatMap((row): Problem[] => {
    const at = { ...row.place, column: 'cell', found: row.cell }
    if (!lines.includes(row.cell))
      return [{ ...at, expected: 'a cost line of the plan', fix: suggestion(row.cell, lines) }]
    if (seen.has(row.cell))
      return [{ ...at, expected: 'each cost line once', fix: 'Add the amounts up in one row.' }]
    seen.add(row.cell)
    return []
  })
  return problems.length > 0 ? { ok: false, problems } : read
}

/** Ids of the lines of the statement: what a bill may be set against. */
export const costLines = (plan: Plan): string[] =>
  [...plan.sheet.cells.values()]
    .filter(({ kind, unit }) => kind === 'derived' && unit === plan.household.facts.currency)
    .map(({ id }) => id)
    .filter(
      (id) => /^cost\.(origin|crossing|destination|customs|cover)\.[^.]+$/.test(id) && !id.endsWith('.total'),
    )
