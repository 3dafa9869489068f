import { describe, expect, it, test } from 'vitest'
import {
  CUSTOMS_FILES,
  describeCustomsFiles,
  describeSureness,
  readCustomsTables,
  surenessOf,
} from '../../src/customs/index.js'
import { problemText } from '../../src/tables/problem.js'
import { assessOne, customsFiles, shippedRules } from './rules.js'

/** The shipped files with one line of one file changed. */
function withChange(file: string, from: string | RegExp, to: string) {
  return customsFiles().map((csv) => (csv.file === file ? { ...csv, text: csv.text.replace(from, to) } : csv))
}
function problems(files: ReturnType<typeof customsFiles>): string[] {
  const read = readCustomsTables(files)
  return read.ok ? [] : read.problems.map(problemText)
}

describe('the customs tables as shipped', () => {
  const tables = shippedRules()
  it('cover forty jurisdictions and more, each with relief, value base, goods rules and a paper', () => {
    expect(tables.jurisdictions.size).toBeGreaterThanOrEqual(40)
    for (const { id, countries } of tables.jurisdictions.values()) {
      expect(tables.relief.get(id)?.length, id).toBeGreaterThan(0)
      expect(tables.valueBase.get(id)?.length, id).toBeGreaterThan(0)
      expect(tables.goodsRules.get(id)?.length, id).toBeGreaterThan(0)
      for (const country of countries)
        expect(tables.importTax.get(country)?.length, country).toBeGreaterThan(0)
    }
  })
  it('give a source in words and how it was confirmed for every row', () => {
    for (const { file, text } of customsFiles()) {
      expect(text.split('\n')[0], file).toMatch(/source,confirmed,still_true_on,note$/)
      expect(text, file).not.toMatch(/\[L\]|\[S\]|https?:/)
    }
  })
  it('give a date of the last look for what was looked up', () => {
    for (const rows of tables.relief.values()) {
      for (const row of rows) {
        if (row.confirmed === 'looked up') expect(row.still_true_on, row.id).toBeDefined()
      }
    }
  })
})

it('data/reference/customs/README.md describes every column as the reader checks it, and counts how sure the rows are', async () => {
  const text = `${describeCustomsFiles()}${describeSureness(shippedRules())}`
  await expect(text).toMatchFileSnapshot('../../data/reference/customs/README.md')
})

it('each territory says how much of it is looked up: the counts are those of the files', () => {
  const counted = surenessOf(shippedRules())
  for (const { id, rows, lookedUp, secondary, rest } of counted) {
    expect(lookedUp + secondary + rest, id).toBe(rows)
    const text = customsFiles().find(({ file }) => file === 'relief.csv')?.text ?? ''
    const own = text.split('\n').filter((line) => line.startsWith(`${id}.`))
    const sure = own.filter((line) => /,looked up,\d{4}-\d\d-\d\d,/.test(line)).length
    expect(lookedUp, id).toBeGreaterThanOrEqual(sure)
  }
  expect(counted.length).toBeGreaterThanOrEqual(40)
})

it('what is looked up or secondary gives the day somebody looked, in every file', () => {
  for (const { file, text } of customsFiles()) {
    const bare = text.split('\n').filter((line) => /,(looked up|secondary),,/.test(line))
    expect(bare, file).toEqual([])
  }
})

describe('a change of the tables', () => {
  test.each([
    [
      'a country with a rate',
      'import-tax.csv',
      /^DE,import VAT,0\.19/m,
      'DE,import VAT,19%',
      'import-tax.csv',
    ],
    ['an unknown class', 'duty-rates.csv', 'eu,home,', 'eu,hoem,', 'Did you mean home?'],
    ['an unknown jurisdiction', 'fees.csv', ',us,harbor', ',uss,harbor', 'Did you mean us?'],
    [
      'a length that is no number',
      'relief.csv',
      /(eu\.transfer-of-residence.*?),12,,leave/,
      '$1,a year,,leave',
      'a year',
    ],
    [
      'two rates for one day',
      'import-tax.csv',
      'FI,import VAT,0.24,,2024-08-31',
      'FI,import VAT,0.24,,2024-12-31',
      'one row for each day',
    ],
    [
      'a ceiling without an amount',
      'relief.csv',
      'per-item,10000,CAD',
      'per-item,,CAD',
      'amount and currency of the ceiling',
    ],
  ])('%s in %s is told with its place', (_what, file, from, to, told) => {
    const found = problems(withChange(file, from, to))
    expect(found.length).toBeGreaterThan(0)
    expect(found.join('\n')).toContain(told)
    expect(found[0]).toMatch(new RegExp(`^${file}:\\d+: `))
  })

  it('a missing file is told by its name', () => {
    expect(problems(customsFiles().filter(({ file }) => file !== 'fees.csv'))[0]).toContain(
      'expected the file fees.csv',
    )
  })

  it('the order of its rows does not matter: of two rules that free a thing the one without a ceiling is taken', () => {
    const turned = customsFiles().map((csv) => {
      if (csv.file !== 'relief.csv') return csv
      const [header = '', ...rows] = csv.text.trim().split('\n')
      return { ...csv, text: [header, ...rows.toReversed()].join('\n') }
    })
    for (const files of [customsFiles(), turned]) {
      const read = readCustomsTables(files)
      if (!read.ok) throw new Error('not readable')
      expect(assessOne(read.value, 'IS', {}, {}).by.duty?.row.id).toBe('is.household')
    }
  })

  it('one more jurisdiction takes rows and no code', () => {
    const add = (file: string, row: string) => (csv: { file: string; text: string }) =>
      csv.file === file ? { ...csv, text: `${csv.text}${row}\n` } : csv
    const end = 'own rule,from memory,,'
    const files = customsFiles()
      .map(add('jurisdictions.csv', `xx,Testland,XX,EUR,the customs house,,${end}`))
      .map(add('import-tax.csv', `XX,sales tax,0.10,,,${end}`))
    const read = readCustomsTables(files)
    expect(read.ok && read.value.jurisdictionOfCountry.get('XX')?.label).toBe('Testland')
    expect(CUSTOMS_FILES).toHaveLength(13)
  })
})
