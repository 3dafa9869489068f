import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { describe, expect, it } from 'vitest'
import { Columns, compile, dependsOn, ExactReading } from '../../src/bulk/index.js'
import { chargeableWeightKg } from '../../src/cost/index.js'
import { planSheet, recordedSheet } from '../../src/plan/index.js'
import { openHousehold } from '../../src/plan/open.js'
import { Exact, exact, type NumberInput, type Recorded, recorded } from '../../src/quantity/index.js'
import { DEMOS } from '../plan/households.js'

const row = (id: string): NumberInput => ({
  id,
  label: id,
  unit: '1',
  low: new Exact(0),
  likely: new Exact(1),
  high: new Exact(2),
  source: 'test',
  confirmed: 'stated',
})
const input = (id: string): Recorded => recorded.input(row(id))

describe('compiling', () => {
  const x = input('x')
  const y = input('y')

  it('folds what no varied input reaches to one exact constant', () => {
    const third = recorded.of(1).div(recorded.of(3))
    const program = compile(new Map([['total', y.times(third).plus(x)]]), ['x'])
    expect(program.nodes.map((node) => node.kind)).toEqual(['input', 'constant', 'plus'])
    expect(program.nodes[1]).toMatchObject({ text: `0.${'3'.repeat(34)}` })
  })

  it('keeps a sub-expression that occurs twice once', () => {
    const twice = x.plus(y).times(input('x').plus(input('y')))
    expect(compile(new Map([['total', twice]]), ['x', 'y']).nodes).toHaveLength(4)
  })

  it('holds an input still in the scenario that states it itself', () => {
    const stated = recorded.input({ ...row('x'), likely: new Exact(7) })
    const program = compile(
      new Map([
        ['a', x],
        ['b', stated],
      ]),
      ['x'],
      (r) => (r.likely.eq(7) ? undefined : r.id),
    )
    const out = new Columns(program).evaluate(new Map([['x', Float64Array.of(3)]]))
    expect([out.get('a')?.[0], out.get('b')?.[0]]).toEqual([3, 7])
  })

  it('settles nothing where the insured share of a value is the whole of it, nor where nothing is lost', () => {
    const value = recorded.round(x.times(recorded.of('0.37')), 2)
    const insured = recorded.min(recorded.of(1), value.div(recorded.max(value, recorded.of('0.01'))))
    const borne = recorded.max(
      recorded.of(0),
      value
        .times(y)
        .times(insured)
        .minus(x.times(recorded.of(0))),
    )
    const outputs = new Map([
      ['insured', insured],
      ['borne', borne],
    ])
    const columns = new Columns(compile(outputs, ['x', 'y']))
    const n = 1000
    const values = Float64Array.from({ length: n }, (_, k) => 1000 + k * Math.SQRT2)
    const lost = Float64Array.from({ length: n }, (_, k) => (k % 3 === 0 ? Math.abs(Math.sin(k)) : 0))
    const out = columns.evaluate(
      new Map([
        ['x', values],
        ['y', lost],
      ]),
    )
    expect(out.get('insured')).toEqual(new Float64Array(n).fill(1))
    expect(out.get('borne')?.every((b, k) => b > 0 === (lost[k] ?? 0) > 0)).toBe(true)
    expect(columns.settled).toBe(0)
  })

  it('tells a quotient just above one and just below it from one', () => {
    const ratio = recorded.round(x, 2).div(recorded.round(y, 2))
    const fee = recorded.choose(ratio, recorded.of(1), recorded.of(50), recorded.of(80))
    const out = new Columns(compile(new Map([['fee', fee]]), ['x', 'y'])).evaluate(
      new Map([
        ['x', Float64Array.of(9_999_999.99, 9_999_999.98, 10_000_000, 3, 2.994)],
        ['y', Float64Array.of(10_000_000, 9_999_999.98, 9_999_999.99, 3.004, 3.005)],
      ]),
    )
    expect([...(out.get('fee') ?? [])]).toEqual([80, 50, 50, 50, 80])
  })

  it('decides anew in each span of draws, whichever way the last one went throughout', () => {
    const dearer = recorded.choose(x, y, x.times(recorded.of(2)), y.plus(recorded.of(1)))
    const both = recorded.max(x, y).plus(recorded.min(x, y).times(recorded.of(1000)))
    const columns = new Columns(
      compile(
        new Map([
          ['dearer', dearer],
          ['both', both],
        ]),
        ['x', 'y'],
      ),
    )
    for (const [a, b] of [
      [5, 1],
      [1, 5],
      [5, 5],
    ] as const) {
      const [x1, y1] = [Float64Array.of(a, a + 1), Float64Array.of(b, b)]
      const out = columns.evaluate(
        new Map([
          ['x', x1],
          ['y', y1],
        ]),
      )
      expect([...(out.get('dearer') ?? [])]).toEqual([a, a + 1].map((v) => (v >= b ? 2 * v : b + 1)))
      expect([...(out.get('both') ?? [])]).toEqual(
        [a, a + 1].map((v) => Math.max(v, b) + 1000 * Math.min(v, b)),
      )
    }
  })

  it('takes a chain of 100,000 additions, deeper than any call stack', () => {
    let total = input('x')
    for (let k = 0; k < 100_000; k++) total = total.plus(x)
    const out = new Columns(compile(new Map([['total', total]]), ['x'])).evaluate(
      new Map([['x', Float64Array.of(0.5)]]),
    )
    expect(out.get('total')?.[0]).toBe(50_000.5)
  })

  it('tells which inputs an output depends on', () => {
    const program = compile(
      new Map([
        ['a', x.plus(y)],
        ['b', x],
      ]),
      ['x', 'y', 'z'],
    )
    expect([...dependsOn(program, 'a')].sort()).toEqual(['x', 'y'])
    expect([...dependsOn(program, 'b')]).toEqual(['x'])
  })

  it('names the input whose column is missing, and a column of another length', () => {
    const columns = new Columns(compile(new Map([['a', x.plus(y)]]), ['x', 'y']))
    expect(() => columns.evaluate(new Map([['x', Float64Array.of(1)]]))).toThrow(
      'no column for the varied input "y"',
    )
    expect(() =>
      columns.evaluate(
        new Map([
          ['x', Float64Array.of(1)],
          ['y', Float64Array.of(1, 2)],
        ]),
      ),
    ).toThrow('has 2 values')
  })
})

it('charges the same step as decimals for each of 14,286 volumes on the edge of a half kilogram', () => {
  // 0.003 m³ is a step of half a kilogram at 0.006 m³ a kilogram; seven plain volumes lie between two edges.
  const volumes = Float64Array.from({ length: 14_286 }, (_, k) => (k * 7 * 3) / 1000)
  const kg = (volume: Recorded) =>
    chargeableWeightKg(recorded, volume, recorded.of('0.1'), recorded.of('0.006'), recorded.of('0.5'))
  const columns = new Columns(compile(new Map([['kg', kg(input('m3'))]]), ['m3']))
  const found = columns.evaluate(new Map([['m3', volumes]])).get('kg')
  let naivelyWrong = 0
  volumes.forEach((volume, k) => {
    const right = chargeableWeightKg(
      exact,
      new Exact(volume),
      exact.of('0.1'),
      exact.of('0.006'),
      exact.of('0.5'),
    ).toNumber()
    expect(found?.[k]).toBe(right)
    if (Math.ceil(Math.max(0.1, volume / 0.006) / 0.5) * 0.5 !== right) naivelyWrong += 1
  })
  // Float64 alone gets some of them wrong by a whole step, or this test would show nothing.
  expect(naivelyWrong).toBeGreaterThan(20)
})

describe.each(DEMOS)('the plan of %s', (name) => {
  it('is the same in columns as in decimals: amounts to the cent, the rest within the stated error', async () => {
    const { move, plans } = await openHousehold(name)
    const generator = xoroshiro128plus(7)
    const uniform = (): number => (generator.next() >>> 0) / 2 ** 32
    for (const plan of plans) {
      const ranged = [...plan.inputs.numbers.values()].filter((r) => !r.low.eq(r.high))
      const cells = [...recordedSheet(move, plan).cells.values()].filter((cell) => cell.kind === 'derived')
      const program = compile(
        new Map(cells.map((cell) => [cell.id, cell.value])),
        ranged.map((r) => r.id),
      )
      const columns = new Columns(program)
      const scenarios = 12
      const inputs = new Map(
        ranged.map((r) => {
          const [low, high] = [r.low.toNumber(), r.high.toNumber()]
          // Every other value on a round figure, where edges are.
          const value = (k: number): number => {
            const x = low + (high - low) * uniform()
            return k % 2 === 0 ? x : Math.min(high, Math.max(low, Math.round(x * 20) / 20))
          }
          return [r.id, Float64Array.from({ length: scenarios }, (_, k) => value(k))] as const
        }),
      )
      const results = columns.evaluate(inputs)
      const errors = columns.errors()
      for (let k = 0; k < scenarios; k++) {
        const numbers = new Map(plan.inputs.numbers)
        for (const r of ranged) numbers.set(r.id, { ...r, likely: new Exact(inputs.get(r.id)?.[k] ?? 0) })
        const sheet = planSheet(exact, { ...plan.inputs, numbers }, move.household, move.reference)
        for (const cell of cells) {
          const right = sheet.cells.get(cell.id)?.value ?? new Exact(Number.NaN)
          const found = results.get(cell.id)?.[k] ?? Number.NaN
          const rounded = cell.value.args[0]?.operation.kind === 'round'
          if (rounded || /^cost\..*total$/.test(cell.id)) {
            expect(found, `${plan.name} ${cell.id}`).toBe(right.toNumber())
          }
          const off = Math.abs(right.minus(found).toNumber())
          expect(off, `${plan.name} ${cell.id}`).toBeLessThanOrEqual(
            (errors.get(cell.id) ?? 0) + Math.abs(found) * 2 ** -53,
          )
          expect(off).toBeLessThan(1e-6)
        }
      }
    }
  })
})

it('the exact reading gives what the recorded value was, for inputs given as text', () => {
  const x = input('x')
  const total = recorded.round(x.times(recorded.of('1.005')).div(recorded.of(3)), 2, 'half-up')
  const reading = new ExactReading(compile(new Map([['total', total]]), ['x']))
  expect(
    reading
      .outputs(new Map([['x', '1']]))
      .get('total')
      ?.toString(),
  ).toBe(total.value.toString())
})
