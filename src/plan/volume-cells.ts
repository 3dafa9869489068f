import type { Num } from '../quantity/arithmetic.js'
import { kgPerM3FromLbPerFt3, m3FromFt3 } from '../quantity/units.js'
import { cartonCount } from '../volume/cartons.js'
import { boxM3, packedM3 } from '../volume/line-volume.js'
import type { PlanContext } from './plan-context.js'
import { roomId } from './rooms.js'

interface RoomTotals<N> {
  readonly name: string
  readonly net: N[]
  readonly packed: N[]
  readonly mass: N[]
  readonly loose: Map<string, { readonly net: N[]; readonly mass: N[] }>
}

/**
 * The household's volume and mass: each line's net volume, then what it is when packed, by room and in all.
 * Loose goods of one room that go into the same size of carton are packed together.
 */
export function volumeCells<N extends Num<N>>(context: PlanContext<N>): void {
  const { ledger, reference } = context
  const { m } = ledger
  const rooms = new Map<string, RoomTotals<N>>()
  const toPack: N[] = []
  const crated: N[] = []
  const inCartons: N[] = []
  const cartonTotals = new Map<string, N[]>()
  const count = (carton: string, cartons: N) => {
    const counts = cartonTotals.get(carton)
    if (counts) counts.push(cartons)
    else cartonTotals.set(carton, [cartons])
  }

  for (const line of context.shipment.lines) {
    const id = `line.${line.line}`
    const quantity = ledger.input(`${id}.quantity`)
    const roomPart = roomId(context.household, line.room)
    // What a survey overlooks is more things, so that mass goes with volume.
    const asFound = quantity.times(ledger.input(`survey.room.${roomPart}`))
    const net = ledger.put(
      `volume.${id}.net`,
      `${line.item}: net volume`,
      'm3',
      asFound.times(volumeOfOne(context, line)),
    )
    const mass = ledger.put(`mass.${id}`, `${line.item}: mass`, 'kg', massOf(context, line, asFound, net))
    const room: RoomTotals<N> = rooms.get(roomPart) ?? {
      name: line.room,
      net: [],
      packed: [],
      mass: [],
      loose: new Map(),
    }
    rooms.set(roomPart, room)
    room.net.push(net)
    room.mass.push(mass)
    if (line.packing !== 'none') toPack.push(net)
    const carton = reference.cartons.find((c) => c.id === line.packing)
    if (carton?.holds === 'one') {
      room.packed.push(
        ledger.put(
          `volume.${id}.packed`,
          `${line.item}: packed volume`,
          'm3',
          m.max(net, quantity.times(ledger.input(`carton.${carton.id}.volume`))),
        ),
      )
      inCartons.push(net)
      count(carton.id, quantity)
    } else if (carton) {
      const loose = room.loose.get(carton.id) ?? { net: [], mass: [] }
      room.loose.set(carton.id, loose)
      loose.net.push(net)
      loose.mass.push(mass)
      inCartons.push(net)
    } else {
      if (line.packing === 'crated') crated.push(net)
      const packed = packedM3(net, ledger.input(`volume.wrap.${line.packing}`))
      room.packed.push(ledger.put(`volume.${id}.packed`, `${line.item}: packed volume`, 'm3', packed))
    }
  }

  const fill = ledger.input('volume.carton-fill')
  for (const [room, totals] of rooms) {
    for (const [carton, loose] of totals.loose) {
      const outerM3 = ledger.input(`carton.${carton}.volume`)
      const size = { outerM3, fill, contentLimitKg: ledger.input(`carton.${carton}.limit`) }
      const label = reference.cartons.find((c) => c.id === carton)?.label ?? carton
      const cartons = ledger.put(
        `cartons.${room}.${carton}`,
        `${totals.name}: ${label}`,
        'carton',
        cartonCount(m, m.sum(loose.net), m.sum(loose.mass), size),
      )
      totals.packed.push(
        ledger.put(
          `volume.cartons.${room}.${carton}`,
          `${totals.name}: ${label}, outside volume`,
          'm3',
          cartons.times(outerM3),
        ),
      )
      count(carton, cartons)
    }
    ledger.put(`volume.room.${room}.net`, `${totals.name}: net volume`, 'm3', m.sum(totals.net))
    ledger.put(`volume.room.${room}.packed`, `${totals.name}: packed volume`, 'm3', m.sum(totals.packed))
    ledger.put(`mass.room.${room}`, `${totals.name}: mass`, 'kg', m.sum(totals.mass))
  }
  for (const [carton, counts] of cartonTotals) {
    const label = reference.cartons.find((c) => c.id === carton)?.label ?? carton
    ledger.put(`cartons.${carton}`, label, 'carton', m.sum(counts))
  }
  const ids = [...rooms.keys()]
  ledger.put(
    'cartons.total',
    'Cartons in all',
    'carton',
    m.sum([...cartonTotals.keys()].map((carton) => ledger.get(`cartons.${carton}`))),
  )
  ledger.put(
    'volume.net',
    'Net volume of the household',
    'm3',
    m.sum(ids.map((room) => ledger.get(`volume.room.${room}.net`))),
  )
  ledger.put(
    'volume.packed',
    'Packed volume of the household',
    'm3',
    m.sum(ids.map((room) => ledger.get(`volume.room.${room}.packed`))),
  )
  ledger.put('volume.to-pack', 'Net volume that is wrapped or put in cartons', 'm3', m.sum(toPack))
  ledger.put('volume.in-cartons', 'Net volume that is unpacked from cartons', 'm3', m.sum(inCartons))
  ledger.put('volume.crated', 'Net volume that is crated', 'm3', m.sum(crated))
  ledger.put(
    'mass.goods',
    'Mass of the goods',
    'kg',
    m.sum(ids.map((room) => ledger.get(`mass.room.${room}`))),
  )
  ledger.put(
    'mass.packing',
    'Mass of packing and dunnage',
    'kg',
    ledger.get('mass.goods').times(ledger.input('mass.packing-share')),
  )
  ledger.put(
    'mass.vehicles',
    'Mass of the vehicles',
    'kg',
    m.sum(context.shipment.vehicles.map((v) => ledger.input(`vehicle.${v.vehicle}.mass`))),
  )
}

type Line = PlanContext<never>['shipment']['lines'][number]

/**
 * Volume of one piece, m³: as the household measured it, else the stow cube of the item table, else the box of
 * its sides. A stow cube and a bounding box are different measures; the box is used only where nothing else is known.
 */
function volumeOfOne<N extends Num<N>>({ ledger }: PlanContext<N>, line: Line): N {
  const { m } = ledger
  const id = `line.${line.line}`
  if (line.volume_m3) return ledger.input(`${id}.volume`)
  if (line.volume_ft3) return m3FromFt3(m, ledger.input(`${id}.volume`))
  if (line.item_code) return m3FromFt3(m, ledger.input(`item.${line.item_code}.cube`))
  return boxM3(m, ledger.input(`${id}.length`), ledger.input(`${id}.width`), ledger.input(`${id}.height`))
}

/** Mass of a line, kg: as given, else of the item table, else by the published density of household goods. */
function massOf<N extends Num<N>>({ ledger }: PlanContext<N>, line: Line, quantity: N, netM3: N): N {
  if (line.mass_kg) return quantity.times(ledger.input(`line.${line.line}.mass`))
  if (line.item_code) return quantity.times(ledger.input(`item.${line.item_code}.mass`))
  return netM3.times(kgPerM3FromLbPerFt3(ledger.m, ledger.input('density.household')))
}
