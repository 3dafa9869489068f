import { readdirSync, readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'
import { Decimal } from 'decimal.js'
import { describe, expect, it, test } from 'vitest'

const folder = new URL('../../data/reference/', import.meta.url)
type Row = Readonly<Record<string, string>>

const tail = ['source', 'confirmed', 'still_true_on', 'note']
const columns: Readonly<Record<string, string>> = {
  units: 'id,label,dimension',
  containers:
    'id,label,teu,outside_length_mm,outside_width_mm,outside_height_mm,inside_length_mm,inside_width_mm,inside_height_mm,min_inside_length_mm,min_inside_width_mm,min_inside_height_mm,door_width_mm,door_height_mm,tare_kg,max_gross_kg,capacity_m3,line_load_kg_per_m,with_share',
  cartons:
    'id,label,length_cm,width_cm,height_cm,ft3,content_limit_kg,mass_low_kg,mass_likely_kg,mass_high_kg,holds,goods',
  items: 'id,label,also,group,ft3,length_cm,width_cm,height_cm,mass_kg,upright,stack,flat,class,packing',
  'room-starters': 'room,item_code,quantity',
  'vehicle-classes': 'id,label,length_mm,width_mm,width_mirrors_mm,height_mm,kerb_kg',
  figures: 'id,label,low,likely,high,unit,where,from,until,good_for_days,only_for',
  background: 'id,label,low,likely,high,unit,from,until,good_for_days',
  stowage: 'id,label,value,unit',
  freight: 'id,label,from_region,to_region,from,until,basis,low,likely,high,currency,per,good_for_days',
  wages: 'country,label,who,low,likely,high,currency,year,kind,growth',
  services:
    'id,label,phase,driver,low,likely,high,currency,per,groupage_driver,groupage_low,groupage_likely,groupage_high,minimum,counts,where,in_all_in,in_every_quote,self_pays,providers,carriage,customs_value,from,until,good_for_days,meaning',
  'service-levels': 'service,diy,part,full',
  covers: 'id,label,low,likely,high,minimum_premium,currency,deductible,requires,basis',
  perils: 'id,label,all-risks,named-wide,named-narrow,total-loss',
  'port-charges': 'id,charge,container,from_day,until_day,price,currency',
  'port-charges-published': 'id,charge,container,from_day,until_day,price,currency',
  'claim-notice': 'id,label,against,apparent_days,hidden_days,suit_months,if_missed',
  'lead-times': 'id,label,owner,before,only_for,low,likely,high,days_cell,if_missed,cost_cell',
  'port-holidays': 'id,country,rule,label,from_year,until_year',
  currencies: 'code,label,minor_units',
  countries: 'code,label,currency,region,also',
  likely: 'id,label,low,high,unit',
}
const names = Object.keys(columns)
/** What tells rows of one id apart. */
const KEYS: Readonly<Record<string, readonly string[]>> = {
  figures: ['where', 'from'],
  background: ['from'],
  wages: ['who'],
  freight: ['from_region', 'to_region', 'from'],
  'room-starters': ['item_code'],
}

const textOf = (name: string): string => readFileSync(new URL(`${name}.csv`, folder), 'utf8')
const tableOf = (name: string): readonly Row[] => parse(textOf(name), { columns: true }) as Row[]
const tables: Readonly<Record<string, readonly Row[]>> = Object.fromEntries(names.map((n) => [n, tableOf(n)]))

const rowsOf = (name: string): readonly Row[] => {
  const rows = tables[name]
  if (rows === undefined) throw new Error(`no table "${name}"; tables: ${names.join(', ')}`)
  return rows
}
const text = (row: Row, column: string): string => {
  const value = row[column]
  if (value === undefined) throw new Error(`no column "${column}" in ${Object.keys(row).join(', ')}`)
  return value
}
const num = (row: Row, column: string): Decimal => new Decimal(text(row, column))
const find = (name: string, key: string, value: string): Row => {
  const row = rowsOf(name).find((r) => text(r, key) === value)
  if (row === undefined) throw new Error(`no row "${value}" in ${name}.csv`)
  return row
}
const list = (row: Row, column: string): readonly string[] =>
  text(row, column) === '' ? [] : text(row, column).split('|')
/** Which rows break a rule, by their first column: an empty list reads well when a test fails. */
const broken = (name: string, rule: (row: Row) => boolean): readonly string[] =>
  rowsOf(name)
    .filter((row) => !rule(row))
    .map((row) => Object.values(row)[0] ?? '')

const currencies = new Set(rowsOf('currencies').map((r) => text(r, 'code')))
const countries = new Set(rowsOf('countries').map((r) => text(r, 'code')))
const containerCodes = rowsOf('containers').map((r) => text(r, 'id'))
const serviceIds = new Set(rowsOf('services').map((r) => text(r, 'id')))
const units = new Set(rowsOf('units').map((r) => text(r, 'id')))

describe('every table of data/reference', () => {
  it('is listed here, and every file listed exists', () => {
    const found = readdirSync(folder)
      .filter((f) => f.endsWith('.csv'))
      .map((f) => f.slice(0, -'.csv'.length))
    expect(found.toSorted()).toEqual(names.toSorted())
  })

  test.each(names)('%s.csv has the columns that data/reference promises, in order', (name) => {
    const header = textOf(name).split('\n')[0]
    expect(header).toBe([columns[name], ...tail].join(','))
  })

  test.each(names)('%s.csv is plain: UTF-8 without mark, LF, no space around a value', (name) => {
    const raw = textOf(name)
    expect(raw.startsWith('\uFEFF') || raw.includes('\r')).toBe(false)
    expect(raw.endsWith('\n')).toBe(true)
    expect(broken(name, (r) => Object.values(r).every((v) => v === v.trim()))).toEqual([])
  })

  test.each(names)('%s.csv says of every row where it is from and how sure it is', (name) => {
    const sure = ['looked up', 'secondary', 'from memory', 'common practice']
    expect(broken(name, (r) => sure.includes(text(r, 'confirmed')))).toEqual([])
    expect(broken(name, (r) => text(r, 'source') !== '')).toEqual([])
  })

  test.each(names)('%s.csv dates every row', (name) => {
    expect(broken(name, (r) => /^20\d\d-\d\d-\d\d$/.test(text(r, 'still_true_on')))).toEqual([])
  })

  test.each(names)(
    '%s.csv writes numbers plainly: a point, no exponent, no thousands mark, none below zero but days before a day',
    (name) => {
      const numeric =
        /(_mm|_cm|_kg|_m3|_kg_per_m|_day|_units|_premium)$|low|likely|high$|^(teu|ft3|price|minimum|deductible|year)$/
      const plain = (r: Row): boolean =>
        Object.entries(r).every(
          ([column, v]) =>
            v === '' ||
            !numeric.test(column) ||
            /^\d+(\.\d+)?$/.test(v) ||
            (name === 'likely' && text(r, 'unit') === 'day' && /^-\d+$/.test(v)),
        )
      expect(broken(name, plain)).toEqual([])
    },
  )

  test.each(names)('%s.csv names no row twice', (name) => {
    const keys = rowsOf(name).map(
      (r) => `${Object.values(r)[0]} ${(KEYS[name] ?? []).map((column) => text(r, column)).join(' ')}`,
    )
    expect(keys.filter((k, i) => keys.indexOf(k) !== i)).toEqual([])
  })

  const withIds = names.filter(
    (n) => columns[n]?.startsWith('id,') && !['units', 'containers', 'freight'].includes(n),
  )
  test.each(withIds)(
    '%s.csv has ids in lower case with dots and hyphens, size codes as the standard writes them',
    (name) => {
      const word = '([a-z0-9]+(-[a-z0-9]+)*|22G1|42G1|45G1|L5G1)'
      const id = new RegExp(`^${word}(\\.${word})*$`)
      expect(broken(name, (r) => id.test(text(r, 'id')))).toEqual([])
    },
  )

  const ranges: readonly (readonly [string, string])[] = [
    ['figures', ''],
    ['background', ''],
    ['freight', ''],
    ['wages', ''],
    ['services', ''],
    ['services', 'groupage_'],
    ['covers', ''],
  ]
  test.each(ranges)('%s.csv: %slow, likely and high are in order, or likely stands alone', (name, prefix) => {
    const ordered = (r: Row): boolean => {
      const [low, likely, high] = ['low', 'likely', 'high'].map((c) => text(r, prefix + c))
      if (low === '' && high === '')
        return likely === '' ? name === 'services' : Number.isFinite(Number(likely))
      const [a, b, c] = [num(r, `${prefix}low`), num(r, `${prefix}likely`), num(r, `${prefix}high`)]
      return a.lte(b) && b.lte(c)
    }
    expect(broken(name, ordered)).toEqual([])
  })

  test.each(['freight', 'wages', 'covers', 'port-charges', 'port-charges-published', 'countries'])(
    '%s.csv: every currency is in currencies.csv',
    (name) => {
      expect(broken(name, (r) => currencies.has(text(r, 'currency')))).toEqual([])
    },
  )
})

const bothTables = (): readonly Row[] => [...rowsOf('figures'), ...rowsOf('background')]

describe('figures.csv and background.csv', () => {
  it('measure every figure in a unit of units.csv', () => {
    const known = (r: Row): boolean => {
      const unit = text(r, 'unit')
      const [money, per] = unit.split('/')
      if (money === undefined || !currencies.has(money)) return units.has(unit)
      if (per !== undefined && currencies.has(per)) return units.has('CUR/CUR')
      return units.has(per === undefined ? 'CUR' : `CUR/${per}`)
    }
    expect(broken('figures', known)).toEqual([])
    expect(broken('background', known)).toEqual([])
  })

  it('have no id in both, so that one figure has one value', () => {
    const here = new Set(rowsOf('figures').map((r) => text(r, 'id')))
    expect(broken('background', (r) => !here.has(text(r, 'id')))).toEqual([])
  })

  it('have dated rows of one figure that neither overlap nor leave a day out', () => {
    const dated = bothTables().filter((r) => text(r, 'from') !== '')
    const ids = [...new Set(dated.map((r) => text(r, 'id')))]
    for (const id of ids) {
      const rows = dated
        .filter((r) => text(r, 'id') === id)
        .toSorted((a, b) => text(a, 'from').localeCompare(text(b, 'from')))
      rows.slice(1).forEach((row, i) => {
        const before = rows[i]
        const next = new Date(`${before === undefined ? '' : text(before, 'until')}T00:00:00Z`)
        next.setUTCDate(next.getUTCDate() + 1)
        expect(next.toISOString().slice(0, 10), id).toBe(text(row, 'from'))
      })
    }
    expect(ids).toEqual(['tax.premium.gb', 'liability.air.kg'])
  })
})

describe('the services', () => {
  const drivers =
    'fixed|consignment|m3|crew-hour|hour|container|container-day|teu|day|door|percentage|event|m3-month|each'.split(
      '|',
    )
  const providers = 'mover|self|friends|hired|employer|none'.split('|')

  it('have a phase, a driver and providers of the lists', () => {
    expect(
      broken('services', (r) => ['origin', 'crossing', 'destination'].includes(text(r, 'phase'))),
    ).toEqual([])
    expect(broken('services', (r) => drivers.includes(text(r, 'driver')))).toEqual([])
    expect(broken('services', (r) => ['', ...drivers].includes(text(r, 'groupage_driver')))).toEqual([])
    expect(broken('services', (r) => list(r, 'providers').every((p) => providers.includes(p)))).toEqual([])
    expect(broken('services', (r) => text(r, 'meaning') !== '')).toEqual([])
  })

  it('have a price unless it is built up from hours and wages, or stands in freight.csv', () => {
    const elsewhere = (r: Row): boolean =>
      ['crew-hour', 'door'].includes(text(r, 'driver')) ||
      ['freight', 'demurrage', 'detention'].includes(text(r, 'id'))
    expect(broken('services', (r) => (text(r, 'likely') === '') === elsewhere(r))).toEqual([])
    expect(new Set(rowsOf('freight').map((r) => text(r, 'id')))).toEqual(
      new Set([...containerCodes, 'groupage']),
    )
  })

  it('have a currency exactly where they have an amount of money', () => {
    const money = (r: Row): boolean =>
      text(r, 'likely') + text(r, 'groupage_likely') !== '' && text(r, 'driver') !== 'percentage'
    expect(broken('services', (r) => (text(r, 'currency') !== '') === money(r))).toEqual([])
    expect(broken('services', (r) => ['', ...currencies].includes(text(r, 'currency')))).toEqual([])
  })

  it('that are a share name the services, or the phase, that they are a share of', () => {
    const known = new Set([...serviceIds, 'origin', 'crossing', 'destination'])
    expect(
      broken(
        'services',
        (r) => text(r, 'driver') !== 'percentage' || list(r, 'counts').every((name) => known.has(name)),
      ),
    ).toEqual([])
  })

  it('name places as to:, from: or not-to: and the code of a country', () => {
    const place = (word: string): boolean =>
      /^(not-)?(to|from):[A-Z]{2}$/.test(word) && countries.has(word.slice(-2))
    expect(broken('services', (r) => list(r, 'where').every(place))).toEqual([])
  })

  it('all stand in service-levels.csv, under each level with a provider that may do it', () => {
    expect(rowsOf('service-levels').map((r) => text(r, 'service'))).toEqual([...serviceIds])
    const allowed = (r: Row): boolean => {
      const may = list(find('services', 'id', text(r, 'service')), 'providers')
      return ['diy', 'part', 'full'].every((level) => may.includes(text(r, level)))
    }
    expect(broken('service-levels', allowed)).toEqual([])
  })
})

describe('covers and perils', () => {
  it('speak of the same covers, and require services that exist', () => {
    const covers = rowsOf('covers').map((r) => text(r, 'id'))
    expect(columns.perils).toBe(['id', 'label', ...covers].join(','))
    expect(broken('covers', (r) => list(r, 'requires').every((s) => serviceIds.has(s)))).toEqual([])
  })

  it('pay under a narrower cover only what a wider one pays: Institute Cargo Clauses 2009', () => {
    const nested = (r: Row): boolean =>
      (text(r, 'named-narrow') !== 'yes' || text(r, 'named-wide') === 'yes') &&
      (text(r, 'named-wide') !== 'yes' || text(r, 'all-risks') === 'yes')
    expect(broken('perils', nested)).toEqual([])
  })

  test.each([
    ['theft', 'yes', 'no', 'no', 'Institute Cargo Clauses 2009 (looked up)'],
    ['sea-water', 'yes', 'yes', 'no', 'clause 1.2.3 of B (looked up)'],
    ['war', 'no', 'no', 'no', 'clause 6 excludes war from all three (looked up)'],
    ['delay', 'no', 'no', 'no', 'clause 4.5 (looked up)'],
  ])('%s is %s / %s / %s under the three clauses: %s', (id, a, b, c) => {
    const row = find('perils', 'id', id)
    expect([text(row, 'all-risks'), text(row, 'named-wide'), text(row, 'named-narrow')]).toEqual([a, b, c])
  })

  test.each([
    ['all-risks', '0.045'],
    ['named-wide', '0.03'],
  ])('%s costs about %s of the sum insured: common practice, no source', (id, share) => {
    expect(text(find('covers', 'id', id), 'likely')).toBe(share)
  })
})

describe('port charges', () => {
  test.each(['port-charges', 'port-charges-published'])(
    '%s.csv has bands from day 1 without gap or overlap',
    (name) => {
      const rows = rowsOf(name)
      const tariff = (r: Row): string => text(r, 'id').replace(/\.\d+$/, '')
      for (const id of new Set(rows.map(tariff))) {
        const bands = rows.filter((r) => tariff(r) === id)
        let next = '1'
        for (const band of bands) {
          expect(text(band, 'from_day'), id).toBe(next)
          next = text(band, 'until_day') === '' ? 'open' : num(band, 'until_day').plus(1).toString()
        }
        expect(next, id).toBe('open')
      }
      expect(broken(name, (r) => containerCodes.includes(text(r, 'container')))).toEqual([])
      expect(broken(name, (r) => ['demurrage', 'detention'].includes(text(r, 'charge')))).toEqual([])
    },
  )

  it('cover both charges for every container', () => {
    const pairs = new Set(rowsOf('port-charges').map((r) => `${text(r, 'charge')} ${text(r, 'container')}`))
    expect(pairs.size).toBe(2 * containerCodes.length)
  })

  const due = (tariff: string, days: number): Decimal =>
    rowsOf('port-charges-published')
      .filter((r) => text(r, 'id').startsWith(`${tariff}.`))
      .reduce((sum, r) => {
        const last = text(r, 'until_day') === '' ? days : Math.min(days, Number(text(r, 'until_day')))
        return sum.plus(num(r, 'price').times(Math.max(0, last - Number(text(r, 'from_day')) + 1)))
      }, new Decimal(0))

  test.each([
    [
      'uk-export-2014.demurrage.42G1',
      11,
      '635',
      '7 x 45 + 4 x 80: published UK export tariff 2013-14 (looked up)',
    ],
    ['uk-export-2014.detention.42G1', 8, '300', '3 x 20 + 5 x 48: the same tariff'],
    ['uk-export-2014.demurrage.22G1', 2, '50', '2 x 25: the same tariff'],
    ['uk-export-2014.demurrage.L5G1', 8, '500', '7 x 60 + 1 x 80: the same tariff'],
    [
      'glossary.demurrage.42G1',
      12,
      '2750',
      '3 x 100 + 7 x 250 + 2 x 350: freight glossary example (looked up)',
    ],
    ['glossary.demurrage.42G1', 10, '2050', '3 x 100 + 7 x 250: the same example'],
  ])('%s for %i charged days is %s: %s', (tariff, days, amount) => {
    expect(due(tariff, days).toString()).toBe(amount)
  })
})

describe('countries, currencies and wages', () => {
  test.each([
    ['JPY', '0'],
    ['KRW', '0'],
    ['ISK', '0'],
    ['CLP', '0'],
    ['VND', '0'],
    ['KWD', '3'],
    ['JOD', '3'],
    ['EUR', '2'],
    ['USD', '2'],
  ])('%s has %s minor units: ISO 4217 (from memory)', (code, minor) => {
    expect(text(find('currencies', 'code', code), 'minor_units')).toBe(minor)
  })

  it('know at least 60 countries, each code two letters, the 27 of the European Union among them', () => {
    expect(countries.size).toBeGreaterThanOrEqual(60)
    expect(broken('countries', (r) => /^[A-Z]{2}$/.test(text(r, 'code')))).toEqual([])
    const union = 'AT BE BG HR CY CZ DK EE FI FR DE GR HU IE IT LV LT LU MT NL PL PT RO SK SI ES SE'.split(
      ' ',
    )
    expect(union.filter((c) => !countries.has(c))).toEqual([])
    expect(union.filter((c) => !rowsOf('wages').some((r) => text(r, 'country') === c))).toEqual([])
  })

  it('have wages for at least 25 countries that are known', () => {
    expect(rowsOf('wages').length).toBeGreaterThanOrEqual(25)
    expect(broken('wages', (r) => countries.has(text(r, 'country')))).toEqual([])
    expect(broken('wages', (r) => ['labour cost', 'wage'].includes(text(r, 'kind')))).toEqual([])
    expect(
      broken(
        'wages',
        (r) => text(r, 'label') === text(find('countries', 'code', text(r, 'country')), 'label'),
      ),
    ).toEqual([])
  })

  test.each([
    ['US', '44.67', 'wages 31.47 + benefits 13.20: US Bureau of Labor Statistics, December 2024 (looked up)'],
    ['DE', '43.4', 'Eurostat 2024 (looked up)'],
    ['NL', '45.2', 'Eurostat 2024 (looked up)'],
    ['HU', '14.1', 'Eurostat 2024 (looked up)'],
    ['PL', '17.3', 'Eurostat 2024, read in the press (looked up)'],
    ['IT', '30.9', 'Eurostat 2024, read in the press (looked up)'],
  ])('an hour of work in %s costs %s: %s', (country, cost) => {
    expect(text(find('wages', 'country', country), 'likely')).toBe(cost)
  })

  it('span a ratio of 5.2 between Luxembourg and Bulgaria: Eurostat 2024 (looked up)', () => {
    const of = (c: string): Decimal => num(find('wages', 'country', c), 'likely')
    expect(of('LU').div(of('BG')).toFixed(1)).toBe('5.2')
  })
})

describe('containers against ISO 668, ISO 1496-1 and published equipment data', () => {
  const m3 = (r: Row, which: string): Decimal =>
    ['length', 'width', 'height'].reduce(
      (v, side) => v.times(num(r, `${which}_${side}_mm`).div(1000)),
      new Decimal(1),
    )

  test.each([
    ['22G1', '33.2', '33.20', '32.12', 28180],
    ['42G1', '67.7', '67.72', '65.70', 26730],
    ['45G1', '76.4', '76.35', '74.22', 26540],
    ['L5G1', '86', '86.02', '83.77', 25660],
  ])(
    '%s: quoted %s m3, inside product %s, least inside %s, payload %i kg = gross - tare',
    (id, quoted, product, least, payload) => {
      const row = find('containers', 'id', id)
      expect(num(row, 'capacity_m3').toString()).toBe(quoted)
      expect(m3(row, 'inside').toFixed(2)).toBe(product)
      expect(m3(row, 'min_inside').toFixed(2)).toBe(least)
      expect(num(row, 'capacity_m3').div(m3(row, 'inside')).minus(1).abs().lte('0.005')).toBe(true)
      expect(num(row, 'max_gross_kg').minus(num(row, 'tare_kg')).toNumber()).toBe(payload)
    },
  )

  it('high cube to standard 40 foot is 1.1285: quoted capacities 76.4 and 67.7 (looked up)', () => {
    const of = (id: string): Decimal => num(find('containers', 'id', id), 'capacity_m3')
    expect(of('45G1').div(of('42G1')).toFixed(4)).toBe('1.1285')
    expect(of('42G1').div(of('22G1')).toFixed(3)).toBe('2.039')
  })

  it('nest: outside holds inside, inside holds the least inside, inside holds the door', () => {
    for (const side of ['length', 'width', 'height']) {
      expect(
        broken('containers', (r) => num(r, `outside_${side}_mm`).gt(num(r, `inside_${side}_mm`))),
      ).toEqual([])
      expect(
        broken('containers', (r) => num(r, `inside_${side}_mm`).gte(num(r, `min_inside_${side}_mm`))),
      ).toEqual([])
    }
    expect(broken('containers', (r) => num(r, 'inside_height_mm').gt(num(r, 'door_height_mm')))).toEqual([])
    expect(broken('containers', (r) => num(r, 'inside_width_mm').gt(num(r, 'door_width_mm')))).toEqual([])
  })
})

describe('cartons, items and vehicles', () => {
  test.each([
    ['book', 16.375, 12.625, 12.625, '1.510', 'published carton guide (looked up)'],
    ['medium', 18.125, 18, 16, '3.021', 'published carton guide (looked up)'],
    ['large', 24, 18, 18, '4.500', 'published carton guide (looked up)'],
    ['extra-large', 24, 18, 24, '6.000', 'published carton guide (looked up)'],
    ['dish-pack', 18, 18, 28, '5.250', 'second carton guide (looked up)'],
    ['electronics', 22.5, 21.5, 21.5, '6.019', 'second carton guide (looked up)'],
    ['file', 15, 12.5, 10.5, '1.139', 'second carton guide (looked up)'],
    ['wardrobe-standing', 24, 20, 47.375, '13.160', 'second carton guide (looked up)'],
    ['tv', 72, 8, 42, '14.000', 'published carton guide (looked up)'],
  ])('%s carton of %d x %d x %d in is %s ft3: %s', (id, length, width, height, ft3) => {
    const row = find('cartons', 'id', id)
    const inches = ['length_cm', 'width_cm', 'height_cm'].map((c) => num(row, c).div('2.54'))
    expect(inches.map((x) => x.toFixed(3))).toEqual([length, width, height].map((x) => x.toFixed(3)))
    const product = inches.reduce((v, x) => v.times(x), new Decimal(1)).div(1728)
    expect(product.toFixed(3)).toBe(ft3)
    expect(product.div(num(row, 'ft3')).minus(1).abs().lte('0.04')).toBe(true)
  })

  test.each([
    ['mattress-double', '21.4'],
    ['mattress-king', '37.0'],
  ])('%s carton really takes %s ft3: sides in inches, common practice', (id, ft3) => {
    const row = find('cartons', 'id', id)
    const cm3 = num(row, 'length_cm').times(num(row, 'width_cm')).times(num(row, 'height_cm'))
    expect(cm3.div('28316.846592').toFixed(1)).toBe(ft3)
    expect(num(row, 'ft3').lt(cm3.div('28316.846592'))).toBe(true)
  })

  it('cartons have masses in order and within their content limit', () => {
    const ordered = (r: Row): boolean =>
      num(r, 'mass_low_kg').lte(num(r, 'mass_likely_kg')) &&
      num(r, 'mass_likely_kg').lte(num(r, 'mass_high_kg')) &&
      num(r, 'mass_high_kg').lte(num(r, 'content_limit_kg'))
    expect(broken('cartons', ordered)).toEqual([])
  })

  it('items are 70 or more, with positive sizes and words of the lists', () => {
    expect(rowsOf('items').length).toBeGreaterThanOrEqual(89)
    const sizes = ['ft3', 'length_cm', 'width_cm', 'height_cm', 'mass_kg']
    expect(broken('items', (r) => sizes.every((c) => num(r, c).gt(0)))).toEqual([])
    expect(broken('items', (r) => ['any', 'yes'].includes(text(r, 'upright')))).toEqual([])
    expect(broken('items', (r) => ['any', 'light', 'nothing'].includes(text(r, 'stack')))).toEqual([])
    expect(broken('items', (r) => ['0', '1'].includes(text(r, 'flat')))).toEqual([])
  })

  test.each([
    ['sofa-3-seat', '60', 'published article of 2025 (looked up)'],
    ['armchair-small', '10', 'published trade form (looked up)'],
    ['bed-queen', '60', 'published trade form (looked up)'],
    ['dresser-triple', '50', 'published trade form (looked up)'],
    ['washing-machine', '25', 'published article of 2025 (looked up)'],
    ['piano-upright', '70', 'US cube sheets (from memory)'],
  ])('%s takes %s ft3 of stow cube: %s', (id, ft3) => {
    expect(text(find('items', 'id', id), 'ft3')).toBe(ft3)
  })

  it('vehicles are wider with mirrors, and every class but the large pickup passes into a 20 foot box lengthwise', () => {
    expect(broken('vehicle-classes', (r) => num(r, 'width_mirrors_mm').gt(num(r, 'width_mm')))).toEqual([])
    const inside = num(find('containers', 'id', '22G1'), 'inside_length_mm')
    expect(broken('vehicle-classes', (r) => num(r, 'length_mm').plus(300).lte(inside))).toEqual([
      'pickup-large',
    ])
  })
})

describe('figures against what the sources print', () => {
  const likely = (id: string): Decimal => {
    const row = bothTables().find((r) => text(r, 'id') === id)
    if (row === undefined) throw new Error(`no figure "${id}"`)
    return num(row, 'likely')
  }

  it("7 lb/ft3 is 112.13 kg/m3: 41 CFR part 302-7 and movers' tariffs", () => {
    expect(likely('density.household').times('0.45359237').div('0.028316846592').toFixed(2)).toBe('112.13')
  })

  it('6000 cm3 is a kilogram by air, so 64 kg for 8 boxes of 60 x 40 x 20 cm: IATA cargo rules (from memory)', () => {
    expect(new Decimal(8 * 60 * 40 * 20).div(1e6).div(likely('air.m3-per-kg')).toString()).toBe('64')
    expect(new Decimal(60 * 40 * 40).div(1e6).div(likely('courier.m3-per-kg')).toString()).toBe('19.2')
  })

  it('2 m3 count as 666 kg by road: European road freight terms (looked up)', () => {
    expect(likely('road.kg-per-m3').times(2).toString()).toBe('666')
  })

  it('a larger crew loads more an hour and less each: published crew outputs (looked up)', () => {
    const crews = [1, 2, 3, 4, 5].map((n) => likely(`labour.loading.lb-per-hour.crew${n}`))
    expect(crews.map((c, i) => c.div(i + 1).toFixed(0))).toEqual(['400', '350', '333', '300', '280'])
    expect(crews.map(String)).toEqual(['400', '700', '1000', '1200', '1400'])
  })

  it('three loaders do 4.05 m3 an hour at 7 lb/ft3 (by hand from the two sources)', () => {
    const ft3 = likely('labour.loading.lb-per-hour.crew3').div(likely('density.household'))
    expect(ft3.times('0.028316846592').toFixed(2)).toBe('4.05')
  })

  it('400 ft3 take 20 packer-hours: published packer output (looked up)', () => {
    expect(new Decimal(400).div(likely('labour.packing.ft3-per-person-hour')).toString()).toBe('20')
  })

  it('a small truck at 0.75 USD per ft3 is the same price per m3: an agent in Los Angeles (secondary)', () => {
    const perM3 = likely('handling.shuttle.price').div('0.028316846592')
    expect(likely('door.small-trucks.price').toFixed(3)).toBe(perM3.toFixed(3))
    expect(likely('door.small-trucks.minimum').toString()).toBe(likely('handling.shuttle.minimum').toString())
  })

  it('150 listed packages are worth 100,000.50 XDR to the carrier: Hague-Visby art. IV(5) (looked up)', () => {
    expect(likely('liability.sea.package').times(150).toFixed(2)).toBe('100000.50')
    expect(likely('liability.sea.kg').times(5400).toFixed(2)).toBe('10800.00')
  })

  it('200 kg by road are 1,666 XDR, 2,182.46 USD at 1.31: CMR art. 23 (looked up)', () => {
    const xdr = likely('liability.road.kg').times(200)
    expect(xdr.toString()).toBe('1666')
    expect(xdr.times(likely('liability.sdr-rate')).toFixed(2)).toBe('2182.46')
  })

  test.each([
    ['2005-06-01', '1020'],
    ['2012-06-01', '1140'],
    ['2022-06-01', '1320'],
    ['2025-06-01', '1560'],
  ])('60 kg by air on %s are %s XDR: Montreal Convention art. 22(3) and its reviews', (day, xdr) => {
    const row = bothTables().find(
      (r) =>
        text(r, 'id') === 'liability.air.kg' &&
        text(r, 'from') <= day &&
        (text(r, 'until') === '' || day <= text(r, 'until')),
    )
    expect(row && num(row, 'likely').times(60).toString()).toBe(xdr)
  })

  it('a 5 lb computer is worth 3.00 USD at released value: 49 CFR 375.201 (looked up)', () => {
    expect(likely('liability.released-value').times(5).toFixed(2)).toBe('3.00')
  })

  it('securities of 0.425 and 0.115 came to 0.54 of the value: ship fire of 2018 (looked up)', () => {
    const sum = likely('general-average.fire-2018.salvage').plus(
      likely('general-average.fire-2018.general-average'),
    )
    expect(sum.toString()).toBe('0.54')
  })

  it('3,000 USD per m3 and 85 per ft3 are the same lump sum within a hundredth: published lump-sum values', () => {
    const perFt3 = likely('insured.lump-per-m3').times('0.028316846592')
    expect(perFt3.div(likely('insured.lump-per-ft3')).minus(1).abs().lte('0.01')).toBe(true)
  })

  test.each([
    ['sea-c.across', '7357.5', 'CTU Code, waves over 12 m (from memory)'],
    ['road.forward', '7357.5', 'CTU Code, road (looked up)'],
  ])('a car of 1500 kg at friction 0.3 and 9.81 m/s2 under %s needs %s N of blocking: %s', (id, newtons) => {
    const held = likely(`acceleration.${id}`).minus(likely('stowage.friction'))
    expect(held.times(1500).times('9.81').toString()).toBe(newtons)
  })

  it('lengthwise in waves over 12 m the same car needs 5,003.1 N, for it then weighs a fifth (from memory)', () => {
    const friction = likely('stowage.friction').times(likely('acceleration.sea-c.down-along'))
    const held = likely('acceleration.sea-c.along').minus(friction)
    expect(held.times(1500).times('9.81').toString()).toBe('5003.1')
  })

  it('hidden damage is reported to the sea carrier within the shortest time of claim-notice.csv: Hague-Visby Rules art. III(6), three days', () => {
    const days = rowsOf('claim-notice').flatMap((row) =>
      text(row, 'against') === 'sea carrier' ? [Number(text(row, 'hidden_days'))] : [],
    )
    expect(likely('insurance.carrier-notice-days').toNumber()).toBe(Math.min(...days))
  })

  it('US cargo limits are 17,237 and 19,958 kg: published container page (looked up)', () => {
    const kg = (id: string): string => likely(`road-limit.us.${id}`).times('0.45359237').toFixed(0)
    expect([kg('22G1'), kg('42G1'), kg('45G1')]).toEqual(['17237', '19958', '19958'])
  })

  it('60 to 40 by halves puts the centre of gravity 0.05 of the length off: CTU Code rule of thumb, by hand', () => {
    const share = likely('stowage.half-length-mass-share')
    const centre = share.times('0.25').plus(new Decimal(1).minus(share).times('0.75'))
    expect(new Decimal('0.5').minus(centre).toString()).toBe(
      likely('stowage.centre-of-gravity-offset').toString(),
    )
  })

  it('1,274 containers lost of 250 million is 5.096e-6: liner council surveys (looked up)', () => {
    expect(likely('insurance.container-lost-probability').toString()).toBe(
      new Decimal(1274).div(250e6).toString(),
    )
  })

  it('the overflow rule is 850 of 1,171 and 1,750 of 2,389 ft3: published US ocean tariff of 2017', () => {
    expect(likely('stowage.share.overflow-20').toFixed(3)).toBe(new Decimal(850).div(1171).toFixed(3))
    expect(likely('stowage.share.overflow-40').toFixed(3)).toBe(new Decimal(1750).div(2389).toFixed(3))
  })

  it('deductible 250 saves 200 on 40,000, so it breaks even at a claim chance of 0.80: published rates (looked up)', () => {
    const saved = likely('insurance.all-risks.no-deductible')
      .minus(likely('insurance.all-risks.deductible-250'))
      .times(40_000)
    expect(saved.toString()).toBe('200')
    expect(saved.div(250).toString()).toBe('0.8')
  })
})
