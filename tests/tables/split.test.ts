import fc from 'fast-check'
import { expect, it, test } from 'vitest'
import { delimiterOf, splitAgain, splitRows } from '../../src/tables/split.js'

const cell = fc.string({ maxLength: 8, unit: fc.constantFrom('a', 'é', '"', ',', ';', '\n', ' ', '1') })
/** A cell as a program writes it: in quotation marks where it must be. */
const written = (text: string) => (/[",;\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text)

it('reads what programs write: the cells, and the line each row begins in', () => {
  fc.assert(
    fc.property(
      fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 6 }),
      fc.constantFrom(',', ';', '\t'),
      (table, mark) => {
        const records = table.map((row) => row.map(written).join(mark))
        const lineOf = (row: number) =>
          5 + records.slice(0, row).reduce((sum, record) => sum + record.split('\n').length, 0)
        const meant = table
          .map((row, i) => ({ line: lineOf(i), cells: row.map((c) => c.trim()) }))
          .filter(({ cells }) => cells.some((c) => c !== ''))
        expect(splitRows(records.join('\n'), mark, 5)).toMatchObject({ rows: meant, stray: [] })
      },
    ),
    { numRuns: 500, seed: 20261126 },
  )
})

const texts = fc.string({ maxLength: 40, unit: fc.constantFrom('a', '"', ',', '\n', '\n', ' ', '1') })

it('splits an edited text as if it had never seen the earlier one, and keeps the cells of other rows', () => {
  fc.assert(
    fc.property(texts, fc.nat(40), fc.nat(8), texts, (text, at, removed, inserted) => {
      const before = splitRows(text, ',', 3)
      const after = text.slice(0, at) + inserted + text.slice(at + removed)
      expect(splitAgain(after, ',', 3, before)).toEqual(splitRows(after, ',', 3))
    }),
    { numRuns: 3000, seed: 20261126 },
  )
  const before = splitRows('a,b\nc,d\n"e\nf",g\nh,i', ',', 1)
  const { rows } = splitAgain('a,b\nc,"d\nd"\n"e\nf",g\nh,i', ',', 1, before)
  expect(rows.map(({ line }) => line)).toEqual([1, 2, 4, 6])
  expect([0, 2, 3].map((i) => rows[i]?.cells === before.rows[i]?.cells)).toEqual([true, true, true])
})

it('gives every row the line its first cell stands in', () => {
  const { rows } = splitRows('a,b\n\n"x\ny",2\n3,"4\n\n5"\n6,7', ',', 10)
  expect(rows.map(({ line }) => line)).toEqual([10, 12, 14, 17])
})

test.each([
  ['32" screen,1', ['32" screen', '1'], 'a mark inside a cell is text'],
  ['a, "b, c" ,d', ['a', 'b, c', 'd'], 'blanks around a quoted cell'],
])('%s: %j, %s', (text, cells) => {
  expect(splitRows(text, ',', 1)).toMatchObject({ rows: [{ line: 1, cells }], stray: [] })
})

test.each([
  ['a,b\n"c" d,e\nf,g', ['"c" d', 'e'], 'closes before its cell ends'],
  ['a,b\n"c,e\nf,g', ['"c', 'e'], 'never closes'],
  ['a,b\n"c,e\nf,g\n"h, i",j', ['"c', 'e'], 'never closes, and a sound one is below'],
])('%j: its row is told and those behind it are read: it %3$s', (text, cells) => {
  const { rows, stray } = splitRows(text, ',', 1)
  expect(stray).toEqual([2])
  expect(rows.slice(0, 3)).toEqual([
    { line: 1, cells: ['a', 'b'] },
    { line: 2, cells },
    { line: 3, cells: ['f', 'g'] },
  ])
  if (text.includes('h')) expect(rows[3]).toEqual({ line: 4, cells: ['h, i', 'j'] })
})

it('reads no further than a hundred rows with marks astray', () => {
  const { stray } = splitRows('"a" b\n'.repeat(1000), ',', 1)
  expect(stray).toEqual(Array.from({ length: 100 }, (_, i) => i + 1))
})

test.each([
  ['"a;b;c;d",e,f\n', ','],
  ['"name, in full";value\n', ';'],
  ['"a\nb";c\n', ';'],
  ['one', ','],
])('the mark of %j is %s', (text, mark) => {
  expect(delimiterOf(text)).toBe(mark)
})
