// What-ifs in bulk against a spreadsheet engine, an estimation language and loops by hand; and how cost grows.
// Options: `quick` leaves out the longest runs, `only=NAME` runs one part (household, loops, deciding, growth, simulation).
// Times are processor time of this process, so that a busy machine does not tell on the ratios; least of three.
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { recordScenarios, simulate, simulationPlan, summary } from '../../src/analysis/index.js'
import { Columns, compile } from '../../src/bulk/index.js'
import { planScenarios, planSheet, recordedSheet } from '../../src/plan/index.js'
import { openMove } from '../../src/plan/open.js'
import { Exact, exact, type NumberInput, recorded } from '../../src/quantity/index.js'
import * as deciding from './bulk-rivals/deciding.js'
import { estimate } from './bulk-rivals/estimation.js'
import { changed, house, plan as housePlan, loops } from './bulk-rivals/house.js'
import { Spreadsheet } from './bulk-rivals/spreadsheet.js'

const options = process.argv.slice(2)
const quick = options.includes('quick')
const only = options.find((o) => o.startsWith('only='))?.slice(5)
const wanted = (name: string): boolean => only === undefined || only === name

const processorMs = (): number => {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1000
}
async function least(times: number, work: () => unknown): Promise<number> {
  let best = Number.POSITIVE_INFINITY
  for (let k = 0; k < times; k++) {
    const start = processorMs()
    await work()
    best = Math.min(best, processorMs() - start)
  }
  return best
}
let mostMemory = 0
const memory = (): string => {
  const now = process.memoryUsage().rss / 1e6
  mostMemory = Math.max(mostMemory, now)
  return `${now.toFixed(0)} MB`
}
const draw = (start: number): (() => number) => {
  const generator = xoroshiro128plus(start)
  return () => (generator.next() >>> 0) / 2 ** 32
}

const move = await openMove('data/households/valparaiso-gdynia', 'data/reference')
const plans = planScenarios(move)
if (!plans.ok) throw new Error('the demo household cannot be read')
const demo = plans.value[1] ?? plans.value[0]
if (demo === undefined) throw new Error('the demo household has no scenario')
const sheet = recordedSheet(move, demo)
const cells = [...sheet.cells.values()].filter((cell) => cell.kind === 'derived')
const outputs = new Map(cells.map((cell) => [cell.id, cell.value]))

if (wanted('household')) {
  const number = (id: string): NumberInput | undefined => demo.inputs.numbers.get(id)
  const twelve = [...demo.inputs.numbers.values()]
    .filter((row) => row.low.lt(row.high) && sheet.cells.has(row.id) && !row.id.startsWith('duty'))
    .slice(0, 12)
    .map((row) => row.id)
  const values = (n: number): Map<string, Float64Array> => {
    const next = draw(1)
    return new Map(
      twelve.map((id) => {
        const [low, high] = [number(id)?.low.toNumber() ?? 0, number(id)?.high.toNumber() ?? 1]
        return [id, Float64Array.from({ length: n }, () => low + (high - low) * next())]
      }),
    )
  }
  const n = 10_000
  const all = new Columns(compile(outputs, twelve))
  const total = new Columns(
    compile(new Map([['cost.total', outputs.get('cost.total') ?? recorded.of(0)]]), twelve),
  )
  const many = values(n)
  const one = values(1)
  const allMs = await least(3, () => all.evaluate(many))
  const totalMs = await least(3, () => total.evaluate(many))
  const oneMs =
    (await least(3, () => {
      for (let k = 0; k < 100; k++) all.evaluate(one)
    })) / 100
  const exactMs =
    (await least(3, () => {
      for (let k = 0; k < 5; k++) planSheet(exact, demo.inputs, move.household, move.reference)
    })) / 5
  const engine = new Spreadsheet(outputs)
  const few = quick ? 20 : 200
  let off = 0
  const check = total.evaluate(many).get('cost.total') ?? new Float64Array(n)
  const engineMs =
    (await least(1, () => {
      for (let k = 0; k < few; k++) {
        const found = engine.scenario(
          twelve.map((id) => [id, many.get(id)?.[k] ?? 0] as const),
          'cost.total',
        )
        off = Math.max(off, Math.abs(found - (check[k] ?? 0)))
      }
    })) / few
  console.log(
    `Demo household: ${move.household.inventory.length} lines, ${cells.length} derived cells, 12 inputs changed`,
  )
  console.table({
    'one what-if, all cells, bulk': { 'ms a scenario': oneMs, 'goal, ms': 1 },
    'one what-if, all cells, exact': { 'ms a scenario': exactMs, 'goal, ms': 20 },
    '10,000, all cells, bulk': { 'ms a scenario': allMs / n },
    '10,000, total, bulk': { 'ms a scenario': totalMs / n },
    'spreadsheet engine': { 'ms a scenario': engineMs },
  })
  console.log(
    `spreadsheet engine / bulk: all cells ${(engineMs / (allMs / n)).toFixed(0)} ×, total ${(engineMs / (totalMs / n)).toFixed(0)} × (goal 150)`,
  )
  console.log(
    `exact / bulk, all cells: ${(exactMs / (allMs / n)).toFixed(0)} ×; engine and bulk differ by at most ${off.toExponential(1)}; ${memory()}`,
  )
}

const input = ([id, low, high]: readonly [string, number, number]) =>
  recorded.input({
    id,
    label: id,
    unit: '1',
    low: new Exact(low),
    likely: new Exact(low),
    high: new Exact(high),
    source: 'bench',
    confirmed: 'common practice',
  })

function houseColumns(lines: number): {
  readonly goods: ReturnType<typeof house>
  readonly columns: Columns
  readonly compileMs: number
} {
  const goods = house(lines)
  const start = processorMs()
  const inputs = new Map(changed.map((row) => [row[0], input(row)]))
  const recordedPlan = housePlan(recorded, goods, (id) => inputs.get(id) ?? recorded.of(0))
  const columns = new Columns(
    compile(
      recordedPlan,
      changed.map(([id]) => id),
    ),
  )
  return { goods, columns, compileMs: processorMs() - start }
}
const houseValues = (n: number): Float64Array[] => {
  const next = draw(2)
  return changed.map(([, low, high]) => Float64Array.from({ length: n }, () => low + (high - low) * next()))
}

function copyInto(
  into: readonly Float64Array[],
  x: readonly Float64Array[],
  start: number,
  count: number,
): void {
  into.forEach((column, k) => {
    column.set(x[k]?.subarray(start, start + count) ?? [])
  })
}
function copyOut(from: readonly Float64Array[], out: readonly Float64Array[], start: number): void {
  from.forEach((column, k) => {
    out[k]?.set(column, start)
  })
}

if (wanted('loops')) {
  const n = 10_000
  const { goods, columns } = houseColumns(150)
  const x = houseValues(n)
  const out = Array.from({ length: 8 }, () => new Float64Array(n))
  const bulk = async (): Promise<number> =>
    least(9, () =>
      columns.run(
        n,
        (start, count, into) => copyInto(into, x, start, count),
        (start, _count, from) => copyOut(from, out, start),
      ),
    )
  const bulkMs = await bulk()
  const found = out.map((column) => column.slice())
  const plain = await least(9, () => loops(goods, x, n, out, false))
  const wrong = out[7]?.reduce((sum, v, i) => sum + (Math.abs(v - (found[7]?.[i] ?? 0)) > 0.005 ? 1 : 0), 0)
  const summed = await least(9, () => loops(goods, x, n, out, true))
  console.log('\nLoops by hand, 150 lines, 12 inputs changed, 8 results; 10,000 scenarios')
  console.table({
    bulk: { 'µs a scenario': (bulkMs / n) * 1000, 'bulk takes': '1 ×' },
    'loops over every line': {
      'µs a scenario': (plain / n) * 1000,
      'bulk takes': `${(bulkMs / plain).toFixed(2)} × (goal: at most 2)`,
    },
    'loops, sums taken beforehand': {
      'µs a scenario': (summed / n) * 1000,
      'bulk takes': `${(bulkMs / summed).toFixed(2)} ×`,
    },
  })
  console.log(
    `totals in which the loops by hand are off by a cent or more: ${wrong} of ${n}; settled in decimals: ${columns.settled}`,
  )
}

if (wanted('deciding')) {
  const n = 10_000
  const goods = house(150)
  const inputs = new Map(deciding.changed.map((row) => [row[0], input(row)]))
  const ids = deciding.changed.map(([id]) => id)
  const columns = new Columns(
    compile(
      deciding.plan(recorded, goods, (id) => inputs.get(id) ?? recorded.of(0)),
      ids,
    ),
  )
  const next = draw(3)
  const x = deciding.changed.map(([, low, high]) =>
    Float64Array.from({ length: n }, () => low + (high - low) * next()),
  )
  const out = deciding.results.map(() => new Float64Array(n))
  const bulkMs = await least(15, () =>
    columns.run(
      n,
      (start, count, into) => copyInto(into, x, start, count),
      (start, _count, from) => copyOut(from, out, start),
    ),
  )
  const found = out.map((column) => column.slice())
  const rivals = new Map<string, number>()
  for (const [name, summed] of [
    ['loops over every line', false],
    ['loops, sums taken beforehand', true],
  ] as const) {
    rivals.set(name, await least(15, () => deciding.loops(goods, x, n, out, summed)))
    const apart = out.map((column, k) =>
      column.reduce((sum, v, i) => sum + (Math.abs(v - (found[k]?.[i] ?? 0)) > 0.005 ? 1 : 0), 0),
    )
    // Loops by hand may miss an edge of a cent; more would be another plan.
    if (apart.some((count) => count > n / 1000))
      throw new Error(`${name} and bulk differ: ${deciding.results.map((id, k) => `${id} ${apart[k]}`)}`)
    console.log(`${name}: other results than bulk in ${apart.join(', ')} of ${n} scenarios`)
  }
  const taken = [1, 2, 3, 4].map((k) => found[0]?.reduce((sum, v) => sum + (v === k ? 1 : 0), 0))
  console.log(
    `\nLoops by hand that decide, 150 lines, 12 inputs changed; carriages taken ${taken}; 10,000 scenarios`,
  )
  console.table({
    bulk: { 'µs a scenario': (bulkMs / n) * 1000, 'bulk takes': '1 ×' },
    ...Object.fromEntries(
      [...rivals].map(([name, ms]) => [
        name,
        { 'µs a scenario': (ms / n) * 1000, 'bulk takes': `${(bulkMs / ms).toFixed(2)} × (goal: at most 2)` },
      ]),
    ),
  })
}

if (wanted('growth')) {
  console.log('\nGrowth with inventory lines (record + compile once, then a scenario)')
  const rows: Record<string, object> = {}
  for (const lines of [150, 1500, 15_000]) {
    const { columns, compileMs } = houseColumns(lines)
    const x = new Map(changed.map(([id], k) => [id, houseValues(20_000)[k] ?? new Float64Array(0)]))
    const ms = await least(3, () => columns.evaluate(x))
    rows[`${lines} lines`] = {
      'compile, ms': compileMs,
      'compile, µs a line': (compileMs * 1000) / lines,
      'scenario, µs': (ms * 1000) / 20_000,
      memory: memory(),
    }
  }
  console.table(rows)
  console.log('Growth with scenarios (8 results, streamed)')
  const { columns } = houseColumns(150)
  const growth: Record<string, object> = {}
  for (const n of [1e3, 1e4, 1e5, 1e6, ...(quick ? [] : [1e7])]) {
    const x = houseValues(16_384)
    let sum = 0
    const ms = await least(n > 1e6 ? 1 : 3, () =>
      columns.run(
        n,
        (_start, count, into) => copyInto(into, x, 0, count),
        (_start, count, from) => {
          for (let i = 0; i < count; i++) sum += from[7]?.[i] ?? 0
        },
      ),
    )
    growth[`${n} scenarios`] = {
      ms,
      'µs a scenario': (ms * 1000) / n,
      memory: memory(),
      mean: sum / n / (n > 1e6 ? 1 : 3),
    }
  }
  console.table(growth)
}

if (wanted('simulation')) {
  for (const name of ['student-tromso-wellington', 'valparaiso-gdynia']) {
    const home = await openMove(`data/households/${name}`, 'data/reference')
    const read = planScenarios(home)
    if (!read.ok) throw new Error(`${name} cannot be read`)
    for (const reading of ['booked now', 'chosen again'] as const) {
      const all = simulationPlan(home, recordScenarios(home, read.value, reading), [
        'cost.total',
        'risk.total',
      ])
      const ms = await least(3, () => simulate(all, 100_000))
      console.log(
        `${name}, ${reading}: 100,000 draws of every total, with and without losses: ${ms.toFixed(0)} ms (goal 500)`,
      )
    }
  }
  const scenario = recordScenarios(move, [demo])
  const plan = simulationPlan(move, scenario, ['cost.total', 'risk.total'])
  const draws = 100_000
  const ms = await least(5, () => simulate(plan, draws))
  const ours = [...simulate(plan, draws).columns.values()].map(summary)
  const bulkMemory = memory()
  const cost = simulationPlan(move, scenario, ['cost.total'])
  const costMs = await least(5, () => simulate(cost, draws))
  const distributions = new Map(cost.draws.uncertain.map(({ id, distribution }) => [id, distribution]))
  const tail = move.inputs.numbers.get('risk.port-delay.tail')?.likely.toNumber() ?? 1
  cost.sources.forEach((source, k) => {
    const id = cost.program.inputs[k] ?? ''
    if (source.kind === 'days') {
      distributions.set(id, { kind: 'lognormal', median: source.days, p90: source.days * tail })
    }
  })
  const fewer = quick ? 1000 : 10_000
  let theirs: readonly number[] = []
  const rival =
    (await least(1, async () => {
      theirs = await estimate(cost.program, distributions, fewer)
    })) *
    (draws / fewer)
  console.log(
    `\nSimulation of the whole plan, ${draws} draws, ${cost.program.inputs.length} uncertain inputs, ${cost.program.nodes.length} operations`,
  )
  console.table({
    'bulk, cost and losses': { ms, goal: '300 ms', memory: bulkMemory },
    'bulk, cost': { ms: costMs, memory: bulkMemory },
    'estimation language, cost': {
      ms: rival,
      'bulk is faster': `${(rival / costMs).toFixed(0)} × (goal 20)`,
      memory: memory(),
    },
  })
  console.log(
    `cost, mean and P90: bulk ${ours[0]?.mean.toFixed(0)} ${ours[0]?.p90.toFixed(0)}, language ${theirs.map((v) => v.toFixed(0)).join(' ')}`,
  )
}
console.log(
  `\nmost memory of this process: ${mostMemory.toFixed(0)} MB${wanted('simulation') ? ' (the estimation language included)' : ''}`,
)
