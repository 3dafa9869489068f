import { z } from 'zod'
import { type CsvFile, type Grid, readGrid, readTable } from '../tables/csv.js'
import { date, oneOf, optional, text } from '../tables/fields.js'
import { suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'

/** The household's file of customs rows that somebody confirmed. */
export const OWN_CUSTOMS_FILE = 'customs.csv'

const TABLES = [
  'jurisdictions',
  'relief',
  'duty-rates',
  'import-tax',
  'value-base',
  'fees',
  'surcharges',
  'vehicle-charges',
  'goods-rules',
  'documents',
] as const

/** customs.csv of a household: one changed cell of one row of a customs table a row, and who says so. */
export const ownCustomsColumns = z.object({
  table: oneOf(TABLES, { description: 'the customs table', example: 'relief' }),
  row: text({
    description:
      'the row: its id; jurisdiction and class of duty-rates, country of import-tax, jurisdiction of value-base',
    example: 'no.removal',
  }),
  from: optional(
    date({ description: 'first day of that row, where several rows have the name', example: '2026-02-02' }),
  ),
  column: text({ description: 'the column that changes', example: 'after' }),
  value: optional(text({ description: 'what stands there instead; blank: nothing', example: '24' })),
  confirmed_by: text({ description: 'who confirmed it', example: 'Norwegian Customs, Tromsø office' }),
  confirmed_on: date({ description: 'when', example: '2026-11-20' }),
  answer: optional(
    text({
      description: 'the answer: a letter, a reference number, or a file kept in this folder',
      example: 'answers/2026-11-20.pdf',
    }),
  ),
  note: optional(text({ description: 'anything else', example: '' })),
})

/** The columns that name a row of each table, joined by a blank. */
const KEYS: Readonly<Record<(typeof TABLES)[number], readonly string[]>> = {
  jurisdictions: ['id'],
  relief: ['id'],
  'duty-rates': ['jurisdiction', 'class'],
  'import-tax': ['country'],
  'value-base': ['jurisdiction'],
  fees: ['id'],
  surcharges: ['id'],
  'vehicle-charges': ['id'],
  'goods-rules': ['id'],
  documents: ['id'],
}

/**
 * The customs tables with what the household had confirmed, text in and text out. The reference tables stay as they
 * are; a changed row says who confirmed it, when, and by what answer, and counts as looked up.
 *
 * @returns the tables' files, or every row of customs.csv that names no row or column
 */
export function withOwnRows(files: readonly CsvFile[], own: CsvFile): Read<readonly CsvFile[]> {
  const rows = readTable(own, ownCustomsColumns)
  if (!rows.ok) return rows
  const problems: Problem[] = []
  const changed = new Map<string, Sheet>()
  for (const change of rows.value) {
    const name = `${change.table}.csv`
    const file = files.find((each) => each.file.split('/').at(-1) === name)
    const sheet = changed.get(name) ?? (file && sheetOf(file))
    if (sheet === undefined) continue
    changed.set(name, sheet)
    const at = sheet.header.indexOf(change.column)
    const wrong = (column: string, found: string, expected: string, fix: string) =>
      problems.push({ ...change.place, column, found, expected, fix })
    if (at < 0) {
      const columns = sheet.header.filter((column) => !PROVENANCE.includes(column))
      wrong('column', change.column, `a column of ${name}`, suggestion(change.column, columns))
      continue
    }
    const keys = KEYS[change.table].map((column) => sheet.header.indexOf(column))
    const nameOf = (cells: readonly string[]) => keys.map((key) => cells[key] ?? '').join(' ')
    const from = sheet.header.indexOf('from')
    const named = sheet.rows.filter((cells) => nameOf(cells) === change.row)
    const meant = change.from === undefined ? named : named.filter((cells) => cells[from] === change.from)
    const [cells] = meant
    if (cells === undefined && named.length > 0) {
      const days = named.map((each) => each[from] || 'no day').join(', ')
      wrong(
        'from',
        change.from ?? '',
        `the first day of a row ${change.row}: ${days}`,
        'Write one of those days.',
      )
    } else if (cells === undefined) {
      const names = [...new Set(sheet.rows.map(nameOf))]
      wrong('row', change.row, `a row of ${name}`, suggestion(change.row, names))
    } else if (meant.length > 1) {
      const days = meant.map((each) => each[from] || 'blank').join(', ')
      wrong(
        'from',
        '',
        `which of ${meant.length} rows ${change.row}: ${days}`,
        'Give the first day of the row.',
      )
    } else {
      const put = (column: string, value: string) => {
        cells[sheet.header.indexOf(column)] = value
      }
      cells[at] = change.value ?? ''
      put('source', [change.confirmed_by, change.answer].filter(Boolean).join(': '))
      put('confirmed', 'looked up')
      put('still_true_on', change.confirmed_on)
      put('note', [`stated in ${OWN_CUSTOMS_FILE} of the household`, change.note].filter(Boolean).join('; '))
    }
  }
  if (problems.length > 0) return { ok: false, problems }
  return {
    ok: true,
    value: files.map((file) => {
      const sheet = changed.get(file.file.split('/').at(-1) ?? '')
      return sheet ? { ...file, text: csvText(sheet) } : file
    }),
  }
}

const PROVENANCE = ['source', 'confirmed', 'still_true_on', 'note']

interface Sheet {
  readonly header: readonly string[]
  readonly rows: readonly string[][]
}

function sheetOf(file: CsvFile): Sheet | undefined {
  const read = readGrid(file)
  return read.ok ? { header: read.value.header, rows: cellsOf(read.value) } : undefined
}

const cellsOf = (grid: Grid): string[][] => grid.rows.map((row) => [...row.cells])

/** A sheet as CSV text again; its lines stay where they were, so that problems keep their places. */
function csvText({ header, rows }: Sheet): string {
  const cell = (value: string) => (/[",\n]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value)
  return `${[header, ...rows].map((cells) => cells.map(cell).join(',')).join('\n')}\n`
}
