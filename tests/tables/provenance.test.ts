import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { readGrid } from '../../src/tables/csv.js'

// Every table of data/reference, folders and all. Texts of papers (strings) are translations and need no source.
const root = new URL('../../data/reference/', import.meta.url)
const files = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter(
  (name) => name.endsWith('.csv') && !name.startsWith('strings/'),
)

describe.each(files)('%s', (file) => {
  const grid = readGrid({ file, text: readFileSync(new URL(file, root), 'utf8') })
  if (!grid.ok) throw new Error(JSON.stringify(grid.problems))
  const { header, rows } = grid.value
  const broken = (column: string, rule: RegExp) => {
    const at = header.indexOf(column)
    return rows.filter(({ cells }) => !rule.test(cells[at] ?? '')).map(({ line }) => line)
  }

  it('marks every row as looked up, secondary, from memory or common practice, with a source and a day', () => {
    expect(rows.length).toBeGreaterThan(0)
    expect(broken('confirmed', /^(looked up|secondary|from memory|common practice)$/)).toEqual([])
    expect(broken('source', /\S/)).toEqual([])
    expect(broken('still_true_on', /^20\d\d-\d\d-\d\d$/)).toEqual([])
  })
})
