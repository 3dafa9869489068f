import type { z } from 'zod'
import { type CsvFile, gridOf } from '../csv.js'
import { factsOf } from '../fields.js'
import {
  consignmentColumns,
  exchangeColumns,
  householdFacts,
  inventoryColumns,
  personColumns,
  quoteColumns,
  rateColumns,
  vehicleColumns,
} from '../household-columns.js'
import type { Problem } from '../problem.js'

/** Tables whose example row nobody would write by chance, with how many of its cells make it sure. */
const TABLES: readonly { readonly name: string; readonly columns: z.ZodObject }[] = [
  { name: 'people.csv', columns: personColumns },
  { name: 'inventory.csv', columns: inventoryColumns },
  { name: 'vehicles.csv', columns: vehicleColumns },
  { name: 'rates.csv', columns: rateColumns },
  { name: 'exchange.csv', columns: exchangeColumns },
  { name: 'quotes.csv', columns: quoteColumns },
  { name: 'consignments.csv', columns: consignmentColumns },
]

/** One question for all files that still hold the row of examples that `quaybook new` wrote. */
export function untouchedTemplates(files: readonly CsvFile[]): readonly Problem[] {
  const still = files.filter(holdsExample)
  const [first] = still
  if (!first) return []
  const names = still.map(({ file }) => file.split('/').at(-1)).join(', ')
  return [
    {
      file: first.file,
      line: 1,
      column: 'file',
      row: '',
      found: 'the example of the template',
      expected: `your own figures in ${names}`,
      fix: 'Put them in place of the example, or delete the files you do not need.',
      kind: 'unlikely',
    },
  ]
}

function holdsExample(csv: CsvFile): boolean {
  const name = csv.file.split('/').at(-1)
  if (name === 'household.csv') {
    const example = factsOf(householdFacts.shape.name).example
    return csv.text.includes(`name,${example}`)
  }
  const table = TABLES.find((t) => t.name === name)
  // A long file is somebody's own; its first row may well be the example.
  const grid = csv.text.length < 20_000 ? gridOf(csv).grid : undefined
  if (!table || !grid) return false
  const examples = new Map(
    Object.entries(table.columns.shape).map(([column, field]) => [
      column,
      factsOf(field as z.ZodType).example,
    ]),
  )
  return grid.rows.some(({ cells }) => {
    const given = cells.flatMap((cell, i) => (cell === '' ? [] : [[grid.header[i] ?? '', cell] as const]))
    return given.length >= 4 && given.every(([column, cell]) => examples.get(column) === cell)
  })
}
