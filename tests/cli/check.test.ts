import { execFileSync } from 'node:child_process'
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest'
import { main } from '../../src/cli/main.js'
import { packageRoot } from '../../src/plan/open.js'

let home: string
beforeEach(() => {
  home = join(mkdtempSync(join(tmpdir(), 'quaybook-check-')), 'home')
  cpSync(join(packageRoot, 'data/households/student-tromso-wellington'), home, { recursive: true })
})
afterEach(() => rmSync(join(home, '..'), { recursive: true, force: true }))

async function check(...more: string[]) {
  const lines: string[] = []
  const io = { out: (text: string) => lines.push(text), err: (text: string) => lines.push(text) }
  const code = await main(['check', home, ...more], io)
  const text = lines.join('\n')
  const [, wrong, unlikely, fine] = /(\d+) wrong, (\d+) unlikely, (\d+) cells fine/.exec(text) ?? []
  return { code, text, wrong: Number(wrong), unlikely: Number(unlikely), fine: Number(fine) }
}

const path = (name: string) => join(home, name)
const read = (name: string) => readFileSync(path(name), 'utf8')
const write = (name: string, text: string | Uint8Array) => writeFileSync(path(name), text)

/** Puts a value into a cell of a row whose cells hold no comma, by the name of its column. */
function setCell(name: string, column: string, value: string, row = 3) {
  const lines = read(name).split('\n')
  const at = (lines[0] ?? '').split(',').indexOf(column)
  if (at < 0) throw new Error(`no column ${column} in ${name}`)
  const cells = (lines[row] ?? '').split(',')
  cells[at] = value
  lines[row] = cells.join(',')
  write(name, lines.join('\n'))
}
const setFact = (fact: string, value: string) =>
  write('household.csv', read('household.csv').replace(new RegExp(`^${fact},[^,]*`, 'm'), `${fact},${value}`))
const addRow = (name: string, row: string) => write(name, `${read(name).trimEnd()}\n${row}\n`)

it('ends with three counts, and a household in order has nothing to ask', async () => {
  const found = await check()
  expect(found).toMatchObject({ code: 0, wrong: 0, unlikely: 0 })
  expect(found.fine).toBeGreaterThan(500)
})

it('a column doubled where item_code was meant brings one message, not one for each line without a size', async () => {
  write('inventory.csv', read('inventory.csv').replace('item_code', 'item'))
  const found = await check()
  expect(found).toMatchObject({ code: 2, wrong: 1, unlikely: 0 })
  expect(found.text).toContain('inventory.csv:1: header: found "item", expected each column once.')
})

it('a number that may be thousands is asked about once', async () => {
  write(
    'inventory.csv',
    'line;room;item;quantity;item_code;value;replacement_value\nA-1;Room;Bed;1;bed-single;400;1.400\n',
  )
  const { text } = await check()
  const asked = text.split('\n').filter((line) => line.startsWith('inventory.csv:2: replacement_value:'))
  expect(asked).toHaveLength(1)
  expect(asked[0]).toContain('expected 1.4 or 1400')
})

describe('what is wrong is told once, with what to type', () => {
  test.each<[string, () => void, string]>([
    ['UK is no slip of DK', () => setFact('origin_country', 'UK'), 'Write GB.'],
    [
      'a country by its name',
      () => setFact('origin_country', 'Norwegen'),
      'a country of countries.csv. Write the two letters',
    ],
    ['Y where yes or no is meant', () => setFact('origin_lift', 'Y'), 'Write yes or no.'],
    ['a class that is none', () => setCell('inventory.csv', 'class', 'weapons'), 'Did you mean weapon'],
    ['a class in capitals', () => setCell('inventory.csv', 'class', 'Furniture'), 'Did you mean furniture?'],
    ['a class by what it covers', () => setCell('inventory.csv', 'class', 'drinks'), 'Did you mean alcohol'],
    ['sizes in one cell', () => setCell('inventory.csv', 'volume_m3', '2 m x 1 m'), 'go into length_cm'],
    ['per cent for a share', () => addRow('rates.csv', 'cover.all-risks.rate,,2.5,,,quote'), 'from 0 to 1'],
    ['a share of 100', () => addRow('rates.csv', 'volume.carton-fill,,100,,,mine'), 'from 0 to 1'],
    ['nobody at work', () => setFact('own_people', '0'), 'from 1 to 20'],
    ['two readings of a number', () => setCell('inventory.csv', 'mass_kg', '"1,234"'), 'Write 1234 or 1.234'],
    ['two readings of a date', () => setFact('load_on', '02/03/2027'), 'Write 2027-03-02 or 2027-02-03'],
    ['a figure without end', () => setCell('inventory.csv', 'value', '9'.repeat(20_000)), 'fewer digits'],
    [
      'a control character',
      () => setCell('inventory.csv', 'item', 'Lamp\u0007'),
      'without control characters',
    ],
    ['a total under the table', () => addRow('inventory.csv', 'Total,,,29'), 'totals are worked out'],
    ['a title over it', () => write('inventory.csv', `What we own,,\n\n${read('inventory.csv')}`), 'line 3'],
    ['cells beyond the header', () => addRow('people.csv', `${'x,'.repeat(30)}x`), 'as the header has'],
  ])('%s', async (_, spoil, told) => {
    spoil()
    const found = await check()
    expect(found.code).toBe(2)
    expect(found.text).toContain(told)
    expect(found.text).not.toMatch(/undefined|NaN|\[object|\n\s+at /)
    if (!told.startsWith('as the header')) expect(found.wrong).toBe(1)
  })

  it('a title hides nothing that is wrong under it', async () => {
    setCell('inventory.csv', 'take', 'shp')
    addRow('inventory.csv', 'Total,,,29')
    write('inventory.csv', `What we own,,\n\n${read('inventory.csv')}`)
    const found = await check()
    for (const told of ['line 3', 'Did you mean ship?', 'totals are worked out'])
      expect(found.text).toContain(told)
    expect(found.wrong).toBe(3)
  })

  it('nobody in people.csv is one thing wrong, not one for each thing that somebody owns', async () => {
    write('people.csv', read('people.csv').split('\n')[0] ?? '')
    const found = await check()
    expect(found.text).toContain('at least one person who moves')
    expect(found.wrong).toBe(1)
  })

  it('names that may be written are told whole', async () => {
    addRow('rates.csv', 'cover.premium,,0.02,,,quote')
    const found = await check()
    expect(found.text).toMatch(/Use one of: [a-z0-9., -]+, …/)
    expect(found.text).not.toMatch(/[a-z]…,/)
  })

  it('repeated rates, exchange pairs and scenario inputs, with the line of the first', async () => {
    const rate = 'insured.share,,1.05,,,mine'
    addRow('rates.csv', rate)
    addRow('rates.csv', rate)
    addRow('scenarios.csv', read('scenarios.csv').split('\n')[1] ?? '')
    addRow('exchange.csv', read('exchange.csv').split('\n')[1] ?? '')
    const found = await check()
    expect(found.text.match(/It stands in line \d+ already/g)).toHaveLength(3)
    expect(found.wrong).toBe(3)
  })

  it('takes the rate that stood on the day of the plan, whatever the order of the rows', async () => {
    const [header = '', ...rates] = read('exchange.csv').split('\n')
    // Prices of the tables are in dollars: a rate that turns no amount of the move is no input.
    const first = rates.find((line) => line.startsWith('USD,')) ?? ''
    const [from, to] = first.split(',')
    addRow('exchange.csv', `${from},${to},0.5,2019-01-01,old`)
    addRow('exchange.csv', `${from},${to},0.5,2031-01-01,not yet`)
    expect(header.split(',').slice(0, 4)).toEqual(['from', 'to', 'rate', 'on'])
    const explained: string[] = []
    const io = { out: (text: string) => explained.push(text), err: () => undefined }
    await main(['compare', home, '--inputs'], io)
    const row =
      explained
        .join('\n')
        .split('\n')
        .find((line) => line.includes(`exchange.${from}`)) ?? ''
    expect(row).toContain(first.split(',')[2])
  })

  it('all of all layers in one go: cell, agreement, rate and scenario', async () => {
    setCell('inventory.csv', 'take', 'shp')
    setCell('inventory.csv', 'owner', 'Nobody')
    addRow('rates.csv', 'cost.orign.wage,,20,,,mine')
    addRow('scenarios.csv', 'servce-level,full')
    const found = await check()
    for (const told of ['Did you mean ship?', 'a person of people.csv', 'cost.origin.wage', 'service-level'])
      expect(found.text).toContain(told)
    expect(found.wrong).toBe(4)
  })
})

describe('what is unlikely is asked about', () => {
  test.each<[string, () => void, string]>([
    ['a mass of 5,000 kg', () => setCell('inventory.csv', 'mass_kg', '5000'), 'mass of one piece'],
    ['10,000 of one thing', () => setCell('inventory.csv', 'quantity', '10000'), 'pieces alike'],
    ['a value in the wrong money', () => setCell('inventory.csv', 'value', '9000000'), 'value of one piece'],
    [
      'bought after loading',
      () => setCell('inventory.csv', 'acquired_on', '2062-05-01'),
      'the day of loading',
    ],
    ['a year to the port', () => setFact('import_on', '2028-04-06'), 'days from loading to import'],
    ['an old rate', () => addRow('exchange.csv', 'PLN,NOK,2.7,2019-01-01,'), 'day of an exchange rate'],
    ['a rate off by ten', () => addRow('exchange.csv', 'PLN,NOK,27,2026-11-20,'), 'Look at the point'],
    ['a table nobody reads', () => write('furniture.csv', 'a,b\n1,2\n'), 'a file that is read'],
  ])('%s; and confirmed.csv answers', async (_, spoil, told) => {
    spoil()
    const found = await check()
    expect(found).toMatchObject({ code: 0, wrong: 0 })
    expect(found.unlikely).toBeGreaterThan(0)
    expect(found.text).toContain(told)
    const rows = [...found.text.matchAll(/add to confirmed\.csv: (.*)/g)].map(([, row]) => row)
    write('confirmed.csv', ['file,row,column,found', ...rows].join('\n'))
    expect(await check()).toMatchObject({ code: 0, wrong: 0, unlikely: 0 })
  })

  it('an inventory without a line, and a folder that is still the template', async () => {
    write('inventory.csv', `${read('inventory.csv').split('\n')[0]}\n`)
    write('scenarios.csv', 'id,A\ntransport,groupage\n')
    expect((await check()).text).toContain('the things that move')
    rmSync(home, { recursive: true })
    await main(['new', home], { out: () => undefined, err: () => undefined })
    const found = await check()
    expect(found).toMatchObject({ code: 0, wrong: 0, unlikely: 1 })
    expect(found.text).toContain('inventory.csv')
  })

  it('a point between thousands where semicolons part the cells', async () => {
    write('rates.csv', 'id;low;likely;high;currency;source\nprice.freight.45G1;;1.100;;USD;quote\n')
    const found = await check()
    expect(found.text).toMatch(/1\.1 or 1100/)
    expect(found.wrong).toBe(0)
  })
})

describe('files as people have them', () => {
  test.each<[string, () => void, string]>([
    ['a download twice', () => renameSync(path('scenarios.csv'), path('scenarios (1).csv')), 'scenarios.csv'],
    ['capitals', () => renameSync(path('people.csv'), path('People.csv')), 'Rename it to people.csv'],
    ['a workbook', () => renameSync(path('inventory.csv'), path('inventory.xlsx')), 'save the sheet as'],
    [
      'a folder',
      () => (rmSync(path('rates.csv'), { force: true }), mkdirSync(path('rates.csv'))),
      'a folder',
    ],
    ['a dangling link', () => symlinkSync('/no/such/file', path('quotes.csv')), 'a link to a file'],
    ['a device', () => symlinkSync('/dev/zero', path('quotes.csv')), 'a device'],
    ['a pipe', () => execFileSync('mkfifo', [path('quotes.csv')]), 'a pipe'],
  ])('%s: exit 2, the file named, one message', async (_, spoil, told) => {
    spoil()
    const found = await check()
    expect(found).toMatchObject({ code: 2, wrong: 1 })
    expect(found.text).toContain(told)
  })

  it('a socket: exit 2, the file named', async () => {
    const server = createServer().listen(path('quotes.csv'))
    await new Promise((done) => server.once('listening', done))
    const found = await check()
    server.close()
    expect(found).toMatchObject({ code: 2, wrong: 1 })
    expect(found.text).toContain('quotes.csv:1: file: found "a socket"')
  })

  const utf16 = (text: string, mark: boolean) => Buffer.from(`${mark ? '\uFEFF' : ''}${text}`, 'utf16le')
  test.each<[string, (text: string) => Uint8Array, number, number]>([
    ['UTF-16 with its mark', (text) => utf16(text, true), 0, 1],
    ['UTF-16 without', (text) => utf16(text, false), 0, 1],
    [
      'Windows-1252, sure',
      (text) => Buffer.from(text.replace('item', 'item').replaceAll('ø', 'ö'), 'latin1'),
      0,
      1,
    ],
    ['Windows-1252 or -1250', (text) => Buffer.from(text, 'latin1'), 2, 0],
  ])('%s', async (_, encode, code, asked) => {
    setCell('inventory.csv', 'item', 'Sofa fra Tromsø')
    const lines = read('inventory.csv')
      .normalize('NFKD')
      .replace(/[^\u0020-\u007eø\n]/g, '')
    write('inventory.csv', encode(lines))
    const found = await check()
    expect(found.code).toBe(code)
    if (asked) expect(found.unlikely).toBe(asked)
    else expect(found.text).toMatch(/Tromsø.* or .*Tromsř/)
  })
})

describe('names', () => {
  it('that mean something to the language are as good as any', async () => {
    const [header = '', ...rows] = read('scenarios.csv').split('\n')
    const names = ['id', 'constructor', '__proto__', 'valueOf', '子供']
    write('scenarios.csv', [names.slice(0, header.split(',').length).join(','), ...rows].join('\n'))
    setCell('inventory.csv', 'room', '__proto__')
    setCell('inventory.csv', 'item', 'constructor')
    const lines: string[] = []
    const io = { out: (text: string) => lines.push(text), err: (text: string) => lines.push(text) }
    expect(await main(['compare', home], io)).toBe(0)
    expect(lines.join('\n')).toContain('constructor')
    const out = join(home, '..', 'out')
    expect(await main(['brief', home, '--out', out], io), lines.join('\n')).toBe(0)
    expect(readFileSync(join(out, 'brief.html'), 'utf8')).toContain('constructor')
  })

  it('and texts cannot move the cursor of a terminal', async () => {
    setCell('inventory.csv', 'class', '\u001b[2Jpaint')
    const found = await check()
    expect(found.text).not.toContain('\u001b')
    expect(found.text).toContain('\\u001b')
  })
})

describe('cost and length of messages', () => {
  it('100 wrong ids of 20 kB and 100,000 bad rows: short, few, in seconds', async () => {
    const ids = Array.from({ length: 100 }, (_, i) => `${'x'.repeat(20_000)}${i},,1,,mine`)
    write('rates.csv', ['id,low,likely,high,source', ...ids].join('\n'))
    const [header = '', , , first = ''] = read('inventory.csv').split('\n')
    write(
      'inventory.csv',
      [header, ...Array.from({ length: 100_000 }, () => first.replace(',', ',,'))].join('\n'),
    )
    write('exchange.csv', `#${' '.repeat(200_000)}decimal${' '.repeat(200_000)}\n${read('exchange.csv')}`)
    const started = process.cpuUsage()
    const found = await check()
    const { user, system } = process.cpuUsage(started)
    expect(found.code).toBe(2)
    expect(found.text.length).toBeLessThan(20_000)
    expect(Math.max(...found.text.split('\n').map((line) => line.length))).toBeLessThan(700)
    expect(found.wrong).toBeGreaterThan(100_000)
    expect((user + system) / 1e6).toBeLessThan(20)
  })
})
