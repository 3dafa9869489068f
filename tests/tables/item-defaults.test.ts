import { readdirSync, readFileSync } from 'node:fs'
import { expect, it, test } from 'vitest'
import { readHousehold } from '../../src/tables/household.js'
import { problemText } from '../../src/tables/problem.js'
import { readReference } from '../../src/tables/reference.js'

const root = new URL('../../', import.meta.url).pathname
const filesOf = (folder: string) =>
  readdirSync(`${root}${folder}`)
    .filter((name) => name.endsWith('.csv'))
    .map((name) => ({ file: `${folder}/${name}`, text: readFileSync(`${root}${folder}/${name}`, 'utf8') }))
const reference = readReference(filesOf('data/reference'))
const classes = new Map(
  readFileSync(`${root}data/reference/customs/classes.csv`, 'utf8')
    .trimEnd()
    .split('\n')
    .slice(1)
    .map((row) => [row.split(',')[0] ?? '', { label: '', group: '' }]),
)

/** The template of a household with an inventory of its own. */
function withInventory(...rows: string[]) {
  if (!reference.ok) throw new Error(reference.problems.map(problemText).join('\n'))
  const files = filesOf('data/templates').filter(({ file }) => !/\/(inventory|confirmed)\.csv$/.test(file))
  const text = ['line,room,item,quantity,item_code,volume_m3,class,packing,take', ...rows].join('\n')
  return readHousehold([...files, { file: 'inventory.csv', text }], reference.value, classes)
}

it('takes class and packing of the item where a row leaves them blank, and ships it', () => {
  const read = withInventory(
    '1,Hall,Upright,1,piano-upright,,,,',
    '2,Hall,Rug,1,rug-large,,curtain,wrapped,leave',
  )
  expect(read.ok && read.value.inventory.map((l) => [l.class, l.packing, l.take])).toEqual([
    ['piano', 'wrapped', 'ship'],
    ['curtain', 'wrapped', 'leave'],
  ])
})

it('needs no column that the item table can fill', () => {
  if (!reference.ok) throw new Error()
  const files = filesOf('data/templates').filter(({ file }) => !/\/(inventory|confirmed)\.csv$/.test(file))
  const text = 'line,room,item,quantity,item_code\n1,Kitchen,Fridge,1,fridge-medium\n'
  const read = readHousehold([...files, { file: 'inventory.csv', text }], reference.value, classes)
  expect(read.ok && read.value.inventory[0]).toMatchObject({ class: 'appliance', packing: 'wrapped' })
})

test.each([
  ['1,Hall,Loom,1,,2,,wrapped,', ['inventory.csv:2: class']],
  ['1,Hall,Loom,1,,2,other,,', ['inventory.csv:2: packing']],
  ['1,Hall,Loom,1,,2,,,', ['inventory.csv:2: class', 'inventory.csv:2: packing']],
  ['1,Hall,Loom,1,lom,2,,,', ['inventory.csv:2: item_code']],
])('%s: %j', (row, expected) => {
  const read = withInventory(row)
  const told = read.ok ? [] : read.problems.map(({ file, line, column }) => `${file}:${line}: ${column}`)
  expect(told).toEqual(expected)
})

it('gives every item a goods class and a packing that are known', () => {
  if (!reference.ok) throw new Error()
  const { items, cartons } = reference.value
  const packings = new Set(['none', 'wrapped', 'crated', ...cartons.map(({ id }) => id)])
  expect(items.filter((item) => !classes.has(item.class)).map(({ id }) => id)).toEqual([])
  expect(items.filter((item) => !packings.has(item.packing)).map(({ id }) => id)).toEqual([])
})

it('says of a column too many in a full table that it is to be taken away', () => {
  const files = filesOf('data/reference').map((csv) =>
    csv.file.endsWith('/perils.csv') ? { ...csv, text: csv.text.replace(/^[^\n]*/, '$&,extra') } : csv,
  )
  const read = readReference(files)
  expect(read.ok ? [] : read.problems[0]).toMatchObject({ found: 'extra', fix: 'Take it away.' })
})
