import { readdirSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readGrid } from '../../src/tables/csv.js'
import {
  addColumn,
  addRows,
  applied,
  type CsvSheet,
  csvSheet,
  inverse,
  moveRow,
  type Patch,
  putAt,
  removeColumn,
  removeRow,
  replacedText,
  setCell,
  valueIn,
} from '../../src/tables/csv-edit.js'

const folder = (name: string): { file: string; text: string }[] =>
  readdirSync(name)
    .filter((file) => file.endsWith('.csv'))
    .map((file) => ({ file, text: readFileSync(`${name}/${file}`, 'utf8') }))

const sheetOf = (text: string): CsvSheet => {
  const sheet = csvSheet(text)
  if (!sheet) throw new Error(`no table in ${JSON.stringify(text)}`)
  return sheet
}

/** Cells with all that makes CSV hard, in any of the file's dialects. */
const cell = fc.oneof(
  fc.constantFrom(
    '',
    'Sofa',
    '2,5',
    'a;b',
    'tab\there',
    'two\nlines',
    'say "so"',
    '=1+1',
    '# no comment',
    ' x ',
  ),
  fc.string({ maxLength: 8 }),
)
const dialect = fc.record({
  mark: fc.constantFrom(',', ';', '\t'),
  eol: fc.constantFrom('\n', '\r\n'),
  bom: fc.boolean(),
  comma: fc.boolean(),
  note: fc.boolean(),
  ended: fc.boolean(),
  padded: fc.boolean(),
})
const written = fc
  .tuple(dialect, fc.array(fc.array(cell, { minLength: 3, maxLength: 3 }), { minLength: 1, maxLength: 6 }))
  .map(([{ mark, eol, bom, comma, note, ended, padded }, rows]) => {
    const quote = (text: string): string =>
      /["\r\n\t,;]/.test(text) || /^[\s#]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
    const lines = [['id', 'item', 'note'], ...rows].map((cells) =>
      cells.map(quote).join(padded && mark !== '\t' ? `${mark} ` : mark),
    )
    const head = [...(comma ? ['# decimal: comma'] : []), ...(note ? ['# our own note', ''] : [])]
    return `${bom ? '\uFEFF' : ''}${[...head, ...lines].join(eol)}${ended ? eol : ''}`
  })

describe('reading', () => {
  it.each([
    'data/households/leeuwarden-nanaimo',
    'data/households/valparaiso-gdynia',
    'data/households/student-tromso-wellington',
    'data/templates',
    'tests/tables/messy',
  ])('finds the cells and lines that the reader of tables finds: %s', (name) => {
    for (const file of folder(name)) {
      const grid = readGrid(file)
      const sheet = csvSheet(file.text)
      expect(sheet !== undefined, file.file).toBe(grid.ok)
      if (!grid.ok || !sheet) continue
      expect(sheet.header.cells.map(({ value }) => value)).toEqual(grid.value.header)
      expect(sheet.rows.map(({ line, cells }) => ({ line, cells: cells.map(({ value }) => value) }))).toEqual(
        grid.value.rows,
      )
    }
  })

  it('agrees with the reader of tables on any file', () => {
    fc.assert(
      fc.property(written, (text) => {
        const grid = readGrid({ file: 'f.csv', text })
        const sheet = csvSheet(text)
        expect(sheet !== undefined).toBe(grid.ok)
        if (!grid.ok || !sheet) return
        expect(sheet.decimalComma).toBe(grid.value.decimalComma)
        expect(sheet.header.line).toBe(grid.value.headerLine)
        expect(
          sheet.rows.map(({ line, cells }) => ({ line, cells: cells.map(({ value }) => value.trim()) })),
        ).toEqual(grid.value.rows.map(({ line, cells }) => ({ line, cells: cells.map((c) => c.trim()) })))
      }),
      { numRuns: 500 },
    )
  })

  it('takes no file apart whose quotation marks do not close', () => {
    for (const text of ['a,b\n"1,2\n', 'a,b\n"1"2,3\n', '', '# only a note\n', '\uFEFF'])
      expect(csvSheet(text)).toBeUndefined()
  })
})

type Edit = (sheet: CsvSheet) => Patch[]
const edit: fc.Arbitrary<Edit> = fc.oneof(
  fc.record({ row: fc.nat(9), column: fc.constantFrom('id', 'item', 'note', 'mine'), value: cell }).map(
    ({ row, column, value }): Edit =>
      (sheet) => {
        const found = sheet.rows[row % Math.max(1, sheet.rows.length)]
        return found ? setCell(sheet, found, column, value) : []
      },
  ),
  fc.tuple(cell, cell, fc.integer({ min: -1, max: 9 })).map(
    ([id, mine, after]): Edit =>
      (sheet) =>
        addRows(sheet, [{ id: id || 'K-1', mine }], Math.min(after, sheet.rows.length - 1)),
  ),
  fc.nat(9).map(
    (row): Edit =>
      (sheet) =>
        removeRow(sheet, row % Math.max(1, sheet.rows.length)),
  ),
  fc.tuple(fc.nat(9), fc.nat(9)).map(
    ([from, to]): Edit =>
      (sheet) =>
        moveRow(sheet, from % Math.max(1, sheet.rows.length), to % Math.max(1, sheet.rows.length)),
  ),
  cell.map(
    (name): Edit =>
      (sheet) =>
        addColumn(sheet, name || 'more'),
  ),
  fc.nat(4).map(
    (at): Edit =>
      (sheet) =>
        at > 0 ? removeColumn(sheet, at) : [],
  ),
)

describe('changing', () => {
  it('60 changes undone one by one pass through the same texts and end at the first', () => {
    fc.assert(
      fc.property(written, fc.array(edit, { minLength: 60, maxLength: 60 }), (first, edits) => {
        const texts = [first]
        const done: Patch[][] = []
        for (const change of edits) {
          const now = texts.at(-1) ?? ''
          const sheet = csvSheet(now)
          const patches = sheet ? change(sheet) : []
          done.push(patches)
          texts.push(applied(now, patches))
        }
        let text = texts.at(-1) ?? ''
        for (const [i, patches] of [...done.entries()].reverse()) {
          text = applied(text, inverse(patches))
          expect(text).toBe(texts[i])
        }
      }),
      { numRuns: 60 },
    )
  })

  it('puts any text into any cell so that it reads back, and touches no other line', () => {
    fc.assert(
      fc.property(
        written,
        fc.nat(9),
        fc.constantFrom('id', 'item', 'note'),
        cell,
        (text, n, column, value) => {
          const sheet = csvSheet(text)
          const row = sheet?.rows[n % Math.max(1, sheet.rows.length)]
          if (!sheet || !row || (value.trim() === '' && row.cells.filter((c) => c.value !== '').length < 2))
            return
          const after = applied(text, setCell(sheet, row, column, value))
          expect(after.startsWith(text.slice(0, row.start))).toBe(true)
          expect(after.endsWith(text.slice(row.end))).toBe(true)
          const again = sheetOf(after)
          const changed = again.rows.find(({ start }) => start === row.start)
          expect(changed && valueIn(again, changed, column)).toBe(value.trim())
        },
      ),
      { numRuns: 400 },
    )
  })

  it('keeps order when a row moves, and the other rows byte for byte', () => {
    const text = '# ours\r\nid;item\r\n1; "a ; b"\r\n\r\n2;two\r\n3;three'
    const sheet = sheetOf(text)
    const moved = applied(text, moveRow(sheet, 2, 0))
    expect(moved).toBe('# ours\r\nid;item\r\n3;three\r\n1; "a ; b"\r\n\r\n2;two')
    expect(applied(text, moveRow(sheet, 0, 2))).toBe(
      '# ours\r\nid;item\r\n\r\n2;two\r\n3;three\r\n1; "a ; b"',
    )
  })

  it('adds at the end of a file without a final line end, and takes away there', () => {
    expect(applied('id,x\n1,2', addRows(sheetOf('id,x\n1,2'), [{ id: '3', x: '4' }]))).toBe('id,x\n1,2\n3,4')
    expect(applied('id,x\n1,2\n3,4', removeRow(sheetOf('id,x\n1,2\n3,4'), 1))).toBe('id,x\n1,2')
    expect(applied('id,x\n', addRows(sheetOf('id,x\n'), [{ id: '3', y: 'z' }]))).toBe('id,x,y\n3,,z\n')
  })

  it('renames, adds and drops a column of the header', () => {
    const text = 'id;We pack;Movers\ncover;"a";b\ncrew;;3\nx\n'
    const sheet = sheetOf(text)
    expect(applied(text, putAt(sheet, sheet.header, 1, 'We; all'))).toContain('id;"We; all";Movers')
    expect(applied(text, removeColumn(sheet, 1))).toBe('id;Movers\ncover;b\ncrew;3\nx\n')
    expect(applied(text, removeColumn(sheet, 2))).toBe('id;We pack\ncover;"a"\ncrew;\nx\n')
  })

  it('refuses a change made for another text, in one sentence', () => {
    expect(() => applied('abc', [{ at: 1, removed: 'x', inserted: 'y' }])).toThrow(
      'the change replaces "x" at 1, but "b" stands there',
    )
  })

  it('turns one text into another by one stretch', () => {
    fc.assert(
      fc.property(fc.string(), fc.string(), (a, b) => {
        expect(applied(a, replacedText(a, b))).toBe(b)
      }),
    )
  })
})
