import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const FACTS: Readonly<Record<string, string>> = {
  name: 'Loft and hangar',
  currency: 'USD',
  as_of: '2026-11-25',
  origin_country: 'US',
  origin_place: 'Old town',
  destination_country: 'NO',
  destination_place: 'New town',
  origin_floor: '0',
  origin_lift: 'no',
  origin_carry_m: '15',
  destination_floor: '0',
  destination_lift: 'no',
  destination_carry_m: '15',
  load_on: '2027-03-02',
  import_on: '2027-04-20',
  transport: '22G1',
  service_level: 'full',
  cover: 'none',
  pallets: 'no',
  loss_tolerance: '3000',
  own_people: '2',
  own_hour_value: '0',
  storage_months: '0',
  delay_days: '0',
  origin_street: 'stand',
  origin_permit: 'no',
  destination_street: 'stand',
  destination_permit: 'no',
}
const LINES = [
  'line,room,item,quantity,volume_m3,mass_kg,value,replacement_value,acquired_on,condition,consignment,class,packing,take,import_on',
  'L-1,Loft,Oak table,1,1.2,40,1000,2000,2022-05-01,good,,furniture,wrapped,ship,',
  'L-2,Loft,Kitchen cartons,20,0.07,11,50,80,2022-05-01,good,,kitchenware,medium,ship,',
]

/** What a case writes down beside two things in the container. */
export interface Given {
  readonly lines: readonly string[]
  readonly consignments?: readonly string[]
  readonly facts?: Readonly<Record<string, string>>
  readonly exchange?: readonly string[]
  readonly people?: string
}

/** A folder with a household of our own making, which moves from the United States to Norway unless told otherwise. */
export function writtenHousehold({ lines, consignments = [], facts = {}, exchange = [], people }: Given) {
  const folder = mkdtempSync(join(tmpdir(), 'consignments-'))
  const write = (name: string, rows: readonly string[]) =>
    writeFileSync(join(folder, `${name}.csv`), `${rows.join('\n')}\n`)
  write('household', [
    'fact,value,note',
    ...Object.entries({ ...FACTS, ...facts }).map(([f, v]) => `${f},${v},`),
  ])
  write('people', [
    'person,status,adult,abroad_since,leaves_on,arrives_on,permit_months',
    people ?? 'A,settler,yes,2010-01-01,2027-03-03,2027-03-06,48',
  ])
  write('inventory', [...LINES, ...lines])
  write('exchange', [
    'from,to,rate,on,source',
    'NOK,USD,0.1,2026-11-20,invented',
    'EUR,USD,1.16,2026-11-20,invented',
    ...exchange,
  ])
  if (consignments.length > 0)
    write('consignments', ['consignment,by,import_on,freight,insurance,inland,currency', ...consignments])
  return folder
}
