import type { Decimal } from 'decimal.js'
import { isDate } from '../paper/format.js'
import type { Cell, Warning } from '../plan/ledger.js'
import type { Recorded } from '../quantity/recorded.js'

/** A plan whose numbers remember their formulas. */
export interface RecordedSheet {
  readonly cells: ReadonlyMap<string, Cell<Recorded>>
  readonly choices: ReadonlyMap<string, string>
  readonly warnings?: readonly Warning[]
}

/** One scenario: a column of the workbook. */
export interface WorkbookScenario {
  readonly name: string
  readonly sheet: RecordedSheet
}

/** The sheets that hold cells of the plan, in the order of the move. */
export const CELL_SHEETS = [
  'Inputs',
  'Inventory',
  'Volume',
  'Cost',
  'Customs',
  'Cover',
  'Time',
  'Quotes',
  'Further',
  'Ways',
] as const
export type CellSheet = (typeof CELL_SHEETS)[number]

const sheetOfStep: Readonly<Record<string, CellSheet>> = {
  line: 'Inventory',
  inventory: 'Inventory',
  volume: 'Volume',
  mass: 'Volume',
  carton: 'Volume',
  cartons: 'Volume',
  stowage: 'Volume',
  container: 'Volume',
  options: 'Cost',
  cost: 'Cost',
  work: 'Cost',
  employer: 'Cost',
  freight: 'Cost',
  labour: 'Cost',
  duty: 'Customs',
  customs: 'Customs',
  tax: 'Customs',
  value: 'Cover',
  cover: 'Cover',
  insurance: 'Cover',
  loss: 'Cover',
  time: 'Time',
  delay: 'Time',
  storage: 'Time',
  quote: 'Quotes',
  quotes: 'Quotes',
  door: 'Cost',
  transport: 'Cost',
  importer: 'Customs',
  with: 'Ways',
  by: 'Ways',
}

// Inputs that are measures of things rather than of this move; they stand last.
const measures = new Set(['item', 'carton', 'container'])

/** One row of a sheet: a cell of the plan in every scenario that has it. */
export interface LaidRow {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly kind: 'input' | 'derived'
  readonly sheet: CellSheet
  /** One for each scenario; undefined where the scenario does not have the cell. */
  readonly cells: readonly (Cell<Recorded> | undefined)[]
}

/**
 * The rows of every sheet. A result goes where the first part of its id says (`cost.…` to Cost), an id not known to
 * Further; what belongs to one line of the inventory, input or result, stands together on Inventory.
 */
export function laidRows(scenarios: readonly WorkbookScenario[]): ReadonlyMap<CellSheet, readonly LaidRow[]> {
  const groups = new Map<CellSheet, Map<string, LaidRow[]>>(CELL_SHEETS.map((sheet) => [sheet, new Map()]))
  const placed = new Set<string>()
  scenarios.forEach(({ sheet }) => {
    for (const { id, label, unit, kind } of sheet.cells.values()) {
      if (placed.has(id)) continue
      placed.add(id)
      const cells = scenarios.map((s) => s.sheet.cells.get(id))
      const line = lineOf(id)
      const home = line ? 'Inventory' : kind === 'input' ? 'Inputs' : homeOf(id)
      const inSheet = groups.get(home) as Map<string, LaidRow[]>
      // Inputs of one kind stand together, as do the figures of one line; results keep the order of the plan.
      const group = line ?? (kind === 'input' ? (id.split('.')[0] ?? '') : '')
      const row = { id, label, unit, kind, sheet: home, cells } as const
      inSheet.set(group, [...(inSheet.get(group) ?? []), row])
    }
  })
  return new Map(
    [...groups].map(([sheet, inSheet]) => {
      const late = (group: string) => (sheet === 'Inputs' && measures.has(group) ? 1 : 0)
      const ordered = [...inSheet].sort(([a], [b]) => late(a) - late(b))
      return [sheet, ordered.flatMap(([, rows]) => rows)]
    }),
  )
}

const homeOf = (id: string): CellSheet => {
  const first = id.split('.')[0] ?? ''
  return Object.hasOwn(sheetOfStep, first) ? (sheetOfStep[first] ?? 'Further') : 'Further'
}

const details: Readonly<Partial<Record<CellSheet, RegExp>>> = {
  Inputs:
    /^(item|container|carton|road-limit|vehicle|car|risk|loss|survey|packed|quote|customs|insurance|stowage|mover|price\.[^.]+\.)/,
  Volume: /(^|\.)(cartons|carton)\./,
  Cost: /^(options|work|door)\./,
  Customs: /\.entry\./,
  Cover: /-(over-next|premium-only)$/,
  Quotes: /\.part\./,
}

/**
 * Whether a row is folded away until asked for, so that a sheet reads at a glance and prints on a page or two: on
 * Inventory all but how many there are of a thing, elsewhere measures and parts of figures.
 */
export const isDetail = ({ id, sheet }: LaidRow): boolean =>
  sheet === 'Inventory'
    ? /(^|\.)line\./.test(id) && !/\.quantity$/.test(id)
    : (details[sheet]?.test(id) ?? false)

/** The inventory line an id is about: `line.K-01.mass` and `volume.line.K-01.net` are about K-01. */
const lineOf = (id: string): string | undefined => /(?:^|\.)line\.([^.]+)/.exec(id)?.[1]

/**
 * Number format of a row. Results show the decimals usual for their unit, inputs every digit they have.
 *
 * @param minorUnits digits after the point of each currency (ISO 4217); 2 where it is not listed
 */
export function numberFormat(row: LaidRow, minorUnits: ReadonlyMap<string, number>): string | undefined {
  // A day number is a spreadsheet's own date.
  if (isDate(row.unit)) return 'yyyy\\-mm\\-dd'
  const whole = row.cells.every((c) => !c || c.value.value.isInteger())
  // Without a format of its own a number of days that comes from dates is shown as one.
  if (row.unit === 'day' && row.kind === 'derived') return whole ? '#,##0' : '#,##0.0'
  if (row.unit === '1') return row.kind === 'input' || whole ? undefined : '#,##0.0000'
  const decimals = usualDecimals(row.unit, minorUnits)
  if (decimals === undefined) return undefined
  const digits = decimals === 0 ? '#,##0' : `#,##0.${'0'.repeat(decimals)}`
  const shown =
    row.kind === 'derived' || row.cells.every((c) => !c || c.value.value.decimalPlaces() <= decimals)
  return shown ? digits : undefined
}

function usualDecimals(unit: string, minorUnits: ReadonlyMap<string, number>): number | undefined {
  const [first = ''] = unit.split('/')
  if (/^[A-Z]{3}$/.test(first)) return minorUnits.get(first) ?? 2
  return { m3: 3, ft3: 2, kg: 1, lb: 1, h: 2, mm: 0, cm: 1, m: 2 }[unit]
}

/** A value of the model as a spreadsheet stores it: the nearest float64. */
export const stored = (value: Decimal): number => value.toNumber()
