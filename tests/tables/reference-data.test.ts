import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it, test } from 'vitest'
import { REFERENCE_TABLES, readReference } from '../../src/tables/reference.js'

const folder = new URL('../../data/reference/', import.meta.url)
const files = readdirSync(folder)
  .filter((name) => name.endsWith('.csv'))
  .map((file) => ({ file, text: readFileSync(new URL(file, folder), 'utf8') }))

describe('the reference tables as the package reads them', () => {
  const read = readReference(files)

  it('are read without a problem', () => {
    expect(read.ok ? [] : read.problems).toEqual([])
  })

  test.each(Object.keys(REFERENCE_TABLES))('%s has rows', (name) => {
    expect(read.ok && read.value[name as keyof typeof read.value].length > 0).toBe(true)
  })

  it('say which file, line and column is wrong when one figure is damaged', () => {
    const damaged = files.map((f) =>
      f.file === 'covers.csv' ? { ...f, text: f.text.replace(',0.045,', ',4.5 %,') } : f,
    )
    const result = readReference(damaged)
    const problems = result.ok ? [] : result.problems
    expect(problems.map(({ file, line, column, found }) => ({ file, line, column, found }))).toEqual([
      { file: 'covers.csv', line: 2, column: 'likely', found: '4.5 %' },
    ])
  })

  it('name the table that is not there', () => {
    const result = readReference(files.filter((f) => f.file !== 'wages.csv'))
    expect(result.ok ? [] : result.problems.map((p) => p.file)).toEqual(['wages.csv'])
  })

  it('hold a container to the size its ISO 6346 code says', () => {
    const wrong = files.map((f) =>
      f.file === 'containers.csv' ? { ...f, text: f.text.replace(',2438,2896,', ',2438,2591,') } : f,
    )
    const result = readReference(wrong)
    expect(
      result.ok ? [] : result.problems.map(({ line, column, expected }) => [line, column, expected]),
    ).toEqual([[4, 'outside_height_mm', '2896, as the code 45G1 says']])
  })
})
