import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { expect, it, test } from 'vitest'
import { delimiterOf, splitRows } from '../../src/tables/split.js'

const cell = fc.string({ maxLength: 8, unit: fc.constantFrom('a', 'é', '"', ',', ';', '\n', ' ', '1') })
/** A cell as a program writes it: in quotation marks where it must be. */
const written = (text: string) => (/[",;\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text)

it('splits what programs write as csv-parse does', () => {
  fc.assert(
    fc.property(
      fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 6 }),
      fc.constantFrom(',', ';'),
      (table, mark) => {
        const text = table.map((row) => row.map(written).join(mark)).join('\n')
        const rows = parse(text, { delimiter: mark, relax_column_count: true, trim: true }) as string[][]
        const theirs = rows.map((row) => row.map((c) => c.trim())).filter((row) => row.some((c) => c !== ''))
        const ours = splitRows(text, mark, 1)
        expect(ours.stray).toEqual([])
        expect(ours.rows.map(({ cells }) => cells)).toEqual(theirs)
      },
    ),
    { numRuns: 500, seed: 20261126 },
  )
})

it('gives every row the line its first cell stands in', () => {
  const { rows } = splitRows('a,b\n\n"x\ny",2\n3,"4\n\n5"\n6,7', ',', 10)
  expect(rows.map(({ line }) => line)).toEqual([10, 12, 14, 17])
})

test.each([
  ['32" screen,1', ['32" screen', '1'], 'a mark inside a cell is text'],
  ['a, "b, c" ,d', ['a', 'b, c', 'd'], 'blanks around a quoted cell'],
])('%s: %j, %s', (text, cells) => {
  expect(splitRows(text, ',', 1)).toEqual({ rows: [{ line: 1, cells }], stray: [] })
})

test.each([
  ['"a;b;c;d",e,f\n', ','],
  ['"name, in full";value\n', ';'],
  ['"a\nb";c\n', ';'],
  ['one', ','],
])('the mark of %j is %s', (text, mark) => {
  expect(delimiterOf(text)).toBe(mark)
})
