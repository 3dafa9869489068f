import type { Arithmetic, Num } from '../../../src/quantity/index.js'
import type { House } from './house.js'

/** The twelve inputs that every scenario changes, with low and high. */
export const changed: readonly (readonly [string, number, number])[] = [
  ['survey', 0.5, 1.5],
  ['density', 100, 160],
  ['usable', 0.7, 0.9],
  ['box-20', 2000, 3500],
  ['box-40', 3000, 5500],
  ['box-40-high', 3100, 5600],
  ['share-price', 90, 220],
  ['haulage', 2, 6],
  ['shuttle', 300, 900],
  ['wage', 15, 60],
  ['duty', 0, 0.06],
  ['broker', 80, 400],
]

/** The containers: room in m³, payload in kg, length in m. A lorry longer than `reach` stays off the lane of the house. */
const boxes = [
  { id: 'box-20', room: 33, payload: 21_700, length: 6.1 },
  { id: 'box-40', room: 67, payload: 26_500, length: 12.2 },
  { id: 'box-40-high', room: 76, payload: 26_400, length: 12.2 },
] as const
const reach = 9
const km = 140
const ownHours = 9
const never = 1e12
/** What of the goods goes: a flat's worth of the 200 m³ that the other rivals move. */
const goes = 0.2

/** What comes out of a scenario: the carriage taken (4 is a share of a container), who declares (2 is a broker), the bill. */
export const results = ['carriage', 'importer', 'freight', 'total'] as const

/**
 * A plan that decides as the model's own plans do, in whatever arithmetic: three containers and a share side by side,
 * each with who declares at least cost and with a shuttle where its lorry does not reach the door; the cheapest whole
 * that takes everything is taken.
 */
export function plan<N extends Num<N>>(
  m: Arithmetic<N>,
  { quantity, volume, value }: House,
  input: (id: string) => N,
): Map<string, N> {
  const nets = [...quantity].map((q, k) =>
    m
      .of(q)
      .times(m.of(volume[k] ?? 0))
      .times(m.of(goes)),
  )
  const m3 = m.sum(nets.map((net) => net.times(input('survey'))))
  const kg = m3.times(input('density'))
  const worth = m.sum([...quantity].map((q, k) => m.of(q).times(m.of(value[k] ?? 0))))
  const [zero, one, two] = [m.of(0), m.of(1), m.of(2)]
  const carriages = [
    ...boxes.map(({ id, room, payload, length }) => {
      const fits = m.choose(
        m.of(room).times(input('usable')),
        m3,
        m.choose(m.of(payload), kg, one, zero),
        zero,
      )
      const door = m.choose(m.of(reach), m.of(length), zero, m.ceil(m3.div(m.of(18))).times(input('shuttle')))
      return { freight: m.round(input(id).plus(input('haulage').times(m.of(km))), 2), door, fits }
    }),
    {
      freight: m.round(m.max(m3, kg.div(m.of(500))).times(input('share-price')), 2),
      door: zero,
      fits: one,
    },
  ]
  const ways = carriages.map(({ freight, door, fits }) => {
    const own = m.round(
      worth
        .plus(freight)
        .times(input('duty'))
        .plus(input('wage').times(m.of(ownHours))),
      2,
    )
    const broker = m.round(worth.times(input('duty')).plus(input('broker')), 2)
    const importer = m.choose(broker, own, one, two)
    const total = m.sum([freight, m.round(door, 2), m.min(own, broker)])
    return { importer, freight, total, asked: total.plus(one.minus(fits).times(m.of(never))) }
  })
  let taken = one
  let [least] = ways.map(({ asked }) => asked) as [N]
  ways.slice(1).forEach(({ asked }, i) => {
    taken = m.choose(asked, least, taken, m.of(i + 2))
    least = m.min(least, asked)
  })
  const of = (figure: (way: (typeof ways)[number]) => N): N =>
    ways
      .slice(0, -1)
      .reduceRight(
        (later, way, i) => m.choose(taken, m.of(i + 2), later, figure(way)),
        figure(ways.at(-1) as (typeof ways)[number]),
      )
  return new Map([
    ['carriage', taken],
    ['importer', of(({ importer }) => importer)],
    ['freight', of(({ freight }) => freight)],
    ['total', of(({ total }) => total)],
  ])
}

/**
 * The same by hand in plain float64, with no care for edges. A thoughtful programmer has the sums that no input changes
 * beforehand (`summed`); else one loop a scenario goes over every line.
 */
export function loops(
  { quantity, volume, value }: House,
  x: readonly Float64Array[],
  n: number,
  out: readonly Float64Array[],
  summed: boolean,
): void {
  const cent = (v: number): number => Math.round(v * 100) / 100
  const [survey, density, usable, box20, box40, box40High, sharePrice, haulage, shuttle, wage, duty, broker] =
    x
  const [carriage, importer, freights, totals] = out as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ]
  const prices = [box20, box40, box40High] as Float64Array[]
  let [net, worth] = [0, 0]
  const gather = (w: number): void => {
    net = 0
    worth = 0
    for (let k = 0; k < quantity.length; k++) {
      net += (quantity[k] as number) * (volume[k] as number) * goes * w
      worth += (quantity[k] as number) * (value[k] as number)
    }
  }
  if (summed) gather(1)
  for (let i = 0; i < n; i++) {
    const at = (column: Float64Array | undefined): number => (column as Float64Array)[i] as number
    if (!summed) gather(at(survey))
    const m3 = summed ? net * at(survey) : net
    const kg = m3 * at(density)
    let least = Number.POSITIVE_INFINITY
    for (let k = 0; k < 4; k++) {
      const box = boxes[k]
      if (box && !(box.room * at(usable) >= m3 && box.payload >= kg)) continue
      const freight = cent(box ? at(prices[k]) + at(haulage) * km : Math.max(m3, kg / 500) * at(sharePrice))
      const door = box && box.length > reach ? cent(Math.ceil(m3 / 18) * at(shuttle)) : 0
      const own = cent((worth + freight) * at(duty) + at(wage) * ownHours)
      const broked = cent(worth * at(duty) + at(broker))
      const total = freight + door + Math.min(own, broked)
      if (total < least) {
        least = total
        carriage[i] = k + 1
        importer[i] = broked >= own ? 1 : 2
        freights[i] = freight
        totals[i] = total
      }
    }
  }
}
