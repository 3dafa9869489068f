import { parquetReadObjects } from 'hyparquet'
import { describe, expect, it } from 'vitest'
import {
  axis,
  crossings,
  gridPoints,
  linePoints,
  parquetOf,
  partRows,
  sweep,
  sweepCsv,
  tornado,
} from '../../src/analysis/index.js'
import { compile } from '../../src/bulk/index.js'
import { Exact, type NumberInput, type Recorded, recorded } from '../../src/quantity/index.js'

const row = (id: string, low: number, likely: number, high: number): NumberInput => ({
  id,
  label: id,
  unit: '1',
  low: new Exact(low),
  likely: new Exact(likely),
  high: new Exact(high),
  source: 'test',
  confirmed: 'stated',
})
const rows = [row('x', 1, 2, 4), row('y', 0, 10, 20), row('z', 5, 5, 9), row('unused', 0, 1, 2)]
const [x, y, z] = rows.map((r) => recorded.input(r)) as [Recorded, Recorded, Recorded]
const number = (n: number | string): Recorded => recorded.of(n)

describe('tornado', () => {
  it('of a linear model: each effect is |coefficient| × (high − low), greatest first (closed form)', () => {
    const bars = tornado(
      x
        .times(number(3))
        .minus(y.times(number('0.25')))
        .plus(z),
      rows,
    )
    expect(bars.map((bar) => [bar.id, bar.atLow, bar.atLikely, bar.atHigh, bar.effect])).toEqual([
      ['x', 5.5, 8.5, 14.5, 9],
      ['y', 11, 8.5, 6, 5],
      ['z', 8.5, 8.5, 12.5, 4],
      ['unused', 8.5, 8.5, 8.5, 0],
    ])
  })
})

describe('crossings', () => {
  it('with another input held: x + y over 2x + 3 where x is y − 3 (closed form)', () => {
    const [first, second] = [x.plus(y), x.times(number(2)).plus(number(3))]
    for (const held of [4, 5.5]) {
      const found = crossings(first, second, 'x', [0, 10], undefined, 1, new Map([['y', held]]))
      expect(found.map(({ at }) => at.toNumber())).toEqual([held - 3])
    }
  })

  it('of two lines is where they meet: 100 + 3x over 250 + x at 75 (closed form)', () => {
    const found = crossings(number(100).plus(x.times(number(3))), number(250).plus(x), 'x', [0, 200])
    expect(found).toHaveLength(1)
    expect(found[0]?.at.minus(75).abs().lt('1e-9')).toBe(true)
    expect(found[0]?.kind).toBe('level')
  })
  it('of a stair over a level is at the edge of the step, a jump', () => {
    const stair = recorded.ceil(x.div(number(10))).times(number(40))
    const found = crossings(stair, number(100), 'x', [0, 45])
    expect(found).toHaveLength(1)
    expect(found[0]?.at.minus(20).abs().lt('1e-9')).toBe(true)
    expect([found[0]?.kind, Number(found[0]?.before), Number(found[0]?.after)]).toEqual(['jump', -20, 20])
  })
  it('finds both crossings of a parabola with a line that lie between two points of any coarse grid', () => {
    // (x − 100)² = 0.01 at 99.9 and 100.1
    const apart = x.minus(number(100))
    const found = crossings(apart.times(apart), number('0.01'), 'x', [0, 201])
    expect(found.map((c) => c.at.toDecimalPlaces(8).toNumber())).toEqual([99.9, 100.1])
  })
  it('finds none where one result is dearer throughout', () => {
    expect(crossings(x.plus(number(1)), x, 'x', [0, 10])).toEqual([])
  })
})

describe('sweep', () => {
  const total = recorded.round(x.times(y).div(number(7)), 2)
  const program = compile(new Map([['=total', total]]), ['x', 'y'])
  const axes = [axis('x', '0.1', '3', 30), axis('y', 0, 100, 101)]
  const csv = (index: number, of: number): string => {
    const pieces: string[] = []
    sweepCsv(program, axes, (text) => pieces.push(text), { index, of })
    return pieces.join('')
  }

  it.each([2, 3, 7, 64])('in %s parts is byte for byte the whole', (of) => {
    const parts = Array.from({ length: of }, (_, k) => csv(k + 1, of))
    expect(parts.join('')).toBe(csv(1, 1))
  })
  it('has a head, a row for each point, the last axis fastest, and no field that is a formula', () => {
    const lines = csv(1, 1).split('\n')
    expect(lines).toHaveLength(1 + 30 * 101 + 1)
    expect(lines.slice(0, 3)).toEqual(["x,y,'=total", '0.1,0,0', '0.1,1,0.01'])
    expect(lines.at(-2)).toBe('3,100,42.86')
  })
  it('takes axis values as exact decimals', () => {
    expect(axis('x', '0.1', '0.7', 7).values.map(String)).toEqual([
      '0.1',
      '0.2',
      '0.3',
      '0.4',
      '0.5',
      '0.6',
      '0.7',
    ])
  })
  it('cuts parts without gap or overlap, and says which parts there are', () => {
    expect([1, 2, 3].map((index) => partRows(10, { index, of: 3 }))).toEqual([
      [0, 3],
      [3, 6],
      [6, 10],
    ])
    expect(() => partRows(10, { index: 4, of: 3 })).toThrow('part 4/3: give a part from 1/3 to 3/3')
  })
  it('as Parquet is read back by an independent reader', async () => {
    const columns = sweep(program, axes)
    const bytes = parquetOf(columns, { model: 'test' })
    const read = await parquetReadObjects({ file: bytes.slice().buffer as ArrayBuffer })
    expect(read).toHaveLength(3030)
    expect(read[3029]).toEqual({ x: 3, y: 100, '=total': 42.86 })
  })
})

describe('a sweep as points of a picture', () => {
  const columns = new Map([
    ['x', Float64Array.of(1, 1, 2, 2)],
    ['y', Float64Array.of(5, 6, 5, 6)],
    ['A: cost', Float64Array.of(10, 20, 30, 7)],
    ['B: cost', Float64Array.of(11, 19, 30, 8)],
  ])

  it('is a line for each scenario', () => {
    expect(linePoints(columns, 'x', ['A'], 'cost').map((p) => p.result)).toEqual([10, 20, 30, 7])
  })

  it('is who comes to the least in each field of a grid, the first of those that are level', () => {
    expect(gridPoints(columns, ['x', 'y'], ['A', 'B'], 'cost')).toEqual([
      { x: 1, y: 5, result: 10, scenario: 'A' },
      { x: 1, y: 6, result: 19, scenario: 'B' },
      { x: 2, y: 5, result: 30, scenario: 'A' },
      { x: 2, y: 6, result: 7, scenario: 'A' },
    ])
  })

  it('says which columns there are', () => {
    expect(() => linePoints(columns, 'z', ['A'], 'cost')).toThrow('no column "z"')
  })
})
