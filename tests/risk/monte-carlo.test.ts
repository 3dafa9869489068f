import { spawnSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'
import {
  drawsOf,
  formulaText,
  precedents,
  recordScenarios,
  simulate,
  simulationPlan,
  summary,
} from '../../src/analysis/index.js'
import { exact } from '../../src/quantity/exact.js'
import type { Recorded } from '../../src/quantity/recorded.js'
import { openDemo, plansOf } from '../plan/households.js'
import { pythonWith } from '../python.js'

const python = pythonWith('numpy')
if (python === undefined)
  console.log('SKIPPED: no Python with numpy here, the independent Monte Carlo is not run')

interface Answer {
  readonly mean: number
  readonly sd: number
  readonly p10: number
  readonly p50: number
  readonly p90: number
  readonly n: number
}

describe('an independent Monte Carlo in Python', () => {
  it.skipIf(python === undefined).each(['valparaiso-gdynia', 'student-tromso-wellington'] as const)(
    'agrees on mean, spread, P10, P50 and P90 of %s within sampling noise',
    async (name) => {
      // Days at the port are drawn by a tail of their own; without it and without the days of an examination both
      // sides keep them as stated.
      const demo = await openDemo(name)
      const numbers = new Map(demo.inputs.numbers)
      for (const [id, likely] of [
        ['risk.port-delay.tail', '1'],
        ['time.inspection-days', '0'],
      ] as const) {
        const row = numbers.get(id)
        if (row)
          numbers.set(id, { ...row, low: exact.of(likely), likely: exact.of(likely), high: exact.of(likely) })
      }
      const move = { ...demo, inputs: { ...demo.inputs, numbers } }
      const scenarios = recordScenarios(move, plansOf(move)).slice(0, 1)
      const [scenario] = scenarios
      if (!scenario) throw new Error('no scenario')
      const draws = 20_000
      const plan = simulationPlan(move, scenarios, ['cost.total'], { start: 3 })
      const ours = summary(drawsOf(simulate(plan, draws), scenario.name, 'cost.total'))

      // Formulas in the order they are needed, as text.
      const { cells } = scenario.sheet
      const order: string[] = []
      const formulas: Record<string, string> = {}
      const values: Record<string, number> = {}
      const seen = new Set<string>()
      const visit = (id: string): void => {
        if (seen.has(id)) return
        seen.add(id)
        const node: Recorded | undefined = cells.get(id)?.value
        const inner = node?.operation.kind === 'cell' ? node.args[0] : undefined
        if (inner === undefined) {
          const row = scenario.plan.inputs.numbers.get(id)
          values[id] = (node?.value ?? row?.likely)?.toNumber() ?? Number.NaN
          return
        }
        precedents(inner).forEach(visit)
        formulas[id] = formulaText(inner)
        order.push(id)
      }
      visit('cost.total')

      const drawn: Record<string, unknown> = {}
      for (const { id, distribution } of plan.draws.uncertain) if (id in values) drawn[id] = distribution
      const groups = new Map<string, { ids: Set<string>; rho: number }>()
      for (const { first, second, coefficient } of plan.draws.correlations) {
        const known = [...groups.values()].find(({ ids }) => ids.has(first) || ids.has(second))
        if (known) known.ids.add(first).add(second)
        else groups.set(first, { ids: new Set([first, second]), rho: coefficient })
      }
      const run = spawnSync(python ?? '', ['tests/risk/monte_carlo.py'], {
        input: JSON.stringify({
          draws,
          seed: 11,
          order,
          formulas,
          values,
          drawn,
          groups: [...groups.values()].map(({ ids, rho }) => ({ ids: [...ids], rho })),
          wanted: ['cost.total'],
        }),
        encoding: 'utf8',
        maxBuffer: 1e8,
      })
      expect(run.stderr).toBe('')
      const theirs = (JSON.parse(run.stdout) as Record<string, Answer>)['cost.total']
      if (!theirs) throw new Error('no answer')
      const noise = Math.hypot(ours.deviation, theirs.sd) / Math.sqrt(draws)
      expect(Math.abs(ours.mean - theirs.mean), 'mean').toBeLessThan(4 * noise)
      expect(Math.abs(ours.deviation - theirs.sd) / theirs.sd, 'deviation').toBeLessThan(0.05)
      // The standard error of a P90 of a bell-shaped result is about 1.7 times that of the mean.
      for (const p of ['p10', 'p50', 'p90'] as const)
        expect(Math.abs(ours[p] - theirs[p]), p).toBeLessThan(4 * 2.5 * noise)
    },
    120_000,
  )
})
