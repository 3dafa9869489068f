import { readdirSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import type { z } from 'zod'
import { readGrid, readRows, readTable } from '../../src/tables/csv.js'
import {
  exchangeColumns,
  inventoryColumns,
  personColumns,
  rateColumns,
} from '../../src/tables/household-columns.js'
import { problemText } from '../../src/tables/problem.js'

const messy = new URL('messy/', import.meta.url)
const textOf = (path: string) => readFileSync(new URL(path, messy), 'utf8')

const COLUMNS: Record<string, z.ZodObject> = {
  inventory: inventoryColumns,
  people: personColumns,
  exchange: exchangeColumns,
}

/** The cells of a good file without the lines they stood in, which differ between spellings of one table. */
function cellsOf(path: string, columns: z.ZodObject) {
  const read = readTable({ file: path, text: textOf(path) }, columns)
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
  return read.value.map(({ place: _, ...cells }) => JSON.parse(JSON.stringify(cells)) as unknown)
}

describe('the same household in another spelling reads the same', () => {
  const spellings = [
    ['semicolon', 'semicolons, byte order mark, CRLF, decimal comma, quoted newlines, blank rows at the end'],
    [
      'tab',
      'tabs, a blank first line, decimal comma, quoted newlines and a quoted tab, no newline at the end',
    ],
  ] as const
  for (const [folder, how] of spellings) {
    test.each(Object.keys(COLUMNS))(`%s.csv: ${how}`, (name) => {
      const columns = COLUMNS[name] as z.ZodObject
      expect(cellsOf(`${folder}/${name}.csv`, columns)).toEqual(cellsOf(`plain/${name}.csv`, columns))
    })
  }

  it('means what a person reads in the file, not only the same as its twin', () => {
    const read = readTable(
      { file: 'inventory.csv', text: textOf('semicolon/inventory.csv') },
      inventoryColumns,
    )
    if (!read.ok) throw new Error('not read')
    const [telescope, charts, , table] = read.value
    expect(telescope?.note).toBe('stands on three legs\nlegs come off\nkeep the screws')
    expect(telescope?.mass_kg?.toString()).toBe('9.5')
    expect(charts?.item).toBe('Sea charts, rolled')
    expect(charts?.note).toBe('some with notes; "do not fold"')
    expect(charts?.value?.toString()).toBe('1.5')
    expect(table?.handling).toEqual(['upright', 'floor-only'])
  })

  it('says where each row stands in the file, past remarks and quoted newlines', () => {
    const read = readTable(
      { file: 'inventory.csv', text: textOf('semicolon/inventory.csv') },
      inventoryColumns,
    )
    if (!read.ok) throw new Error('not read')
    // Two lines of remarks, the header, a first row of three lines.
    expect(read.value.map((row) => row.place.line)).toEqual([4, 7, 8, 9])
  })
})

describe('broken files', () => {
  interface Expected {
    readonly file: string
    readonly rows: string
    readonly line: number
    readonly column: string
    readonly found: string
  }
  const expected = JSON.parse(textOf('broken/expected-problems.json')) as Expected[]
  const files = [...new Set(expected.map(({ file }) => file))]
  const positioned = files.filter((file) => file !== 'unclosed-quote.csv')

  it('has an expectation for every broken file', () => {
    const there = readdirSync(new URL('broken/', messy)).filter((name) => name.endsWith('.csv'))
    expect(files.toSorted()).toEqual(there.toSorted())
  })

  test.each(positioned)('%s: every problem, once, in file order, where it stands', (file) => {
    const wanted = expected.filter((problem) => problem.file === file)
    const columns = COLUMNS[wanted[0]?.rows ?? ''] as z.ZodObject
    const read = readTable({ file, text: textOf(`broken/${file}`) }, columns)
    const problems = read.ok ? [] : read.problems
    expect(problems.map(({ line, column, found }) => ({ line, column, found }))).toEqual(
      wanted.map(({ line, column, found }) => ({ line, column, found })),
    )
    for (const problem of problems) {
      expect(problem.file).toBe(file)
      expect(problem.expected).not.toBe('')
      expect(problem.fix).toMatch(/\S/)
      expect(problemText(problem)).not.toMatch(/undefined|NaN|\[object|invalid/i)
    }
  })

  test.each([
    // file                      column         text to type
    ['cells.csv', 'volume_m3', 'Write the number alone, as in 1.2.'],
    ['cells.csv', 'take', 'Did you mean ship?'],
    ['cells.csv', 'handling', 'top-ony: Did you mean top-only?'],
    ['misspelt-column.csv', 'header', 'Did you mean quantity?'],
    [
      'two-readings.csv',
      'rate',
      'Write 1234 or 1.234, whichever is meant, or put "# decimal: comma" in the first line of the file.',
    ],
    [
      'two-readings.csv',
      'on',
      'Write 2026-03-02 or 2026-02-03, whichever is meant, or put "# dates: day first" or "# dates: month first" above the first line of the file.',
    ],
    ['two-readings-comma.csv', 'rate', 'Write 1234 or 1.234, whichever is meant.'],
  ])('%s: %s says how to put it right: %s', (file, column, fix) => {
    const rows = expected.find((problem) => problem.file === file)?.rows ?? ''
    const read = readTable({ file, text: textOf(`broken/${file}`) }, COLUMNS[rows] as z.ZodObject)
    expect(read.ok ? [] : read.problems.filter((p) => p.column === column).map((p) => p.fix)).toContain(fix)
  })
})

describe('what the reader takes care of', () => {
  it('names the line where a quotation mark opens that never closes, not the last line of the file', () => {
    const read = readTable({ file: 'people.csv', text: textOf('broken/unclosed-quote.csv') }, personColumns)
    expect(read.ok ? [] : read.problems.map(({ line }) => line)).toEqual([3])
  })

  it('does not advise "# decimal: comma" in a file that says so already', () => {
    const text = textOf('broken/two-readings-comma.csv')
    const read = readTable({ file: 'exchange.csv', text }, exchangeColumns)
    expect(read.ok ? '' : read.problems.map(({ fix }) => fix).join()).not.toContain('# decimal: comma')
  })

  test.each([
    ['# dates: day first\n', '2026-03-02'],
    ['# decimal: comma;;;\n# Dates: month first;;;\n', '2026-02-03'],
  ])('reads days as %j says', (head, day) => {
    const text = `${head}from;to;rate;on\nUSD;EUR;1,25;02/03/2026\nNOK;EUR;0,08;27/02/2026\n`
    const read = readTable({ file: 'exchange.csv', text }, exchangeColumns)
    expect(read.ok ? read.value.map(({ on }) => on) : read.problems).toEqual([day, '2026-02-27'])
  })

  it('refuses 1.400 where other numbers of the file have a decimal comma, and asks where none has', () => {
    const of = (other: string) =>
      readRows(
        {
          file: 'exchange.csv',
          text: `from;to;rate;on\nUSD;EUR;1.400;2026-11-20\nNOK;EUR;${other};2026-11-20\n`,
        },
        exchangeColumns,
      ).problems.map(({ kind, found, fix }) => [kind ?? 'wrong', found, fix])
    expect(of('0,0861')).toEqual([['wrong', '1.400', 'Write 1400 or 1,400, whichever is meant.']])
    expect(of('2')).toEqual([['unlikely', '1.400', 'It is read as 1.4: write the one that is meant.']])
  })

  it('refuses a point between thousands in a file with decimal commas: 1.200 is not 1.2', () => {
    const text = '# decimal: comma\nfrom;to;rate;on\nEUR;CLP;1.200;2026-11-20\n'
    expect(readTable({ file: 'exchange.csv', text }, exchangeColumns).ok).toBe(false)
  })
})

describe('a file that is read again after an edit', () => {
  const lines = textOf('broken/cells.csv').split('\n')
  const read = (file: string, text: string) => {
    const { rows, problems, doubtful, filled } = readRows({ file, text }, inventoryColumns)
    return JSON.parse(
      JSON.stringify({ rows, problems, doubtful: [...doubtful], filled }).replaceAll(file, 'F'),
    )
  }

  it('reads as if it had been new, problems and lines too, whatever row was edited, added or taken away', () => {
    lines.forEach((line, i) => {
      const edits = [
        lines.with(i, line.replace(/,[^,]*,/, ',7,')),
        lines.toSpliced(i, 1),
        lines.toSpliced(i, 0, '', 'Z9,Loft,"two\nlines",1'),
      ]
      for (const [k, edited] of edits.entries()) {
        read('inventory.csv', lines.join('\n'))
        const text = edited.join('\n')
        expect(read('inventory.csv', text)).toEqual(read(`new-${i}-${k}.csv`, text))
      }
    })
  })

  it('keeps the rows that were left alone', () => {
    const plain = textOf('plain/inventory.csv')
    const rows = (text: string) => readRows({ file: 'inventory.csv', text }, inventoryColumns).rows
    const before = rows(plain)
    const after = rows(plain.replace('Sea charts', 'Charts'))
    expect(after.map((row, i) => row === before[i])).toEqual(
      before.map(({ item }) => !item.startsWith('Sea charts')),
    )
  })

  it('reads a cell by the way its own file writes numbers', () => {
    const rates = (head: string, mark: string) =>
      readTable(
        {
          file: 'exchange.csv',
          text: `${head}${['from', 'to', 'rate', 'on'].join(mark)}\nEUR${mark}USD${mark}1.100${mark}2026-11-20`,
        },
        exchangeColumns,
      )
    expect(rates('', ',').ok).toBe(true)
    expect(rates('# decimal: comma\n', ';').ok).toBe(false)
    expect(rates('', ',').ok).toBe(true)
  })
})

describe('readGrid', () => {
  test.each([
    // by RFC 4180 section 2 (looked up): quoted separators, newlines and doubled quotation marks
    ['a,b\r\n"1,5","x\r\ny"\r\n', ['1,5', 'x\ny'], 'RFC 4180 section 2 rule 6'],
    ['a,b\n"say ""so""",2', ['say "so"', '2'], 'RFC 4180 section 2 rule 7, no newline at the end (rule 2)'],
    // by hand
    ['a;b\n1,5;2', ['1,5', '2'], 'by hand: semicolons win because the header has them'],
    ['a\tb\n1,5;2\t3', ['1,5;2', '3'], 'by hand: tabs win because the header has them'],
    ['# remark, with, many, commas\na;b\n1;2', ['1', '2'], 'by hand: a remark does not decide the separator'],
    ['a,b\n # not a remark,2', ['# not a remark', '2'], 'by hand: after the header # is text'],
  ])('%j holds the row %j: %s', (text, row) => {
    const grid = readGrid({ file: 'x.csv', text })
    expect(grid.ok && grid.value.header).toEqual(['a', 'b'])
    expect(grid.ok && grid.value.rows.map((r) => r.cells)).toEqual([row])
  })

  test.each([
    ['# decimal: comma\na;b\n', true],
    ['#decimal:comma\na;b\n', true],
    ['# Decimal : Comma ;;;\r\na;b\n', true], // as a spreadsheet program saves a line of one cell
    ['"# decimal: comma",,\na,b\n', true],
    ['# decimal: point\na;b\n', false],
    ['a;b\n# decimal: comma;\n', false],
  ])('%j: decimal comma is %s', (text, comma) => {
    const grid = readGrid({ file: 'x.csv', text })
    expect(grid.ok && grid.value.header).toEqual(['a', 'b'])
    expect(grid.ok && grid.value.decimalComma).toBe(comma)
  })

  const cell = fc.string({
    maxLength: 12,
    unit: fc.constantFrom('a', 'é', '1', ',', ';', '\t', '"', '\n', ' ', '#', '='),
  })
  const eol = fc.constantFrom('\n', '\r\n')
  const quoted = (text: string, newline: string) =>
    `"${text.replaceAll('"', '""').replaceAll('\n', newline)}"`

  it('gives back any cells that were written with quotation marks, in any separator and newline', () => {
    const rows = fc.array(fc.tuple(cell, cell, cell), { minLength: 1, maxLength: 6 })
    fc.assert(
      fc.property(rows, fc.constantFrom(',', ';', '\t'), eol, fc.boolean(), (table, mark, newline, bom) => {
        const lines = [
          ['p', 'q', 'r'].join(mark),
          ...table.map((r) => r.map((c) => quoted(c, newline)).join(mark)),
        ]
        const grid = readGrid({ file: 'x.csv', text: (bom ? '\uFEFF' : '') + lines.join(newline) })
        const words = (cells: readonly (readonly string[])[]) =>
          cells.map((r) => r.map((c) => c.trim())).filter((r) => r.some((c) => c !== ''))
        expect(grid.ok && words(grid.value.rows.map((r) => r.cells))).toEqual(words(table))
      }),
    )
  })

  it('never throws, whatever the text', () => {
    const anyText = fc.string({
      maxLength: 60,
      unit: fc.constantFrom('a', '"', ',', ';', '\t', '\n', '\r', '#', ' ', '\uFEFF'),
    })
    fc.assert(
      fc.property(anyText, (text) => {
        const read = readTable({ file: 'x.csv', text }, rateColumns)
        if (!read.ok) for (const problem of read.problems) expect(problem.line).toBeGreaterThan(0)
      }),
    )
  })
})
