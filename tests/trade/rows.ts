import { readGrid } from '../../src/tables/csv.js'

/** Rows of a table by their column names. */
export function parseCsv(text: string): readonly Readonly<Record<string, string>>[] {
  const grid = readGrid({ file: 'table.csv', text })
  if (!grid.ok) throw new Error(JSON.stringify(grid.problems))
  const { header, rows } = grid.value
  return rows.map(({ cells }) => Object.fromEntries(header.map((name, i) => [name, cells[i] ?? ''])))
}
