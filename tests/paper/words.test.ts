import { readFile } from 'node:fs/promises'
import { describe, expect, it, test } from 'vitest'
import { LANGUAGES, readStrings, untranslated, Words } from '../../src/paper/words.js'
import { exact } from '../../src/quantity/exact.js'
import type { CsvFile } from '../../src/tables/csv.js'
import { openDemo } from '../plan/households.js'

const csv = (text: string): CsvFile => ({ file: 'own.csv', text })
const table = async (name: string): Promise<CsvFile> => ({
  file: `${name}.csv`,
  text: await readFile(new URL(`../../data/reference/strings/${name}.csv`, import.meta.url), 'utf8'),
})
const read = async () => {
  const strings = readStrings([await table('brief'), await table('labels')])
  if (!strings.ok) throw new Error(JSON.stringify(strings.problems))
  return strings.value
}

describe('the texts of papers', () => {
  it('are complete in every language, with the same placeholders', async () => {
    const strings = await read()
    expect(strings.size).toBeGreaterThan(200)
    for (const language of Object.keys(LANGUAGES)) expect(untranslated(strings, language)).toEqual([])
  })

  it('name every service, cover and container of the reference tables', async () => {
    const strings = await read()
    const { reference } = await openDemo('valparaiso-gdynia')
    const ids = [
      ...reference.services.map(({ id }) => `service.${id}`),
      ...reference.covers.map(({ id }) => `cover.${id}`),
      ...reference.containers.map(({ id }) => `container.${id}`),
    ]
    expect(ids.filter((id) => !strings.has(id))).toEqual([])
  })

  it('refuse a text that is missing, given twice, or has other placeholders', () => {
    const broken = readStrings([
      csv('id,en,fr\na,Hello {name},Bonjour {nom}\nb,One,\na,Hello {name},Bonjour {name}\n'),
    ])
    if (broken.ok) throw new Error('read')
    expect(broken.problems.map(({ line, column }) => `${line} ${column}`)).toEqual(['2 fr', '3 fr', '4 en'])
    expect(broken.problems[0]?.expected).toBe('a text with name in braces')
  })

  it('take a language of the reader’s own, and refuse an id that nothing uses', async () => {
    const strings = await read()
    const own = readStrings([csv('id,pt\npaper.to,para\nno.such,x\n')], strings)
    expect(own.ok ? [] : own.problems.map(({ found }) => found)).toEqual(['no.such'])
    const good = readStrings([csv('id,pt\npaper.to,para\n')], strings)
    expect(good.ok && new Words(good.value, 'pt').say('paper.to')).toBe('para')
    expect(good.ok && untranslated(good.value, 'pt').length).toBe(strings.size - 1)
  })

  it('keep figures as figures, and say which value is missing', async () => {
    const words = new Words(await read(), 'fr')
    const figure = {
      kind: 'figure' as const,
      value: exact.of('1234.5'),
      unit: 'EUR',
      decimals: 0,
      scenario: 'x',
      cells: ['cost.total'],
    }
    expect(words.write('decision.total', { total: figure })).toEqual([
      'Au prix probable de chaque ligne, le total est de ',
      figure,
      '.',
    ])
    expect(() => words.say('decision.total')).toThrow('needs a value for "total"')
  })
})

// Unicode CLDR 44 number and date patterns of each language (looked up): grouping, decimal mark, place of the currency.
test.each([
  ['en', '1,234.50', 'EUR\u00a01,234.50', '24 February 2027', 'a, b and c', 'EUR\u00a0\u22121,234.50'],
  ['de', '1.234,50', '1.234,50\u00a0EUR', '24. Februar 2027', 'a, b und c', '\u22121.234,50\u00a0EUR'],
  [
    'fr',
    '1\u202f234,50',
    '1\u202f234,50\u00a0EUR',
    '24 février 2027',
    'a, b et c',
    '\u22121\u202f234,50\u00a0EUR',
  ],
  ['es', '1234,50', '1234,50\u00a0EUR', '24 de febrero de 2027', 'a, b y c', '\u22121234,50\u00a0EUR'],
])(
  '%s writes numbers, money, days and lists its own way',
  async (language, number, money, day, list, minus) => {
    const { locale } = new Words(await read(), language)
    const value = exact.of('1234.5')
    expect(locale.number(value, 2)).toBe(number)
    expect(locale.money(value, 'EUR', 2)).toBe(money)
    expect(locale.day('2027-02-24')).toBe(day)
    expect(locale.list(['a', 'b', 'c'])).toBe(list)
    expect(locale.money(value.neg(), 'EUR', 2)).toBe(minus)
  },
)

test.each([
  ['0.02', '0.035', '1', '2 to 3.5\u00a0%'],
  ['0.75', '0.95', '1', '75 to 95\u00a0%'],
  ['1.4', '2', '1', '1.4 to 2'],
  ['0', '1', '1', '0 to 1'],
  ['3400', '4000', 'EUR/h', '3,400 to 4,000\u00a0EUR/h'],
  ['0.05', '0.05', '1', '5\u00a0%'],
])('from %s to %s %s reads as %s', async (low, high, unit, shown) => {
  const { locale } = new Words(await read(), 'en')
  expect(locale.range(exact.of(low), exact.of(high), unit, (a, b) => `${a} to ${b}`)).toBe(shown)
})
