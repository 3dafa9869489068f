import { readFileSync } from 'node:fs'
import countryToCurrency from 'country-to-currency'
import { code as currencyOfIso4217 } from 'currency-codes'
import countries from 'i18n-iso-countries'
import { describe, expect, it } from 'vitest'
import { REFERENCE_TABLES, readReference } from '../../src/tables/reference.js'

const read = readReference(
  Object.values(REFERENCE_TABLES).map(({ file }) => ({
    file,
    text: readFileSync(`data/reference/${file}`, 'utf8'),
  })),
)
if (!read.ok) throw new Error(JSON.stringify(read.problems[0]))
const { countries: ours, currencies } = read.value
const byCode = new Map(ours.map((row) => [row.code, row]))

// The packages i18n-iso-countries, country-to-currency and currency-codes carry the lists of ISO 3166-1 and ISO 4217;
// Node's ICU carries the names in use. XK is a code of user assignment that the first of them lists as well.
const iso3166 = Object.keys(countries.getAlpha2Codes()).filter((alpha2) => alpha2 !== 'XK')

describe('countries and currencies against open lists', () => {
  it('every one of the 249 codes of ISO 3166-1 is known, and XK besides', () => {
    expect(iso3166).toHaveLength(249)
    expect(iso3166.filter((alpha2) => !byCode.has(alpha2))).toEqual([])
    expect(ours.map((row) => row.code).filter((alpha2) => !iso3166.includes(alpha2))).toEqual(['XK'])
  })

  it('each has the currency that the list of countries and currencies gives', () => {
    const table: Readonly<Record<string, string>> = countryToCurrency
    expect(ours.filter(({ code, currency }) => table[code] !== currency).map((row) => row.code)).toEqual([])
  })

  it('each name is the one ICU uses, or one its own row of exceptions gives', () => {
    const names = new Intl.DisplayNames(['en'], { type: 'region' })
    const plain = (name: string) =>
      name
        .normalize('NFD')
        .replace(/\p{M}/gu, '')
        .replace(/&/g, 'and')
        .replace(/^St\. /, 'Saint ')
        .replace(/[’']/g, '')
        .replace(/ SAR China| \(.*\)/g, '')
        .replace(/ Islands?$/, '')
    const other = ours.filter((row) => plain(names.of(row.code) ?? '') !== plain(row.label))
    expect(other.map((row) => row.code).toSorted()).toEqual(
      // Names ISO prefers to the everyday one of ICU, or the everyday one to a longer form.
      ['CD', 'CG', 'CV', 'GS', 'HM', 'PS', 'SH', 'UM', 'VI'].toSorted(),
    )
  })

  it('every currency of a country is in currencies.csv with the minor units of ISO 4217', () => {
    const units = new Map(currencies.map((row) => [row.code, row.minor_units.toNumber()]))
    for (const { currency, code } of ours) expect(units.has(currency), code).toBe(true)
    // The special drawing right is a unit of account without a minor unit (N.A.); two digits are ours.
    const wrong = [...units].filter(
      ([id, digits]) => id !== 'XDR' && (currencyOfIso4217(id)?.digits ?? digits) !== digits,
    )
    expect(wrong).toEqual([])
  })
})
