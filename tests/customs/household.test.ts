import type { Decimal } from 'decimal.js'
import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import {
  CUSTOMS_CAUTION,
  customsList,
  customsListCsv,
  customsListHtml,
  customsOutcome,
  documentsDue,
  dutyMove,
  reliefMatrix,
  restrictions,
  shipOrLeave,
  valueCheck,
  whatWouldChange,
} from '../../src/customs/index.js'
import { exact } from '../../src/quantity/index.js'
import { csvCell } from '../../src/tables/as-data.js'
import { readGrid } from '../../src/tables/csv.js'
import type { InventoryLine, Vehicle } from '../../src/tables/household-columns.js'
import { move, noCarriage, person, shippedRules, thing } from './rules.js'

const tables = shippedRules()
const n = (x: Decimal.Value) => exact.of(x)
const carriage = noCarriage

describe('who should be the importer', () => {
  const settled = person({ person: 'A' })
  const fresh = person({ person: 'B', abroad_since: '2025-12-01', status: 'returning' })

  it('is the one who pays least', () => {
    const { best, options } = customsOutcome(tables, move({ people: [fresh, settled] }), carriage)
    expect(best.importer).toBe('A')
    expect(options.map(({ importer, charges }) => [importer, charges?.total.toFixed(2)])).toEqual([
      ['B', '190.00'],
      ['A', '0.00'],
    ])
  })

  it('is each owner where that is best', () => {
    const student = person({ person: 'B', status: 'student', abroad_since: '2026-01-01' })
    const lines = [
      thing({ id: 'old', owner: 'A' }),
      thing({ id: 'new', owner: 'B', acquiredOn: '2026-02-01' }),
      thing({ id: 'car', kind: 'car', class: 'car', owner: 'A' }),
    ]
    const { best } = customsOutcome(tables, move({ people: [settled, student], lines }), carriage)
    expect(best.importer).toBe('each owner')
    expect(best.charges?.total.toFixed(2)).toBe('0.00')
  })

  it('is the first of two who pay alike', () => {
    const { best } = customsOutcome(tables, move({ people: [settled, person({ person: 'C' })] }), carriage)
    expect(best.importer).toBe('A')
  })

  it('a move without people is told', () => {
    expect(() => customsOutcome(tables, move({ people: [] }), carriage)).toThrow('people.csv')
  })

  it('a country that is not in the tables gives no charges and names whom to ask', () => {
    const { best, authority } = customsOutcome(tables, move({ destination: 'XX' }), carriage)
    expect(best.charges).toBeUndefined()
    expect(authority).toBe('the customs authority of XX')
    expect(best.undetermined.map(({ what }) => what)).toEqual(['relief', 'all charges'])
    for (const gap of best.undetermined) expect(gap.ask).toBe('the customs authority of XX')
  })

  it('amounts are converted at the declared rate: 1,000 EUR at 11.50 is a base of NOK 11,500', () => {
    const newThing = thing({ condition: 'new', value: n(1000) })
    const there = move({ destination: 'NO', lines: [newThing] })
    const { best } = customsOutcome(tables, there, { ...carriage, exchange: n('11.5') })
    expect(best.charges?.tax.toFixed(0)).toBe('2875')
    expect(best.charges?.totalHousehold.toFixed(2)).toBe('250.00')
  })
})

describe('what would change it', () => {
  it('finds the first day on which the tax is nil, and what each day saves: UK VAT counts to importation', () => {
    // Both clocks: duty counts to leaving and is zero on furniture; VAT counts to import, 20 June 2026.
    const there = move({ destination: 'GB', lines: [thing({ acquiredOn: '2025-12-20' })] })
    const what = whatWouldChange(tables, there, carriage)
    expect(what.total.toFixed(2)).toBe('200.00')
    expect(what.nilOn).toBe('2026-06-20')
    const wait = what.changes.find(({ kind }) => kind === 'import-on')
    expect(wait?.days).toBe(61)
    expect(wait?.perDay?.times(61).toFixed(2)).toBe('200.00')
  })

  it('finds that an earlier import inside the window would do', () => {
    const there = move({ destination: 'DE', importOn: '2027-03-20' })
    const what = whatWouldChange(tables, there, carriage)
    expect(what.nilOn).toBe('2027-03-05')
  })

  it('finds by how many days the whole move would have to wait', () => {
    const there = move({ lines: [thing({ acquiredOn: '2025-09-11' })] })
    const what = whatWouldChange(tables, there, carriage)
    const later = what.changes.find(({ kind }) => kind === 'move-on')
    expect(later).toMatchObject({ on: '2026-03-11', days: 10 })
    expect(later?.after.isZero()).toBe(true)
  })

  it('lists what to leave behind, dearest first, and all of it together', () => {
    const lines = [
      thing(),
      thing({ id: 'stock', class: 'commercial', value: n(300) }),
      thing({ id: 'desk', acquiredOn: '2026-02-01' }),
    ]
    const what = whatWouldChange(tables, move({ lines }), carriage)
    expect([...what.nilWithout].toSorted()).toEqual(['desk', 'stock'])
    const saved = what.changes
      .filter(({ kind }) => kind === 'leave-behind')
      .map((each) => [each.lines, each.saves.toFixed(2)])
    // A table of 1,000 at 19 %. Trade goods have no rate here, so neither duty nor VAT on them is in any figure.
    expect(saved).toEqual([
      [['desk'], '190.00'],
      [['desk', 'stock'], '190.00'],
    ])
  })

  it('changes nothing where nothing is charged', () => {
    expect(whatWouldChange(tables, move(), carriage)).toMatchObject({ nilOn: '2026-04-20', changes: [] })
  })

  it('takes the freight of what stays behind off the declaration, so that it falls on no other thing', () => {
    // Used clothing of a new tenant of the Union is free; new ceramics are not, and share the freight by value.
    const lines = [
      thing({ class: 'ceramics', condition: 'new', acquiredOn: '2026-02-01' }),
      thing({ id: 'wine', class: 'alcohol' }),
    ]
    const paid = { ...carriage, freight: n(600) }
    const weighed = shipOrLeave(
      tables,
      move({ lines }),
      paid,
      () => n(300),
      () => undefined,
    )
    expect(weighed.find(({ id }) => id === 'wine')?.charges.isNegative()).toBe(false)
  })

  it('weighs shipping a charged thing against leaving it', () => {
    const lines = [
      thing({ id: 'desk', acquiredOn: '2026-02-01' }),
      thing({ id: 'lamp', acquiredOn: '2026-02-01', value: n(100) }),
    ]
    const weighed = shipOrLeave(
      tables,
      move({ lines }),
      carriage,
      () => n(120),
      (id) => (id === 'desk' ? n(1900) : undefined),
    )
    // Desk: 190 of VAT and 120 of freight against 1,900 new less 1,000 for the old one.
    expect(
      weighed.map(({ id, charges, shipping, replacing, advice }) => [
        id,
        charges.toFixed(2),
        shipping.toFixed(2),
        replacing?.toFixed(2),
        advice,
      ]),
    ).toEqual([
      ['desk', '190.00', '310.00', '900.00', 'ship'],
      ['lamp', '19.00', '139.00', undefined, 'not determined'],
    ])
  })
})

describe('goods that may not come, or not so', () => {
  const hits = (destination: string, lines: ReturnType<typeof thing>[], more = {}) =>
    restrictions(tables, move({ destination, lines, ...more })).map(({ line, rule }) => `${line} ${rule.id}`)

  test.each([
    [
      'AU',
      thing({ class: 'garden' }),
      'L-1 au.garden',
      'used garden tools, agriculture department (looked up)',
    ],
    ['AU', thing({ materials: ['cane'] }), 'L-1 au.wood', 'cane goods, agriculture department (looked up)'],
    [
      'AU',
      thing({ text: 'Box of straw hats' }),
      'L-1 au.packing',
      'straw, agriculture department (looked up)',
    ],
    ['NZ', thing({ class: 'honey' }), 'L-1 nz.food', 'honey, primary industries ministry (looked up)'],
    ['US', thing({ class: 'weapon' }), 'L-1 us.weapon', 'firearm without a form, CBP (looked up)'],
    [
      'KE',
      thing({ kind: 'car', class: 'car', madeOn: '2018-04-19' }),
      'L-1 ke.old-vehicle',
      'car over eight years, revenue authority (looked up)',
    ],
    [
      'KE',
      thing({ kind: 'car', class: 'car', steering: 'left', madeOn: '2024-01-01' }),
      'L-1 ke.left-hand-drive',
      'left-hand drive, revenue authority (looked up)',
    ],
    [
      'US',
      thing({ kind: 'car', class: 'car', madeOn: '2010-01-01' }),
      'L-1 us.safety',
      'car under 25 years, HS-7 (from memory)',
    ],
    ['DE', thing({ materials: ['ivory'] }), 'L-1 any.ivory', 'CITES art. VII (looked up)'],
    ['DE', thing({ materials: ['raw-wood'] }), 'L-1 any.raw-wood', 'ISPM 15 (looked up)'],
    ['SG', thing({ text: 'Tin of chewing gum' }), 'L-1 sg.gum', 'chewing gum (from memory)'],
  ])('%s: %o is found as %s: %s', (destination, line, expected) => {
    expect(hits(destination, [line])).toContain(expected)
  })

  test.each([
    [
      'KE',
      thing({ kind: 'car', class: 'car', madeOn: '2018-04-20', steering: 'right' }),
      'ke.old-vehicle',
      'exactly eight years old',
    ],
    ['US', thing({ kind: 'car', class: 'car', madeOn: '2001-04-20' }), 'us.safety', 'exactly 25 years old'],
    ['SG', thing({ text: 'Gumboots' }), 'sg.gum', 'a word inside another'],
    ['DE', thing(), 'any.ivory', 'nothing of the kind'],
  ])('%s: %o is not found by %s: %s', (destination, line, rule) => {
    expect(hits(destination, [line]).join()).not.toContain(rule)
  })

  it('looks at origin and transit too, and tells a rule of all countries once', () => {
    const found = restrictions(
      tables,
      move({ destination: 'AU', origin: 'GB', transit: ['SG'], lines: [thing({ class: 'weapon' })] }),
    )
    expect(found.map(({ where, rule }) => `${where} ${rule.id}`)).toEqual([
      'destination au.weapon',
      'destination any.weapon',
    ])
    const art = restrictions(
      tables,
      move({ destination: 'AU', origin: 'GB', lines: [thing({ class: 'antique' })] }),
    )
    expect(art.map(({ where, rule }) => `${where} ${rule.id}`)).toEqual(['origin any.cultural'])
  })
})

const inventoryLine = (change: Partial<InventoryLine> = {}): InventoryLine => ({
  line: 'K-01',
  room: 'Kitchen',
  item: 'Dinner set',
  quantity: n(1),
  item_code: undefined,
  volume_m3: undefined,
  volume_ft3: undefined,
  length_cm: undefined,
  width_cm: undefined,
  height_cm: undefined,
  mass_kg: n('12.5'),
  value: n(80),
  replacement_value: n(200),
  currency: undefined,
  acquired_on: '2020-05-01',
  import_on: undefined,
  consignment: undefined,
  owner: undefined,
  held: undefined,
  class: 'ceramics',
  material: [],
  packing: 'dish-pack',
  handling: [],
  take: 'ship',
  must_travel: undefined,
  serial: undefined,
  condition: 'good',
  note: undefined,
  ...change,
})

describe('the inventory for customs', () => {
  const inventory = [
    inventoryLine(),
    inventoryLine({
      line: 'L-02',
      item: '=HYPERLINK("x")',
      quantity: n(4),
      value: n('35.5'),
      mass_kg: n(6),
      class: 'furniture',
    }),
    inventoryLine({
      line: 'S-03',
      item: 'Laptop <15">',
      class: 'electronics',
      value: undefined,
      mass_kg: undefined,
    }),
    inventoryLine({ line: 'X-04', take: 'leave' }),
  ]
  const terms = { currency: 'EUR', on: '2026-11-25' }
  const list = customsList(tables, inventory, terms)

  it('numbers the shipped lines and adds them up', () => {
    expect(list.lines.map(({ number, line }) => [number, line])).toEqual([
      [1, 'K-01'],
      [2, 'L-02'],
      [3, 'S-03'],
    ])
    expect(list.totals.map(({ currency, value }) => [currency, value.toFixed(2)])).toEqual([
      ['EUR', '222.00'],
    ])
    expect(list.massKg.toFixed(1)).toBe('36.5')
    expect(list.withoutValue).toEqual(['S-03'])
    expect(list.lines.map(({ serialMissing }) => serialMissing)).toEqual([false, false, true])
    expect(list.lines[0]?.months).toBe(78)
  })

  it('keeps amounts of two currencies apart', () => {
    const two = customsList(
      tables,
      [inventoryLine(), inventoryLine({ line: 'K-02', currency: 'NOK' })],
      terms,
    )
    expect(two.totals.map(({ currency }) => currency)).toEqual(['EUR', 'NOK'])
  })

  it('has headings in English and one more language', () => {
    expect(customsListCsv(tables, list, 'de').split('\n')[0]).toBe(
      'No. / Nr.,Package / Packstück,Description / Beschreibung,Condition / Zustand,Quantity / Menge,Mass (kg) / Masse (kg),Value / Wert,Currency / Währung,Owned since / Im Besitz seit,Use / Gebrauch,Serial number / Seriennummer',
    )
  })

  it('writes CSV that reads back and holds no formula', () => {
    const grid = readGrid({ file: 'list.csv', text: customsListCsv(tables, list, 'fr') })
    if (!grid.ok) throw new Error('not readable')
    expect(grid.value.rows).toHaveLength(4)
    expect(grid.value.rows[1]?.cells[2]).toBe('\'=HYPERLINK("x")')
  })

  test.each([
    ['=1+1', `"'=1+1"`],
    ['+491234', `"'+491234"`],
    ['@sum', `"'@sum"`],
    ['-cmd', `"'-cmd"`],
    ['-12.50', '-12.50'],
    ['\t=1', `"'\t=1"`],
    ['a,b', '"a,b"'],
    ['say "hi"', '"say ""hi"""'],
    ['plain', 'plain'],
  ])('the cell %j is written as %s: OWASP advice on CSV injection (from memory)', (text, cell) => {
    expect(csvCell(text)).toBe(cell)
  })

  it('prints as a page whole in itself, escaped, with the caution', () => {
    const html = customsListHtml(
      tables,
      list,
      {
        household: 'A & B <i>',
        from: 'Bergen',
        to: 'Lisbon',
        on: '2026-11-25',
        containers: ['CSQU 305438 3'],
      },
      'es',
    )
    expect(html).toContain('Laptop &#60;15&#34;&#62;')
    expect(html).toContain('A &#38; B &#60;i&#62;')
    expect(html).toContain('Description / Descripción')
    expect(html).toContain(CUSTOMS_CAUTION)
    expect(html).not.toMatch(/<script|src=|href=|@import|url\(/)
    expect(html).toContain('Container / Contenedor: CSQU 305438 3')
    expect(html).toContain('Without a value: S-03.')
    expect(html).toContain('Serial number wanted: S-03.')
  })

  it('keeps whatever text a household writes as text, in CSV and on the page', () => {
    const nasty = fc.oneof(
      fc.string({ unit: 'grapheme', maxLength: 40 }),
      fc
        .tuple(
          fc.constantFrom('=', '+', '-', '@', '\t', '\r', '<img src=x onerror=a()>', '"', "'", ' =', '\n='),
          fc.string(),
        )
        .map(([a, b]) => a + b),
    )
    fc.assert(
      fc.property(nasty, nasty, (item, serial) => {
        const one = customsList(tables, [inventoryLine({ item, serial })], terms)
        const grid = readGrid({ file: 'list.csv', text: customsListCsv(tables, one) })
        if (!grid.ok) throw new Error('not readable')
        for (const cell of grid.value.rows[0]?.cells ?? [])
          expect(cell).not.toMatch(/^\s*[=+@]|^\s*-(?!\d+(\.\d+)?$)/)
        const html = customsListHtml(tables, one, {
          household: item,
          from: serial,
          to: 'B',
          on: '2026-11-25',
        })
        const plain = customsListHtml(tables, customsList(tables, [inventoryLine()], terms), {
          household: 'A',
          from: 'A',
          to: 'B',
          on: '2026-11-25',
        })
        const tags = (page: string) => page.match(/<[a-z/!][^>]*>/g)?.length
        expect(tags(html)).toBe(tags(plain))
      }),
      { seed: 41, numRuns: 400 },
    )
  })

  it('checks declared against insured value', () => {
    const check = valueCheck(
      tables,
      [
        inventoryLine(),
        inventoryLine({ line: 'A', value: n(300) }),
        inventoryLine({ line: 'B', value: n(10) }),
        inventoryLine({ line: 'C', value: n(90), acquired_on: '2026-06-01' }),
        inventoryLine({ line: 'D', replacement_value: undefined }),
      ],
      '2026-11-25',
    )
    expect(check.lines.map(({ line, finding }) => [line, finding])).toEqual([
      ['K-01', 'consistent'],
      ['A', 'explain'],
      ['B', 'explain'],
      ['C', 'explain'],
      ['D', 'missing'],
    ])
    expect(check.declared.toFixed(2)).toBe('560.00')
    expect(check.insured.toFixed(2)).toBe('800.00')
    expect(check.finding).toBe('missing')
  })
})

describe('papers and their deadlines', () => {
  it('UK: the application is due before loading, the last day twelve months after arriving', () => {
    const due = documentsDue(tables, move({ destination: 'GB', origin: 'NO' }), '2026-01-01')
    const days = Object.fromEntries(due.map(({ row, due: day }) => [row.id, day]))
    expect(days['uk.tor1']).toBe('2026-01-23')
    expect(days['uk.last-day']).toBe('2027-03-05')
    expect(days['no.export']).toBe('2026-02-18')
    expect(due.map(({ due: day }) => day)).toEqual(due.map(({ due: day }) => day).toSorted())
  })
  it('asks for vehicle papers only where a vehicle goes', () => {
    const ids = (lines: ReturnType<typeof thing>[]) =>
      documentsDue(tables, move({ destination: 'US', lines }), '2026-01-01').map(({ row }) => row.id)
    expect(ids([thing()])).not.toContain('us.vehicle-safety')
    expect(ids([thing({ kind: 'car', class: 'car' })])).toContain('us.vehicle-safety')
  })
  it('counts the days left, negative when too late', () => {
    const [first] = documentsDue(tables, move({ destination: 'GB' }), '2026-01-25')
    expect(first?.daysLeft).toBeLessThan(0)
  })
})

describe('relief at a glance', () => {
  it('has a row for each jurisdiction and person, with shares that add up', () => {
    const people = [person(), person({ person: 'B', status: 'returning' })]
    const lines = [thing(), thing({ id: 'L-2', acquiredOn: '2026-02-01', value: n(3000) })]
    const cells = reliefMatrix(tables, move({ people, lines }))
    expect(cells).toHaveLength(tables.jurisdictions.size * 2)
    for (const cell of cells) {
      expect(Object.values(cell.lines).reduce((a, b) => a + b)).toBe(2)
    }
    const germany = cells.find((cell) => cell.jurisdiction === 'eu' && cell.person === 'A')
    expect(germany).toMatchObject({ shareOfLines: 0.5, shareOfValue: 0.25, verdict: 'refused' })
    expect(cells.find((cell) => cell.jurisdiction === 'hk')).toMatchObject({ shareOfValue: 1 })
  })
})

describe('from the household’s files', () => {
  const vehicle: Vehicle = {
    vehicle: 'V-01',
    label: 'Hatchback',
    kind: 'car',
    class: undefined,
    length_mm: n(4350),
    width_mm: undefined,
    height_mm: undefined,
    mass_kg: undefined,
    powertrain: 'electric',
    steering: 'left',
    euro_class: undefined,
    value: n(9500),
    replacement_value: n(12500),
    currency: 'NOK',
    acquired_on: '2022-05-14',
    made_on: '2018-03-01',
    owner: undefined,
    held: undefined,
    deck: false,
    take: 'ship',
    must_travel: undefined,
    note: undefined,
  }
  it('takes what is shipped, all pieces of a line together, in the household’s currency', () => {
    const facts = {
      origin_country: 'NO',
      destination_country: 'PT',
      as_of: '2026-11-25',
      load_on: '2027-03-02',
      import_on: '2027-04-20',
    }
    const made = dutyMove(
      facts,
      [],
      [
        inventoryLine({ quantity: n(3) }),
        inventoryLine({ take: 'carry' }),
        inventoryLine({ value: undefined }),
      ],
      [vehicle, { ...vehicle, take: 'leave' }],
      (amount, currency) => (currency === 'NOK' ? amount.div(10) : amount),
    )
    expect(made.lines.map(({ id, kind, held, value }) => [id, kind, held, value?.toString()])).toEqual([
      ['K-01', 'goods', 'own', '240'],
      ['K-01', 'goods', 'own', undefined],
      ['V-01', 'car', 'own', '950'],
    ])
    expect(made.lines[2]).toMatchObject({ lengthM: 4.35, steering: 'left', madeOn: '2018-03-01' })
  })
})
