import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { changed, type Texts, undoing } from '../../src/open/edits.js'
import { filledBy, type KnownItem, quickLine } from '../../src/open/page/fill.js'
import {
  addLines,
  addScenario,
  dropScenario,
  HEADERS,
  renameScenario,
  scenarioNames,
  setCells,
  setChoice,
  setFact,
} from '../../src/open/page/intents.js'
import { movingNames } from '../../src/open/page/notebook-names.js'
import { pastedLines } from '../../src/open/page/paste.js'
import {
  understoodDay,
  understoodMass,
  understoodMoney,
  understoodNumber,
  understoodSize,
  understoodText,
} from '../../src/open/page/understand.js'

const values = (file: string): Record<string, string>[] => {
  const [head = '', ...lines] = readFileSync(file, 'utf8').trim().split('\n')
  const columns = head.split(',')
  const cells = (line: string): string[] =>
    [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].map(([, cell = '']) =>
      cell.replace(/^"(.*)"$/, '$1'),
    )
  return lines.map((line) => Object.fromEntries(columns.map((name, i) => [name, cells(line)[i] ?? ''])))
}
const ITEMS: KnownItem[] = values('data/reference/items.csv').map((row) => ({
  id: row.id ?? '',
  label: row.label ?? '',
  also: row.also?.split('|') ?? [],
  class: row.class ?? '',
  packing: row.packing ?? '',
  ft3: Number(row.ft3),
  massKg: Number(row.mass_kg),
}))

describe('numbers as people type them', () => {
  test.each([
    ['2,5', '2.5'],
    ['2.5', '2.5'],
    ['1.200,50', '1200.50'],
    ['1,200.50', '1200.50'],
    ['1 200,5', '1200.5'],
    ['1\u00a0200', '1200'],
    ["1'200", '1200'],
    ['1.200.000', '1200000'],
    ['1e3', '1000'],
    ['2,5e-1', '0.25'],
    ['0,125', '0.125'],
    ['007', '7'],
    [' 42 ', '42'],
    ['\u22123', '-3'],
  ])('%s is %s', (typed, value) => {
    const read = understoodNumber(typed)
    expect(read).toMatchObject({ ok: true, value })
    // What is not plain from the typed text is told beside the cell.
    if (read.ok && typed.trim().replace(',', '.') !== value) expect(read.note).toBe(`understood as ${value}`)
  })

  test.each([
    ['1.200', 'That may be 1.2 or 1200'],
    ['1,200', 'That may be 1.2 or 1200'],
    ['12.345', 'That may be 12.345 or 12345'],
    ['', 'Write a number'],
    ['abc', 'Write a number alone'],
    ['1e99', 'too large'],
    ['12a', 'Write a number alone'],
    ['1.2.3', 'Write a number alone'],
  ])('%s is refused: %s', (typed, why) => {
    const read = understoodNumber(typed)
    expect(read.ok ? read.value : read.why).toContain(why)
    expect(read.ok).toBe(false)
  })

  it('takes every plain number as it stands, with point or comma', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 999_999 }),
        fc.integer({ min: 1, max: 99 }),
        fc.boolean(),
        (whole, part, comma) => {
          const text = `${whole}.${String(part).padStart(2, '0')}`
          const read = understoodNumber(comma ? text.replace('.', ',') : text)
          expect(read).toEqual({ ok: true, value: text })
        },
      ),
    )
  })
})

describe('sizes, masses, money and days', () => {
  test.each([
    // International yard and pound agreement, 1959: 1 in = 2.54 cm, 1 ft = 30.48 cm, 1 lb = 0.45359237 kg.
    ['2 m x 1 m x 40 cm', ['200', '100', '40']],
    ['6 ft 7 in x 3 ft x 3 ft', ['200.66', '91.44', '91.44']],
    ['6\'7" × 3\' × 10"', ['200.66', '91.44', '25.4']],
    ['90x30x180', ['90', '30', '180']],
    ['0,9 x 0,3 x 1,8 m', ['90', '30', '180']],
    ['1200 mm by 600 mm by 750 mm', ['120', '60', '75']],
  ])('%s are the sides %j', (typed, sides) => {
    const read = understoodSize(typed)
    expect(
      read.ok &&
        read.value.kind === 'sides' && [read.value.length_cm, read.value.width_cm, read.value.height_cm],
    ).toEqual(sides)
  })

  test.each([
    ['12 ft³', { kind: 'ft3', volume_ft3: '12' }],
    ['0,4 m3', { kind: 'm3', volume_m3: '0.4' }],
    ['400 l', { kind: 'm3', volume_m3: '0.4' }],
    ['2 m x 1 m', 'That is 2 sides'],
    ['6 ft 7 in', 'That is one number'],
    ['20 m x 1 m x 1 m', 'longer than any container'],
    ['a x b x c', 'is no length'],
    ['2 furlong x 1 m x 1 m', 'no unit of length'],
    ['0 m3', 'more than 0'],
  ])('%s: %j', (typed, expected) => {
    const read = understoodSize(typed)
    if (typeof expected === 'string') expect(read.ok ? 'taken' : read.why).toContain(expected)
    else expect(read).toMatchObject({ ok: true, value: expected })
  })

  test.each([
    [understoodMass('150 lb'), '68.0389'],
    [understoodMass('2,5'), '2.5'],
    [understoodMass('9000'), 'from 0 to 5000'],
    [understoodMoney('40 eur'), { amount: '40', currency: 'EUR' }],
    [understoodMoney('€ 1.200,50'), { amount: '1200.50', currency: 'EUR' }],
    [understoodMoney('$40'), 'Several countries'],
    [understoodMoney('-4'), '0 or more'],
    [understoodDay('27/02/2027'), '2027-02-27'],
    [understoodDay('2027-2-7'), '2027-02-07'],
    [understoodDay('03/04/2027'), 'That may be 2027-04-03 or 2027-03-04'],
    [understoodDay('2027-02-30'), 'no such day'],
    [understoodText('=1+1'), 'formula'],
    [understoodText('@cmd'), 'formula'],
    [understoodText('Sofa = long'), 'Sofa = long'],
  ])('%j is %j', (read, expected) => {
    if (read.ok) expect(read.value).toEqual(expected)
    else expect(read.why).toContain(expected)
  })
})

describe('lines', () => {
  it('come from a few words: number and the beginning of the name', () => {
    expect(quickLine(ITEMS, '4 dining chair')).toMatchObject({
      item_code: 'dining-chair',
      quantity: '4',
      class: 'furniture',
    })
    expect(quickLine(ITEMS, 'wash mach')).toMatchObject({
      item_code: 'washing-machine',
      class: 'appliance',
      quantity: '1',
    })
    expect(quickLine(ITEMS, "Grandmother's loom")).toEqual({
      item: "Grandmother's loom",
      class: 'other',
      packing: 'none',
      take: 'ship',
      quantity: '1',
    })
    expect(quickLine(ITEMS, '2 fridge')).toMatchObject({ item: 'Refrigerator, small', quantity: '2' })
    expect(quickLine(ITEMS, 'tv stand')).toMatchObject({ item_code: 'tv-stand' })
    expect(quickLine(ITEMS, '   ')).toBeUndefined()
  })

  it('begin rooms with things that the item table has, of classes and packings that customs and cartons have', () => {
    const classes = values('data/reference/customs/classes.csv').map(({ id }) => id)
    const packings = [
      'none',
      'wrapped',
      'crated',
      ...values('data/reference/cartons.csv').map(({ id }) => id),
    ]
    for (const { item_code } of values('data/reference/room-starters.csv'))
      expect(ITEMS.map((item) => item.id)).toContain(item_code)
    for (const item of ITEMS) {
      const filled = filledBy(item)
      expect(classes, item.id).toContain(filled.class)
      expect(packings, item.id).toContain(filled.packing)
    }
  })

  it('are pasted with or without a header; what is not understood is named and not taken', () => {
    const text =
      'Dining chair\t4\nOak chest\t1\t2 m x 60 cm x 50 cm\t40 kg\t250 EUR\nLamp\t1.200\n=HYPERLINK("x")\t1'
    const { rows, refused } = pastedLines(text, ITEMS)
    expect(rows).toHaveLength(2)
    expect(rows[1]).toMatchObject({
      item: 'Oak chest',
      length_cm: '200',
      mass_kg: '40',
      value: '250',
      currency: 'EUR',
    })
    expect(refused).toEqual([
      'Lamp: That may be 1.2 or 1200. Write the one you mean.',
      expect.stringContaining('formula'),
    ])
    expect(pastedLines('item\tquantity\troom\nStool\t2\tAttic', ITEMS).rows).toMatchObject([
      { item: 'Stool', quantity: '2', room: 'Attic' },
    ])
  })
})

describe('edits of files', () => {
  const texts: Texts = {
    'household.csv': '# decimal: comma\r\nfact;value;note\r\nname;Us;mine\r\nown_hour_value;2,5;\r\n',
    'scenarios.csv': 'id,We,They\ncover,"none",all-risks\n',
  }
  const edited = (...intents: ((t: Texts) => ReturnType<ReturnType<typeof setFact>>)[]): Texts =>
    intents.reduce((now, intent) => changed(now, intent(now)), texts)

  it('write numbers as the file does, and undo to the same bytes', () => {
    const changes = setFact('own_hour_value', '12.75')(texts)
    expect(changed(texts, changes)['household.csv']).toContain('own_hour_value;12,75;\r\n')
    expect(changed(changed(texts, changes), undoing(changes))).toEqual(texts)
    expect(edited(setFact('own_people', '3'))['household.csv']).toBe(
      `${texts['household.csv']}own_people;3;\r\n`,
    )
  })

  it('make a file with its header when the first line goes into it', () => {
    const rates = edited(addLines('rates.csv', [{ id: 'delay.days', likely: '3' }]))
    expect(rates['rates.csv']).toBe('id,low,likely,high,source\ndelay.days,,3,,\n')
  })

  it('add, copy, rename and drop scenarios', () => {
    expect(scenarioNames(edited(addScenario('Both, then')))).toEqual(['We', 'They', 'Both, then'])
    const copied = edited(addScenario('They too', 'They'), setChoice('They too', 'crew', '4'))
    expect(copied['scenarios.csv']).toBe('id,We,They,They too\ncover,"none",all-risks,all-risks\ncrew,,,4\n')
    expect(edited(setChoice('We', 'crew', '4'), setChoice('We', 'crew', ''))).toEqual(texts)
    expect(scenarioNames(edited(renameScenario('We', 'Us')))).toEqual(['Us', 'They'])
    expect(edited(dropScenario('We'))['scenarios.csv']).toBe('id,They\ncover,all-risks\n')
    expect(() => edited(dropScenario('We'), dropScenario('They'))).toThrow('the last scenario stays')
    expect(() => edited(renameScenario('We', 'They'))).toThrow('there is a scenario “They” already')
  })

  it('find their line again after others have moved it, and say so where it is gone', () => {
    const start: Texts = { 'rates.csv': 'id,likely\na,1\nb,2\n' }
    const intent = setCells('rates.csv', { index: 1, key: 'b' }, { likely: '3' })
    const moved: Texts = { 'rates.csv': 'id,likely\nb,2\na,1\n' }
    expect(changed(moved, intent(moved))['rates.csv']).toBe('id,likely\nb,3\na,1\n')
    expect(changed(start, intent(start))['rates.csv']).toBe('id,likely\na,1\nb,3\n')
    expect(() => intent({ 'rates.csv': 'id,likely\na,1\n' })).toThrow('the line “b” is no longer there')
  })

  it('begin files with columns that the templates have', () => {
    for (const [file, header] of Object.entries(HEADERS)) {
      if (file === 'scenarios.csv') continue
      const template = readFileSync(`data/templates/${file}`, 'utf8').split('\n')[0]?.split(',') ?? []
      for (const column of header.split(',')) expect(template, file).toContain(column)
    }
  })
})

it('knows which cells of a notebook hang on the household', () => {
  const cells = [
    { code: "let household: string = 'x'\nlet set: string[] = []", tags: ['parameters'] },
    {
      code: "import { openHousehold } from 'quaybook'\nconst { move, plans: mine } = await openHousehold(household, set)",
      tags: [],
    },
    { code: 'const a = 1 // mine', tags: [] },
    { code: 'const total = mine[0]', tags: [] },
    { code: "console.log('total', a)", tags: [] },
    { code: 'console.log(total)', tags: [] },
  ]
  expect(movingNames(cells)).toEqual([true, true, false, true, false, true])
})
