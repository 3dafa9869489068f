import { readdirSync, readFileSync } from 'node:fs'
import { type Move, type Plan, planOf, readMoveWith, readReferences } from '../../src/plan/move.js'
import type { References } from '../../src/plan/plan-context.js'

const root = new URL('../../data/reference/', import.meta.url)
const csvIn = (folder: URL) =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.csv'))
    .map((file) => ({ file, text: readFileSync(new URL(file, folder), 'utf8') }))

let kept: References | undefined
function references(more?: TradeMove['more']): References {
  if (kept && !more) return kept
  const read = readReferences(
    csvIn(root).map(({ file, text }) => ({
      file,
      text:
        file === 'services.csv' && more
          ? `${text}${more.service}\n`
          : file === 'service-levels.csv' && more
            ? `${text}${more.level}\n`
            : text,
    })),
    csvIn(new URL('customs/', root)),
  )
  if (!read.ok) throw new Error(JSON.stringify(read.problems, null, 1))
  if (!more) kept = read.value
  return read.value
}

/** How full a home is: what goes into one high cube, or into one 20-foot container. */
const HOMES = {
  'high cube': { mediumCartons: 120, bookCartons: 50, dishPacks: 25, furnitureM3: 37, pieces: 14 },
  '20-foot': { mediumCartons: 50, bookCartons: 20, dishPacks: 10, furnitureM3: 15, pieces: 7 },
} as const

/** A move of our own making: invented homes and places, for the build-up of the bill only. */
export interface TradeMove {
  readonly name: string
  readonly home: keyof typeof HOMES
  readonly from: string
  readonly to: string
  readonly facts?: Readonly<Record<string, string>>
  readonly rates?: readonly string[]
  readonly quotes?: readonly string[]
  readonly services?: readonly string[]
  /** Rows put at the end of services.csv and service-levels.csv of the reference tables. */
  readonly more?: { readonly service: string; readonly level: string }
  /** Units of US dollars one unit of the money of each end is worth. */
  readonly exchange: Readonly<Record<string, string>>
}

const INVENTORY =
  'line,room,item,quantity,item_code,volume_m3,volume_ft3,length_cm,width_cm,height_cm,mass_kg,value,replacement_value,currency,acquired_on,owner,held,class,material,packing,handling,take,serial,condition,note'

const line = (
  id: string,
  item: string,
  count: number,
  m3: number,
  kg: number,
  worth: number,
  packing: string,
) =>
  `${id},Rooms,${item},${count},,${m3},,,,,${kg},${worth},${2 * worth},,2022-05-01,A,own,furniture,,${packing},,ship,,good,`

function filesOf({ home, from, to, facts = {}, rates = [], quotes, services, exchange }: TradeMove) {
  const size = HOMES[home]
  const each = size.furnitureM3 / size.pieces
  const inventory = [
    INVENTORY,
    line('L-1', 'Kitchen and hall things', size.mediumCartons, 0.07, 11, 40, 'medium'),
    line('L-2', 'Books', size.bookCartons, 0.035, 15, 30, 'book'),
    line('L-3', 'China', size.dishPacks, 0.12, 20, 80, 'dish-pack'),
    line('L-4', 'Furniture', size.pieces, each, each * 90, 450, 'wrapped'),
  ]
  const usual: Readonly<Record<string, string>> = {
    name: 'A home of the trade tests',
    currency: 'USD',
    as_of: '2026-11-25',
    origin_country: from,
    origin_place: 'Old town',
    destination_country: to,
    destination_place: 'New town',
    origin_floor: '0',
    origin_lift: 'no',
    origin_carry_m: '15',
    destination_floor: '0',
    destination_lift: 'no',
    destination_carry_m: '15',
    load_on: '2027-03-02',
    import_on: '2027-04-10',
    transport: home === 'high cube' ? '45G1' : '22G1',
    service_level: 'full',
    cover: 'all-risks',
    pallets: 'no',
    loss_tolerance: '3000',
    own_people: '4',
    own_hour_value: '0',
    storage_months: '0',
    delay_days: '2',
    origin_street: 'stand',
    origin_permit: 'no',
    destination_street: 'stand',
    destination_permit: 'no',
    ...facts,
  }
  const file = (name: string, rows: readonly string[]) => ({
    file: `${name}.csv`,
    text: `${rows.join('\n')}\n`,
  })
  return [
    file('household', ['fact,value,note', ...Object.entries(usual).map(([fact, v]) => `${fact},${v},`)]),
    file('people', [
      'person,status,adult,abroad_since,leaves_on,arrives_on,first_arrival_on,permit_months,nationality,note',
      'A,settler,yes,2010-01-01,2027-03-03,2027-03-06,,,,',
    ]),
    file('inventory', inventory),
    file('exchange', [
      'from,to,rate,on,source',
      ...Object.entries(exchange).map(([c, rate]) => `${c},USD,${rate},2026-11-20,invented`),
    ]),
    file('rates', ['id,low,likely,high,currency,source', ...rates]),
    ...(quotes ? [file('quotes', ['quote,volume_m3,services,price,currency,note', ...quotes])] : []),
    ...(services ? [file('services', ['service,provider,friends,hired,note', ...services])] : []),
  ]
}

/** Reads a move; its problems where it is refused. */
export const readTradeMove = (move: TradeMove) => readMoveWith(references(move.more), filesOf(move))

export function openTradeMove(move: TradeMove): Move {
  const read = readTradeMove(move)
  if (!read.ok) throw new Error(JSON.stringify(read.problems, null, 1))
  return read.value
}

export function planAt(move: Move, changes: Readonly<Record<string, string>>): Plan {
  const plan = planOf(
    move,
    'trade',
    Object.entries(changes).map(([id, to]) => ({ id, value: to })),
  )
  if (!plan.ok) throw new Error(JSON.stringify(plan.problems, null, 1))
  return plan.value
}

export function usd(plan: Plan, ...ids: readonly string[]): number {
  return ids.reduce((sum, id) => {
    const cell = plan.sheet.cells.get(id)
    if (!cell) throw new Error(`no cell ${id}`)
    return sum + cell.value.toNumber()
  }, 0)
}

/** Six moves: high and low wages, 20-foot and high cube, an island, a blocked port, a way home after a year. */
export const MOVES: readonly TradeMove[] = [
  {
    name: 'high wage, 20-foot: Norway to New Zealand',
    home: '20-foot',
    from: 'NO',
    to: 'NZ',
    exchange: { NOK: '0.099', NZD: '0.57', EUR: '1.16' },
  },
  {
    name: 'high wage, high cube: United States to South Africa',
    home: 'high cube',
    from: 'US',
    to: 'ZA',
    exchange: { ZAR: '0.055', EUR: '1.16' },
  },
  {
    name: 'low wage, high cube: Philippines to Germany',
    home: 'high cube',
    from: 'PH',
    to: 'DE',
    exchange: { PHP: '0.017', EUR: '1.16' },
  },
  {
    name: 'island with dear materials, 20-foot: Jamaica to the United Kingdom',
    home: '20-foot',
    from: 'JM',
    to: 'GB',
    rates: ['price.materials,30,38,48,USD,what the one shop of the island asks'],
    exchange: { JMD: '0.0062', GBP: '1.31', EUR: '1.16' },
  },
  {
    name: 'port with 75 days of delay, high cube: Germany to Kenya',
    home: 'high cube',
    from: 'DE',
    to: 'KE',
    facts: { delay_days: '69' },
    exchange: { KES: '0.0077', EUR: '1.16' },
  },
  {
    name: 'return home after a year, high cube: New Zealand to the United States',
    home: 'high cube',
    from: 'NZ',
    to: 'US',
    exchange: { NZD: '0.57', EUR: '1.16' },
  },
]
