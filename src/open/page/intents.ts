// What a person means by an edit, as changes of the texts as they are now. Made again when another page was quicker.
import {
  addColumn,
  addRows,
  applied,
  type CsvRecord,
  type CsvSheet,
  columnAt,
  csvSheet,
  moveRow,
  type Patch,
  putAt,
  removeColumn,
  removeRow,
  replacedText,
  setCell,
  valueIn,
} from '../../tables/csv-edit.js'
import { changed, type FileChange, type Texts } from '../edits.js'

/** Turns texts into changes. Throws one sentence where what it is about is no longer there. */
export type Intent = (texts: Texts) => FileChange[]

/** Headers of files that come into being when the first thing is written into them. */
export const HEADERS: Readonly<Record<string, string>> = {
  'household.csv': 'fact,value,note',
  'people.csv':
    'person,status,adult,abroad_since,leaves_on,arrives_on,first_arrival_on,also,permit_months,nationality,married_on,inherited_on,relief_used_on,lived_there_before,note',
  'inventory.csv':
    'line,room,item,quantity,item_code,volume_m3,volume_ft3,length_cm,width_cm,height_cm,mass_kg,value,replacement_value,currency,acquired_on,owner,held,class,material,packing,handling,take,serial,condition,note',
  'exchange.csv': 'from,to,rate,on,source',
  'vehicles.csv':
    'vehicle,label,kind,class,length_mm,width_mm,height_mm,mass_kg,powertrain,steering,value,replacement_value,currency,acquired_on,made_on,euro_class,owner,held,deck,take,note',
  'services.csv': 'service,provider,note',
  'rates.csv': 'id,low,likely,high,source',
  'quotes.csv': 'quote,volume_m3,services,price,currency,note',
  'scenarios.csv': 'id,As stated',
  'confirmed.csv': 'file,row,column,found,note',
}

/** A row of a file by its place and the mark it had there, so that it is found after others moved it. */
export interface RowRef {
  readonly index: number
  readonly key: string
}

/** The column that marks a row of a file. */
export const keyColumn = (sheet: CsvSheet): string => sheet.header.cells[0]?.value ?? ''

function sheetOf(texts: Texts, file: string): CsvSheet {
  const sheet = csvSheet(texts[file] ?? '')
  if (!sheet) throw new Error(`${file} cannot be changed cell by cell: put its quotation marks right first`)
  return sheet
}

function rowOf(sheet: CsvSheet, ref: RowRef): { row: CsvRecord; index: number } {
  const key = keyColumn(sheet)
  const here = sheet.rows[ref.index]
  if (here && valueIn(sheet, here, key) === ref.key) return { row: here, index: ref.index }
  const index = sheet.rows.findIndex((row) => valueIn(sheet, row, key) === ref.key)
  const row = sheet.rows[index]
  if (!row) throw new Error(`the line “${ref.key}” is no longer there`)
  return { row, index }
}

/** A number as the file writes it: with a comma where its first line says so. */
export const asFiled = (sheet: CsvSheet, value: string): string =>
  sheet.decimalComma && /^-?\d+\.\d+$/.test(value) ? value.replace('.', ',') : value

const only = (file: string, patches: readonly Patch[]): FileChange[] =>
  patches.length > 0 ? [{ file, patches }] : []

/** Several changes to one sheet, each made on the text that the ones before leave. */
function inTurn(sheet: CsvSheet, makers: readonly ((sheet: CsvSheet) => Patch[])[]): Patch[] {
  let now = sheet
  return makers.flatMap((make) => {
    const patches = make(now)
    const next = patches.length > 0 ? csvSheet(applied(now.text, patches)) : now
    if (!next) throw new Error('that would break the table')
    now = next
    return patches
  })
}

/** Cells of one row given other values; numbers are written with the file's own decimal sign. */
export const setCells =
  (file: string, ref: RowRef, values: Readonly<Record<string, string>>): Intent =>
  (texts) => {
    const sheet = sheetOf(texts, file)
    const { index } = rowOf(sheet, ref)
    const makers = Object.entries(values).map(([column, value]) => (now: CsvSheet) => {
      const row = now.rows[index]
      return row ? setCell(now, row, column, asFiled(now, value)) : []
    })
    return only(file, inTurn(sheet, makers))
  }

/** The file with its header, where it is not there yet. */
function begun(texts: Texts, file: string): { changes: FileChange[]; texts: Texts } {
  if (texts[file] !== undefined && csvSheet(texts[file] ?? '')) return { changes: [], texts }
  const before = texts[file]
  if (before !== undefined && before.trim() !== '' && !/^([\s\uFEFF]*"?#.*\n?)*$/.test(before))
    sheetOf(texts, file)
  const header = `${before ?? ''}${HEADERS[file] ?? 'id'}\n`
  const change: FileChange =
    before === undefined
      ? { file, patches: replacedText('', header), life: 'made' }
      : { file, patches: replacedText(before, header) }
  return { changes: [change], texts: changed(texts, [change]) }
}

/** New rows behind a row, or at the end; a file that is not there begins with its header. */
export const addLines =
  (file: string, rows: readonly Readonly<Record<string, string>>[], after?: RowRef): Intent =>
  (texts) => {
    const start = begun(texts, file)
    const sheet = sheetOf(start.texts, file)
    const filed = rows.map((row) =>
      Object.fromEntries(Object.entries(row).map(([name, value]) => [name, asFiled(sheet, value)])),
    )
    const at = after === undefined ? sheet.rows.length - 1 : rowOf(sheet, after).index
    return [...start.changes, ...only(file, addRows(sheet, filed, at))]
  }

export const dropLine =
  (file: string, ref: RowRef): Intent =>
  (texts) => {
    const sheet = sheetOf(texts, file)
    return only(file, removeRow(sheet, rowOf(sheet, ref).index))
  }

/** A row put one place up or down among the rows given, the ones of its room for instance. */
export const moveLine =
  (file: string, ref: RowRef, to: RowRef): Intent =>
  (texts) => {
    const sheet = sheetOf(texts, file)
    return only(file, moveRow(sheet, rowOf(sheet, ref).index, rowOf(sheet, to).index))
  }

/** A fact of household.csv. */
export const setFact =
  (fact: string, value: string): Intent =>
  (texts) => {
    const start = begun(texts, 'household.csv')
    const sheet = sheetOf(start.texts, 'household.csv')
    const index = sheet.rows.findIndex((row) => valueIn(sheet, row, 'fact') === fact)
    if (index >= 0)
      return [...start.changes, ...setCells('household.csv', { index, key: fact }, { value })(start.texts)]
    return [...start.changes, ...addLines('household.csv', [{ fact, value }])(start.texts)]
  }

/** One input of one scenario; a blank value leaves the input as stated. */
export const setChoice =
  (scenario: string, id: string, value: string): Intent =>
  (texts) => {
    const start = begun(texts, 'scenarios.csv')
    const sheet = sheetOf(start.texts, 'scenarios.csv')
    if (columnAt(sheet, scenario) < 1) throw new Error(`the scenario “${scenario}” is no longer there`)
    const index = sheet.rows.findIndex((row) => valueIn(sheet, row, 'id') === id)
    const row = sheet.rows[index]
    if (row) {
      const others = sheet.header.cells.slice(1).filter((cell) => cell.value !== scenario)
      const empty = value === '' && others.every((cell) => valueIn(sheet, row, cell.value) === '')
      // A row that changes nothing any more goes, so that undoing a choice by hand leaves no trace in the file.
      const patches = empty ? removeRow(sheet, index) : setCell(sheet, row, scenario, asFiled(sheet, value))
      return [...start.changes, ...only('scenarios.csv', patches)]
    }
    if (value === '') return start.changes
    return [
      ...start.changes,
      ...only('scenarios.csv', addRows(sheet, [{ id, [scenario]: asFiled(sheet, value) }])),
    ]
  }

/** Names of the scenarios of a household. */
export function scenarioNames(texts: Texts): string[] {
  const sheet = csvSheet(texts['scenarios.csv'] ?? '')
  return sheet ? sheet.header.cells.slice(1).map(({ value }) => value) : []
}

const refuseName = (sheet: CsvSheet, name: string): void => {
  if (name.trim() === '') throw new Error('a scenario needs a name')
  if (columnAt(sheet, name.trim()) >= 0) throw new Error(`there is a scenario “${name.trim()}” already`)
}

/** A scenario more, as a copy of another or changing nothing. */
export const addScenario =
  (name: string, like?: string): Intent =>
  (texts) => {
    if (texts['scenarios.csv'] === undefined) {
      const header = `id,${name.trim()}\n`
      return [{ file: 'scenarios.csv', patches: replacedText('', header), life: 'made' }]
    }
    const sheet = sheetOf(texts, 'scenarios.csv')
    refuseName(sheet, name)
    const from = like === undefined ? -1 : columnAt(sheet, like)
    const at = sheet.header.cells.length
    const makers = [
      (now: CsvSheet) => addColumn(now, name.trim()),
      ...sheet.rows.map((row, index) => (now: CsvSheet) => {
        const value = row.cells[from]?.value ?? ''
        const place = now.rows[index]
        return from > 0 && value !== '' && place ? putAt(now, place, at, value) : []
      }),
    ]
    return only('scenarios.csv', inTurn(sheet, makers))
  }

export const renameScenario =
  (from: string, to: string): Intent =>
  (texts) => {
    const sheet = sheetOf(texts, 'scenarios.csv')
    refuseName(sheet, to)
    return only('scenarios.csv', putAt(sheet, sheet.header, columnAt(sheet, from), to.trim()))
  }

export const dropScenario =
  (name: string): Intent =>
  (texts) => {
    const sheet = sheetOf(texts, 'scenarios.csv')
    if (sheet.header.cells.length <= 2) throw new Error('the last scenario stays: a plan needs one')
    const at = columnAt(sheet, name)
    return at > 0 ? only('scenarios.csv', removeColumn(sheet, at)) : []
  }

/** A whole file given another text, line by line as somebody typed it. */
export const setText =
  (file: string, text: string): Intent =>
  (texts) => {
    const before = texts[file]
    if (before === undefined) return [{ file, patches: replacedText('', text), life: 'made' }]
    return only(file, replacedText(before, text))
  }

/** Several intents as one edit. */
export const together =
  (...intents: readonly Intent[]): Intent =>
  (texts) => {
    let now = texts
    return intents.flatMap((intent) => {
      const changes = intent(now)
      now = changed(now, changes)
      return changes
    })
  }

/** A mark for a new line that no other line has: `B-07` after `B-06` in the room's own letter. */
export function nextMark(marks: readonly string[], room: string): string {
  const letter = /\p{L}/u.exec(room)?.[0]?.toUpperCase() ?? 'L'
  const taken = new Set(marks)
  for (let n = 1; ; n++) {
    const mark = `${letter}-${String(n).padStart(2, '0')}`
    if (!taken.has(mark)) return mark
  }
}
