import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it, test } from 'vitest'
import type { z } from 'zod'
import { type CsvFile, readGrid } from '../../src/tables/csv.js'
import { readFolder } from '../../src/tables/disk.js'
import { factsOf } from '../../src/tables/fields.js'
import { HOUSEHOLD_FILES, type Household, readHousehold } from '../../src/tables/household.js'
import {
  exchangeColumns,
  householdFacts,
  inventoryColumns,
  personColumns,
  rateColumns,
  serviceColumns,
  vehicleColumns,
} from '../../src/tables/household-columns.js'
import { problemText } from '../../src/tables/problem.js'
import { type Reference, readReference } from '../../src/tables/reference.js'

const root = new URL('../../', import.meta.url).pathname

async function filesOf(folder: string): Promise<readonly CsvFile[]> {
  const read = await readFolder(`${root}${folder}`, folder)
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
  return read.value
}

async function referenceTables(): Promise<Reference> {
  const read = readReference(await filesOf('data/reference'))
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
  return read.value
}

async function householdIn(folder: string): Promise<Household> {
  const read = readHousehold(await filesOf(folder), await referenceTables())
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
  return read.value
}

// Goods classes as data/reference/customs keeps them; a household may use no other.
const classFile = `${root}data/reference/customs/classes.csv`

const demo = 'data/households/valparaiso-gdynia'
const student = 'data/households/student-tromso-wellington'

describe.each([
  'data/households/leeuwarden-nanaimo',
  demo,
  student,
  'data/templates',
  'tests/tables/messy/plain',
  'tests/tables/messy/semicolon',
  'tests/tables/messy/tab',
])('%s', (folder) => {
  it('reads without a problem, and agrees with the reference tables', async () => {
    expect((await householdIn(folder)).inventory.length).toBeGreaterThan(0)
  })

  it('has a dated rate into its currency for USD, EUR and every currency it uses', async () => {
    const { facts, inventory, vehicles, exchange } = await householdIn(folder)
    const used = ['USD', 'EUR', ...[...inventory, ...vehicles].flatMap((row) => row.currency ?? [])]
    const rated = exchange.filter((x) => x.to === facts.currency).map((x) => x.from)
    for (const currency of used) expect([facts.currency, ...rated]).toContain(currency)
    expect(new Set(rated).size).toBe(rated.length)
  })

  it.skipIf(!existsSync(classFile))('names only goods classes that customs tables know', async () => {
    const read = readGrid({ file: 'classes.csv', text: readFileSync(classFile, 'utf8') })
    if (!read.ok) throw new Error('classes.csv is not read')
    const classColumn = Math.max(0, read.value.header.indexOf('id'))
    const known = read.value.rows.map((row) => row.cells[classColumn])
    for (const { class: goods } of (await householdIn(folder)).inventory) expect(known).toContain(goods)
  })

  it('gives no vehicle the mark of an inventory line: both are named take.MARK in a plan', async () => {
    const { inventory, vehicles } = await householdIn(folder)
    const marks = [...inventory.map((row) => row.line), ...vehicles.map((v) => v.vehicle)]
    expect(new Set(marks).size).toBe(marks.length)
  })

  it('offers each size in one way only, so that no two can disagree', async () => {
    for (const row of (await householdIn(folder)).inventory) {
      const ways = [row.item_code, row.volume_m3, row.volume_ft3, row.length_cm].filter(
        (way) => way !== undefined,
      )
      expect(ways, `${row.line} ${row.item}`).toHaveLength(1)
    }
  })
})

describe('the demo household exercises every step', () => {
  it('has a hundred and twenty lines or more over eight rooms or more, and every service', async () => {
    const { inventory, services } = await householdIn(demo)
    expect(inventory.length).toBeGreaterThanOrEqual(120)
    expect(new Set(inventory.map((row) => row.room)).size).toBeGreaterThanOrEqual(8)
    const reference = (await referenceTables()).services.map((row) => row.id)
    expect(services.map((row) => row.service).toSorted()).toEqual(reference.toSorted())
  })

  it('has a student household without a vehicle beside it', async () => {
    const { vehicles, facts } = await householdIn(student)
    expect(vehicles).toEqual([])
    expect(facts.transport).toBe('groupage')
  })

  it('ships things on both sides of six months before leaving, to the day', async () => {
    const { inventory, people } = await householdIn(demo)
    expect(people.map((p) => p.leaves_on)).toContain('2027-03-05')
    const days = inventory.filter((row) => row.take === 'ship').map((row) => row.acquired_on ?? '')
    // Six calendar months before 5 March: 5 September is in time, 6 September a day short.
    expect(days).toContain('2026-09-05')
    expect(days).toContain('2026-09-06')
  })

  it('holds what customs, carriers and plant inspectors ask about', async () => {
    const { inventory, vehicles } = await householdIn(demo)
    const classes = inventory.map((row) => row.class)
    for (const asked of [
      'piano',
      'alcohol',
      'medicine',
      'drone',
      'battery',
      'chemical',
      'weapon',
      'radio',
      'plant',
    ]) {
      expect(classes).toContain(asked)
    }
    const materials = inventory.flatMap((row) => row.material)
    for (const asked of [
      'raw-wood',
      'cane',
      'rosewood',
      'soil',
      'ivory',
      'shell',
      'straw',
      'fur',
      'feather',
      'leather',
    ]) {
      expect(materials).toContain(asked)
    }
    for (const held of ['business', 'gift', 'inherited', 'leased', 'tax-free']) {
      expect(inventory.map((row) => row.held)).toContain(held)
    }
    expect(vehicles.filter((v) => v.kind === 'car' && v.deck && v.take === 'ship')).toHaveLength(1)
  })

  it('never packs dangerous goods: gas, solvents and loose batteries stay or fly by the rules', async () => {
    for (const folder of [demo, student]) {
      const { inventory } = await householdIn(folder)
      const dangerous = inventory.filter((row) => ['battery', 'chemical'].includes(row.class))
      expect(dangerous.length).toBeGreaterThan(0)
      expect(dangerous.filter((row) => row.take === 'ship')).toEqual([])
    }
  })

  it('never insures a thing for less than it would sell for', async () => {
    for (const folder of [demo, student]) {
      for (const row of (await householdIn(folder)).inventory) {
        expect(row.replacement_value?.gte(row.value ?? 0), `${row.line} ${row.item}`).toBe(true)
      }
    }
  })
})

describe('templates', () => {
  const COLUMNS: Readonly<Record<string, z.ZodObject>> = {
    people: personColumns,
    inventory: inventoryColumns,
    exchange: exchangeColumns,
    vehicles: vehicleColumns,
    services: serviceColumns,
    rates: rateColumns,
  }
  const gridOf = (name: string) => {
    const read = readGrid({
      file: `${name}.csv`,
      text: readFileSync(`${root}data/templates/${name}.csv`, 'utf8'),
    })
    if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
    return read.value
  }

  it('are there for every file of a household, and for no other', () => {
    expect(readdirSync(`${root}data/templates`).toSorted()).toEqual(Object.values(HOUSEHOLD_FILES).toSorted())
  })

  test.each(Object.entries(COLUMNS))(
    '%s.csv has the columns of its rows, in their order',
    (name, columns) => {
      expect(gridOf(name).header).toEqual(Object.keys(columns.shape))
    },
  )

  it('household.csv has one row a fact, each with its description', () => {
    const { header, rows } = gridOf('household')
    expect(header).toEqual(['fact', 'value', 'note'])
    const described = Object.entries(householdFacts.shape).map(([fact, field]) => [
      fact,
      factsOf(field).description,
    ])
    expect(rows.map(({ cells: [fact, , note] }) => [fact, note])).toEqual(described)
  })
})

describe('the numbers of the containers', () => {
  // ISO 6346 annex A: CSQU 305438 has the check digit 3.
  const field = householdFacts.shape.container_numbers

  it('are read as doors and papers print them', () => {
    expect(field.parse('csqu 305438-3 | CSQU3054383')).toEqual(['CSQU 305438 3', 'CSQU 305438 3'])
    expect(field.parse('')).toEqual([])
  })

  it('are refused with a wrong character, which is named', () => {
    const read = field.safeParse('CSQU3054384')
    expect(read.error?.issues[0]).toMatchObject({
      message: 'check digit 3, not 4',
      params: { fix: 'CSQU3054384: One character is wrong or two are swapped: compare with the door.' },
    })
  })
})
