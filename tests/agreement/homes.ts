import { join } from 'node:path'
import { type Move, type References, readMoveWith, readReferences } from '../../src/plan/index.js'
import { packageRoot } from '../../src/plan/open.js'
import type { CsvFile } from '../../src/tables/csv.js'
import { readFolder } from '../../src/tables/disk.js'
import { problemText } from '../../src/tables/problem.js'
import { value } from '../plan/households.js'

/** The package's reference tables, read once for all homes of a test. */
export async function references(): Promise<References> {
  const tables = value(await readFolder(join(packageRoot, 'data', 'reference')))
  const customs = value(await readFolder(join(packageRoot, 'data', 'reference', 'customs')))
  return value(readReferences(tables, customs))
}

/** Numbers that come again with the same seed: Park and Miller's minimal generator. */
export function numbers(seed: number): (below: number) => number {
  let state = (seed * 2_147_483 + 11) % 2_147_483_647
  return (below) => {
    state = (state * 16_807) % 2_147_483_647
    return Math.floor((state / 2_147_483_647) * below)
  }
}

const WAYS: readonly (readonly [from: string, to: string])[] = [
  ['DE', 'US'],
  ['GB', 'AU'],
  ['US', 'FR'],
  ['NZ', 'NL'],
  ['SE', 'CA'],
  ['ES', 'CL'],
  ['IE', 'NZ'],
]

/** A made-up home as files: 8 to 40 lines of the item table, one or two people, with and without a car. */
export function homeOf(reference: References, seed: number): Move {
  const next = numbers(seed)
  const [from, to] = WAYS[next(WAYS.length)] ?? ['DE', 'US']
  const items = reference.items
  const lines = Array.from({ length: 8 + next(33) }, (_, i) => {
    const item = items[next(items.length)]
    const room = ['Hall', 'Kitchen', 'Bedroom', 'Attic'][next(4)]
    const worth = 20 + next(900)
    return `L-${i + 1},${room},${item?.id ?? ''},${1 + next(3)},${item?.id ?? ''},${worth},${worth * 2},2022-0${1 + next(8)}-10,P,furniture,wrapped,ship`
  })
  const car = next(3) === 0
  const currencies = new Set(['USD', 'EUR', 'GBP', ...reference.currencies.map(({ code }) => code)])
  currencies.delete('EUR')
  const text: Readonly<Record<string, string>> = {
    'household.csv': [
      'fact,value',
      `name,Home ${seed}`,
      'currency,EUR',
      'as_of,2026-11-25',
      `origin_country,${from}`,
      'origin_place,Old town',
      `destination_country,${to}`,
      'destination_place,New town',
      `origin_floor,${next(4)}`,
      'origin_lift,no',
      `origin_carry_m,${next(60)}`,
      `destination_floor,${next(3)}`,
      'destination_lift,no',
      `destination_carry_m,${next(40)}`,
      'load_on,2027-03-01',
      `import_on,2027-0${4 + next(2)}-1${next(9)}`,
      'transport,cheapest',
      'service_level,own',
      'cover,advised',
      'pallets,no',
      `loss_tolerance,${1000 + next(9000)}`,
      `own_people,${1 + next(3)}`,
      `own_hour_value,${next(20)}`,
      'storage_months,0',
      `delay_days,${next(12)}`,
    ].join('\n'),
    'people.csv': [
      'person,status,adult,abroad_since,leaves_on,arrives_on',
      'P,settler,yes,2015-05-01,2027-03-03,2027-03-05',
      ...(next(2) === 0 ? ['Q,settler,yes,2026-08-01,2027-03-03,2027-03-05'] : []),
    ].join('\n'),
    'inventory.csv': [
      'line,room,item,quantity,item_code,value,replacement_value,acquired_on,owner,class,packing,take',
      ...lines,
    ].join('\n'),
    'vehicles.csv': [
      'vehicle,label,kind,class,powertrain,steering,value,replacement_value,acquired_on,made_on,owner,held,deck,take',
      ...(car
        ? ['V-1,Family car,car,compact,petrol,left,9000,14000,2021-02-01,2019-06-01,P,own,no,ship']
        : []),
    ].join('\n'),
    'services.csv': 'service,provider\npacking,self',
    'scenarios.csv': [
      'id,By ourselves,With movers',
      'service-level,diy,full',
      'cover,advised,advised',
      'transport,cheapest,cheapest',
    ].join('\n'),
    // Amounts are invented; what is tested is that every page says the same.
    'exchange.csv': [
      'from,to,rate,on,source',
      ...[...currencies].map((code) => `${code},EUR,${code === 'USD' ? '0.92' : '0.5'},2026-11-20,invented`),
    ].join('\n'),
    'rates.csv': 'id,low,likely,high,currency,source',
    'quotes.csv': 'quote,services,price,volume_m3,currency',
  }
  const files = Object.entries(text).map(([file, content]): CsvFile => ({ file, text: `${content}\n` }))
  const read = readMoveWith(reference, files)
  if (read.ok) return read.value
  throw new Error(read.problems.map(problemText).join('\n'))
}
