import { execFile } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { mkdir, mkdtemp, readdir, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { parse } from 'csv-parse/sync'
import type { Decimal } from 'decimal.js'
import { HyperFormula } from 'hyperformula'
import type { Cell } from '../../src/plan/ledger.js'
import { dayNumber } from '../../src/time/day-number.js'
import { CELL_SHEETS } from '../../src/workbook/layout.js'
import { type FileBook, readBook } from './read-book.js'

/** Values of a workbook as another program works them out: sheet, then rows of columns. */
export type Grid = readonly (readonly (string | number)[])[]
export type Recalculated = ReadonlyMap<string, Grid>

export const OFFICE = ['/usr/bin/soffice', '/usr/bin/libreoffice', '/opt/homebrew/bin/soffice'].find((path) =>
  existsSync(path),
)
export const officeInstalled = OFFICE !== undefined

// Recalculate on load whatever the file says (0 is "always").
const profile = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>
`

/** Opens workbooks in LibreOffice Calc without a window and reads every sheet of each back, all digits. */
export async function recalculatedByOffice(books: readonly Uint8Array[]): Promise<Recalculated[]> {
  const folder = await mkdtemp(join(tmpdir(), 'workbook-'))
  try {
    await mkdir(join(folder, 'profile/user'), { recursive: true })
    await writeFile(join(folder, 'profile/user/registrymodifications.xcu'), profile)
    const paths = books.map((_, i) => join(folder, `book${i}.xlsx`))
    await Promise.all(books.map((bytes, i) => writeFile(paths[i] ?? '', bytes)))
    // Comma, quotes, UTF-8; cells as values and not as shown; every sheet in a file of its own.
    const filter = 'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1'
    const args = [`-env:UserInstallation=file://${folder}/profile`, '--headless', '--convert-to', filter]
    await promisify(execFile)(OFFICE ?? '', [...args, '--outdir', folder, ...paths], { timeout: 150_000 })
    const files = await readdir(folder)
    return books.map((bytes, i) => {
      const sheets = readBook(bytes).sheets.map((sheet) => sheet.name)
      return new Map(
        sheets.map((sheet) => {
          const file = files.find((f) => f === `book${i}-${sheet}.csv`)
          if (!file) throw new Error(`LibreOffice wrote no sheet ${sheet}: ${files.join(', ')}`)
          const rows: string[][] = parse(readFileSync(join(folder, file), 'utf8'), {
            relax_column_count: true,
          })
          return [sheet, rows]
        }),
      )
    })
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}

/** Works the same formulas out with a spreadsheet engine of another make. */
export function recalculatedByEngine(book: FileBook): Recalculated {
  const sheets = Object.fromEntries(
    book.sheets.map(({ name, cells }) => {
      const rows: (string | number | null)[][] = []
      for (const [at, cell] of cells) {
        const [, letters = '', digits = ''] = /^([A-Z]+)(\d+)$/.exec(at) ?? []
        const column = [...letters].reduce((n, letter) => n * 26 + letter.charCodeAt(0) - 64, 0) - 1
        const row = Number(digits) - 1
        while (rows.length <= row) rows.push([])
        const line = rows[row] as (string | number | null)[]
        while (line.length <= column) line.push(null)
        line[column] =
          cell.formula !== undefined
            ? `=${cell.formula}`
            : (cell.number ?? (cell.text === undefined ? null : `'${cell.text}`))
      }
      return [name, rows]
    }),
  )
  const names = [...book.names].map(([name, at]) => ({ name, expression: `=${at}` }))
  // Its own rounding of results is switched off: the workbook must not need it.
  const engine = HyperFormula.buildFromSheets(
    sheets,
    { licenseKey: 'gpl-v3', smartRounding: false, maxRows: 100_000 },
    names,
  )
  const values = new Map(
    book.sheets.map(({ name }) => {
      const id = engine.getSheetId(name) ?? 0
      const rows = engine
        .getSheetValues(id)
        .map((row) =>
          row.map((value) =>
            value === null
              ? ''
              : typeof value === 'object'
                ? `#${value.type}`
                : typeof value === 'boolean'
                  ? String(value)
                  : value,
          ),
        )
      return [name, rows] as const
    }),
  )
  engine.destroy()
  return values
}

/** Each row's values by id, from the sheets that hold cells of the plan. */
export function valuesById(
  grids: Recalculated,
  sheets: readonly string[],
  scenarios: number,
): Map<string, (string | number)[]> {
  const values = new Map<string, (string | number)[]>()
  for (const sheet of sheets) {
    for (const row of (grids.get(sheet) ?? []).slice(3)) {
      values.set(String(row[0]), row.slice(2, 2 + scenarios))
    }
  }
  return values
}

/** Cells whose value is not the model's: money and all else to nine decimals. */
export function differences(
  grids: Recalculated,
  model: readonly ReadonlyMap<string, Cell<Decimal>>[],
): string[] {
  const sheets = CELL_SHEETS.filter((sheet) => grids.has(sheet))
  const found = valuesById(grids, sheets, model.length)
  return model.flatMap((cells, s) =>
    [...cells.values()].flatMap(({ id, unit, value }) => {
      const shown = String(found.get(id)?.[s] ?? 'NaN')
      // LibreOffice writes a cell with a date format as the day; the model counts days.
      const cell = /^\d{4}-\d\d-\d\d$/.test(shown) ? dayNumber(shown) : Number(shown)
      const close = Math.abs(cell - value.toNumber()) <= 1e-9 + 1e-12 * Math.abs(value.toNumber())
      return close ? [] : [`${id}: workbook ${found.get(id)?.[s]}, model ${value} ${unit}`]
    }),
  )
}
