import { chargeableUnits, crewBill, crewHours, moversHour } from '../../../src/cost/index.js'
import { premium } from '../../../src/insurance/index.js'
import type { Arithmetic, Num } from '../../../src/quantity/index.js'
import { containersNeeded } from '../../../src/stowage/index.js'
import { cartonCount, packedM3 } from '../../../src/volume/index.js'

/** A household as figures: lines of inventory, each in one of ten rooms; every second one goes into cartons. */
export interface House {
  readonly quantity: Float64Array
  readonly volume: Float64Array
  readonly value: Float64Array
}

export function house(lines: number): House {
  const of = (f: (k: number) => number): Float64Array => Float64Array.from({ length: lines }, (_, k) => f(k))
  return {
    quantity: of((k) => 1 + (k % 3)),
    volume: of((k) => Math.round(20 + ((k * 37) % 90) * (150 / lines)) / 100),
    value: of((k) => 20 + ((k * 53) % 400)),
  }
}

/** The twelve inputs that every scenario changes, with low and high. */
export const changed: readonly (readonly [string, number, number])[] = [
  ['wrap', 1.05, 1.2],
  ['fill', 0.75, 0.95],
  ['density', 100, 125],
  ['pack-speed', 30, 60],
  ['load-speed', 400, 700],
  ['wage', 12, 40],
  ['billing', 1.3, 1.9],
  ['box-price', 3000, 5000],
  ['share', 0.75, 0.9],
  ['unit-price', 120, 220],
  ['cover-rate', 0.015, 0.045],
  ['fuel', 0.05, 0.2],
]

/** A plan of the model's own formulas: volume by room, containers or share of one, crews, freight, premium, total. */
export function plan<N extends Num<N>>(
  m: Arithmetic<N>,
  goods: House,
  input: (id: string) => N,
): Map<string, N> {
  const rooms = Array.from({ length: 10 }, () => ({ loose: [] as N[], wrapped: [] as N[] }))
  const values: N[] = []
  goods.quantity.forEach((quantity, k) => {
    const net = m.of(quantity).times(m.of(goods.volume[k] ?? 0))
    const room = rooms[k % 10]
    if (k % 20 < 10) room?.loose.push(net)
    else room?.wrapped.push(packedM3(net, input('wrap')))
    values.push(m.of(quantity).times(m.of(goods.value[k] ?? 0)))
  })
  const outer = m.of('0.085')
  const packed = rooms.map(({ loose, wrapped }) => {
    const net = m.sum(loose)
    const size = { outerM3: outer, fill: input('fill'), contentLimitKg: m.of('29.48') }
    return cartonCount(m, net, net.times(input('density')), size)
      .times(outer)
      .plus(m.sum(wrapped))
  })
  const volume = m.sum(packed)
  const kg = volume.times(input('density'))
  const space = m.of('76.35').times(input('share'))
  const boxes = containersNeeded(m, volume, space, space, kg, m.of(26_000))
  const units = chargeableUnits(m, volume, kg, m.of(1000), m.of(1))
  const hourly = moversHour(input('wage').times(m.of('0.8')), input('billing'))
  const packing = m.round(
    crewBill(
      m,
      crewHours(volume.times(m.of('35.3147')), input('pack-speed'), m.of('1.35')),
      m.of(2),
      m.of(3),
      hourly,
    ),
    2,
  )
  const loading = m.round(
    crewBill(m, crewHours(kg, input('load-speed'), m.of('1.2')), m.of(2), m.of(3), hourly),
    2,
  )
  const freight = m.round(m.min(boxes.times(input('box-price')), units.times(input('unit-price'))), 2)
  const fuel = m.round(freight.times(input('fuel')), 2)
  const cover = m.round(premium(m, m.sum(values), input('cover-rate'), m.of(150)), 2)
  return new Map([
    ['volume', volume],
    ['boxes', boxes],
    ['packing', packing],
    ['loading', loading],
    ['freight', freight],
    ['fuel', fuel],
    ['cover', cover],
    ['total', m.sum([packing, loading, freight, fuel, cover])],
  ])
}

/**
 * The same by hand in plain float64, with no care for edges: one loop a scenario over every line, or, `summed`, with
 * the sums that no input changes taken beforehand by a thoughtful programmer. Writes eight columns.
 */
export function loops(
  goods: House,
  x: readonly Float64Array[],
  n: number,
  out: readonly Float64Array[],
  summed: boolean,
): void {
  const lines = goods.quantity.length
  const loose = new Float64Array(10)
  const wrapped = new Float64Array(10)
  const cent = (v: number): number => Math.round(v * 100) / 100
  const [
    wrap,
    fill,
    density,
    packSpeed,
    loadSpeed,
    wage,
    billing,
    boxPrice,
    share,
    unitPrice,
    rate,
    fuelShare,
  ] = x
  let value = 0
  const gather = (w: number): void => {
    loose.fill(0)
    wrapped.fill(0)
    value = 0
    for (let k = 0; k < lines; k++) {
      const quantity = goods.quantity[k] as number
      const net = quantity * (goods.volume[k] as number)
      if (k % 20 < 10) loose[k % 10] = (loose[k % 10] as number) + net
      else wrapped[k % 10] = (wrapped[k % 10] as number) + net * w
      value += quantity * (goods.value[k] as number)
    }
  }
  if (summed) gather(1)
  for (let i = 0; i < n; i++) {
    const w = (wrap as Float64Array)[i] as number
    if (!summed) gather(w)
    finish(i, loose, wrapped, summed ? w : 1, value)
  }
  function finish(i: number, looseM3: Float64Array, wrappedM3: Float64Array, w: number, value: number): void {
    const at = (column: Float64Array | undefined): number => (column as Float64Array)[i] as number
    let volume = 0
    for (let r = 0; r < 10; r++) {
      const net = looseM3[r] as number
      const cartons = Math.max(Math.ceil(net / (0.085 * at(fill))), Math.ceil((net * at(density)) / 29.48))
      volume += cartons * 0.085 + (wrappedM3[r] as number) * w
    }
    const kg = volume * at(density)
    const space = 76.35 * at(share)
    const boxes = Math.max(1 + Math.ceil(Math.max(0, volume - space) / space), Math.ceil(kg / 26_000))
    const units = Math.max(volume, kg / 1000, 1)
    const hourly = at(wage) * 0.8 * at(billing)
    const packHours = ((volume * 35.3147) / at(packSpeed)) * 1.35
    const loadHours = (kg / at(loadSpeed)) * 1.2
    const packing = cent((packHours <= 0 ? 0 : Math.max(packHours, 2)) * 3 * hourly)
    const loading = cent((loadHours <= 0 ? 0 : Math.max(loadHours, 2)) * 3 * hourly)
    const freight = cent(Math.min(boxes * at(boxPrice), units * at(unitPrice)))
    const fuel = cent(freight * at(fuelShare))
    const cover = cent(value <= 0 ? 0 : Math.max(value * at(rate), 150))
    const results = [volume, boxes, packing, loading, freight, fuel, cover]
    let total = 0
    for (let k = 0; k < 7; k++) {
      const result = results[k] as number
      ;(out[k] as Float64Array)[i] = result
      if (k > 1) total += result
    }
    ;(out[7] as Float64Array)[i] = total
  }
}
