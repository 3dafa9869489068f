import { mkdirSync } from 'node:fs'
import { resolve } from 'node:path'
import { build } from 'esbuild'
import { beforeAll, describe, expect, it, test } from 'vitest'
import {
  axis,
  chanceBeats,
  chanceOver,
  compileScenarios,
  convergence,
  coverCells,
  coverOutcomesOf,
  coverQuestion,
  damageShare,
  drawsOf,
  meanOf,
  ofRange,
  onlyCells,
  rankingChanges,
  recordScenarios,
  scenarioTornado,
  simulate,
  simulationPlan,
  summary,
  sweepCsv,
} from '../../src/analysis/index.js'
import { simulateOnThreads, sweepCsvOnThreads } from '../../src/analysis/workers.js'
import { answersFor, retained } from '../../src/insurance/index.js'
import { openHousehold } from '../../src/plan/open.js'
import { exact } from '../../src/quantity/index.js'

const demo = await openHousehold('valparaiso-gdynia')
const scenarios = recordScenarios(demo.move, demo.plans)
const [first, second] = scenarios as [(typeof scenarios)[0], (typeof scenarios)[0]]
const { loss: losses } = coverQuestion(demo.move.reference, first.plan.inputs, first.plan.sheet.cells)
const plan = simulationPlan(demo.move, scenarios, [
  'risk.total',
  'time.port.charged-days',
  'value.replacement',
  ...coverCells(losses.covers),
])
const simulation = simulate(plan, 40_000)
const workerFile = resolve('node_modules/.cache/tests/risk-worker.mjs')

beforeAll(async () => {
  mkdirSync('node_modules/.cache/tests', { recursive: true })
  await build({
    entryPoints: ['src/analysis/worker.ts'],
    outfile: workerFile,
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    target: 'node20',
  })
})

it('some of the cells come out of the same draws, to the last digit', () => {
  const few = simulate(onlyCells(plan, ['risk.total']), 10_000)
  expect([...few.columns.keys()]).toEqual(scenarios.map(({ name }) => `${name}: risk.total`))
  for (const { name } of scenarios) {
    expect(drawsOf(few, name, 'risk.total')).toEqual(
      drawsOf(simulation, name, 'risk.total').subarray(0, 10_000),
    )
  }
})

describe('what a household bears itself', () => {
  const N = exact.of
  const amounts = { loss: N(10_000), contribution: N(0), sumInsured: N(30_000), valueAtRisk: N(50_000) }
  test.each([
    // answers, deductible, retained
    [1, 500, '4500', 'Marine Insurance Act 1906 s. 81: 0.6 of 10 000 less 500 is paid'],
    [0, 500, '10000', 'a peril that the cover does not answer for'],
  ])('answers %s, deductible %s: %s stays (%s)', (answers, deductible, kept) => {
    const cover = { answers: N(answers), paysGeneralAverage: true, deductible: N(deductible) }
    expect(retained(exact, amounts, cover, 'after average').toString()).toBe(kept)
  })
  it('of general average: all but the insured share (Marine Insurance Act 1906 s. 73)', () => {
    const owed = { ...amounts, loss: N(0), contribution: N(1000) }
    const cover = { answers: N(0), paysGeneralAverage: true, deductible: N(500) }
    expect(retained(exact, owed, cover, 'after average').toString()).toBe('400')
    expect(retained(exact, owed, { ...cover, paysGeneralAverage: false }, 'after average').toString()).toBe(
      '1000',
    )
  })
  it('answers a peril by the word of the table, and refuses a word it does not know', () => {
    expect([
      answersFor('yes', false),
      answersFor('if all lost', false),
      answersFor('if all lost', true),
    ]).toEqual([true, false, true])
    expect(() => answersFor('perhaps', false)).toThrow('found "perhaps"')
  })
})

describe('the simulation of the demo household', () => {
  it('shares of perils add up to one, for damage and for total loss', () => {
    for (const { perils } of [losses.damage, losses.totalLoss]) {
      expect(perils.reduce((sum, p) => sum + p.share, 0)).toBeCloseTo(1, 12)
    }
  })

  it('expected loss without cover is value × (chances × shares), within four standard errors (closed form)', () => {
    const value = summary(drawsOf(simulation, first.name, 'value.replacement')).mean
    const { damage, totalLoss, generalAverage } = losses
    const expected =
      value *
      (damage.chance * meanOf(damageShare(damage)) +
        totalLoss.chance +
        generalAverage.chance *
          meanOf(ofRange(generalAverage.low, generalAverage.likely, generalAverage.high)))
    const found = summary(drawsOf(simulation, first.name, 'risk.cover.none.retained'))
    expect(Math.abs(found.mean - expected)).toBeLessThan(4 * found.standardError)
  })

  it('days at the port keep the stated number as their median, with a long tail, in whole days', () => {
    const free = demo.plans[0]?.inputs.numbers.get('time.port-free-days')
    const days = drawsOf(simulation, first.name, 'time.port.charged-days')
    expect(free).toBeDefined()
    expect(summary(days).most).toBeGreaterThan(20)
  })

  it('gives the same draws again, and other draws from another start', () => {
    const again = simulate(plan, 5000)
    expect(drawsOf(again, first.name, 'risk.total')).toEqual(
      drawsOf(simulation, first.name, 'risk.total').slice(0, 5000),
    )
    const other = simulate(simulationPlan(demo.move, scenarios, ['risk.total'], { start: 2 }), 100)
    expect(drawsOf(other, first.name, 'risk.total')[0]).not.toBe(
      drawsOf(simulation, first.name, 'risk.total')[0],
    )
  })

  it('gives the same results to the last bit on one thread and on two', async () => {
    const threaded = await simulateOnThreads(plan, 70_000, { threads: 2, workerFile })
    const single = simulate(plan, 70_000)
    const bytes = (column: Float64Array | undefined): Uint8Array =>
      new Uint8Array(column?.buffer ?? new ArrayBuffer(0))
    for (const [id, column] of single.columns) {
      expect(Buffer.compare(bytes(threaded.columns.get(id)), bytes(column)), id).toBe(0)
    }
  })

  it('chances: of a budget, and of one scenario beating another, add up', () => {
    const [a, b] = [
      drawsOf(simulation, first.name, 'risk.total'),
      drawsOf(simulation, second.name, 'risk.total'),
    ]
    const s = summary(a)
    expect(chanceOver(a, s.p90)).toBeCloseTo(0.1, 2)
    expect(chanceBeats(a, b) + chanceBeats(b, a)).toBeCloseTo(1, 12)
    expect(s.worstTwentieth).toBeGreaterThan(s.p90)
  })

  it('settles as draws are added: the standard error halves with four times as many', () => {
    const steps = convergence(drawsOf(simulation, first.name, 'risk.total'))
    const [earlier, last] = [steps.at(-3), steps.at(-1)]
    expect((earlier?.standardError ?? 0) / (last?.standardError ?? 1)).toBeGreaterThan(1.5)
    expect((earlier?.standardError ?? 0) / (last?.standardError ?? 1)).toBeLessThan(2.7)
    expect(last?.draws).toBe(40_000)
  })

  it('leaves what the exact decision says: mean within four standard errors, chances within four of theirs', () => {
    const draws = 400_000
    const many = simulate(
      simulationPlan(demo.move, [first], coverCells(losses.covers), { shape: 'fixed' }),
      draws,
    )
    for (const o of coverOutcomesOf(demo.move.reference, first.plan)) {
      const kept = drawsOf(many, first.name, `risk.cover.${o.cover}.retained`)
      const found = summary(kept)
      expect(Math.abs(found.mean - o.expectedRetained), o.cover).toBeLessThan(4 * found.standardError)
      const chance = chanceOver(kept, 2500)
      const error = Math.sqrt((o.chanceOverTolerance * (1 - o.chanceOverTolerance)) / draws)
      expect(Math.abs(chance - o.chanceOverTolerance), o.cover).toBeLessThanOrEqual(4 * error)
    }
  })

  it('says how many draws fit when too many are asked for', () => {
    expect(() => simulate(plan, 1e9)).toThrow('do not fit; ask for')
  })
})

describe('scenarios side by side', () => {
  it('an input that a scenario states itself stays in it while others follow', () => {
    const program = compileScenarios(demo.move, scenarios, ['time.door-to-door'], ['time.crossing-days'])
    expect(program.inputs).toEqual(['time.crossing-days'])
    expect(() => compileScenarios(demo.move, scenarios, ['cost.totl'], [])).toThrow('nearest: cost.total')
    expect(() => compileScenarios(demo.move, scenarios, ['cost.total'], ['cost.origin.wag'])).toThrow(
      'cost.origin.wage',
    )
  })
  it('the tornado begins with the greatest effect and ends with none below zero', () => {
    const bars = scenarioTornado(first, 'cost.total')
    expect(bars.map((bar) => bar.effect)).toEqual(bars.map((bar) => bar.effect).toSorted((a, b) => b - a))
    expect(bars.at(-1)?.effect).toBeGreaterThanOrEqual(0)
  })
  it('each overtaking lies inside the range of its input, and the order is the other one after it', () => {
    for (const change of rankingChanges(demo.move, scenarios, 'cost.total')) {
      const row = demo.move.inputs.numbers.get(change.id)
      for (const { at, before, after } of change.overtakes) {
        expect(row && at.gte(row.low) && at.lte(row.high)).toBe(true)
        expect(before.times(after).lte(0)).toBe(true)
      }
    }
  })
  it('a sweep on two threads writes the bytes of a sweep on one', async () => {
    const program = compileScenarios(
      demo.move,
      scenarios,
      ['cost.total'],
      ['volume.carton-fill', 'stowage.share.professional'],
    )
    const axes = [
      axis('volume.carton-fill', '0.7', '0.95', 26),
      axis('stowage.share.professional', '0.75', '0.95', 41),
    ]
    const [one, two]: [string[], string[]] = [[], []]
    sweepCsv(program, axes, (text) => one.push(text))
    await sweepCsvOnThreads(program, axes, (text) => two.push(text), { threads: 2, workerFile })
    expect(two.join('')).toBe(one.join(''))
  })

  it('a part on threads, cut again for them, is the part itself', async () => {
    const program = compileScenarios(demo.move, scenarios, ['cost.total'], ['volume.carton-fill'])
    const axes = [axis('volume.carton-fill', '0.7', '0.95', 150_000)]
    const part = { index: 2, of: 2 }
    const [one, two]: [string[], string[]] = [[], []]
    sweepCsv(program, axes, (text) => one.push(text), part)
    await sweepCsvOnThreads(program, axes, (text) => two.push(text), { threads: 2, workerFile }, part)
    expect(two.length).toBeGreaterThan(1)
    expect(two.join('') === one.join('')).toBe(true)
  })
})
