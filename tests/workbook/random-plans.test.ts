import type { Decimal } from 'decimal.js'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { InputTable } from '../../src/plan/inputs.js'
import { type Cell, Ledger } from '../../src/plan/ledger.js'
import type { Arithmetic, Num, RoundingRule } from '../../src/quantity/arithmetic.js'
import { exact } from '../../src/quantity/exact.js'
import { type Recorded, recorded } from '../../src/quantity/recorded.js'
import { workbook } from '../../src/workbook/index.js'
import { differences, recalculatedByEngine } from './oracles.js'
import { readBook } from './read-book.js'

// A longer look: RUNS=3000 SEED=7 npx vitest run tests/workbook/random-plans
const RUNS = Number(process.env.RUNS ?? 100)
const SEED = Number(process.env.SEED ?? 20261125)

/** One operation of a random plan: which, and which earlier values it takes, counted back from the last. */
interface Operation {
  readonly kind:
    | 'plus'
    | 'minus'
    | 'times'
    | 'div'
    | 'min'
    | 'max'
    | 'ceil'
    | 'choose'
    | 'sum'
    | 'round'
    | 'put'
    | 'of'
  readonly args: readonly number[]
  readonly decimals: number
  readonly rule: RoundingRule
  readonly constant: string
}

const kinds = [
  'plus',
  'minus',
  'times',
  'div',
  'min',
  'max',
  'ceil',
  'choose',
  'sum',
  'round',
  'put',
  'put',
  'of',
] as const
const operation: fc.Arbitrary<Operation> = fc.record({
  kind: fc.constantFrom(...kinds),
  args: fc.array(fc.nat(12), { minLength: 4, maxLength: 8 }),
  decimals: fc.nat(3),
  rule: fc.constantFrom('half-even', 'half-up', 'down'),
  // Values that stand on edges of steps and ties more often than chance would have it.
  constant: fc.constantFrom(
    '0',
    '1',
    '2',
    '-1',
    '0.5',
    '0.005',
    '0.1',
    '0.2',
    '0.3',
    '7',
    '1.125',
    '-2.5',
    '1e-10',
  ),
})

// Eighths and hundredths: halves of a cent and exact steps come up often.
const inputValue = fc.oneof(
  fc.integer({ min: -4_000, max: 40_000 }).map((n) => exact.of(n).div(8)),
  fc.integer({ min: -1_000, max: 9_999 }).map((n) => exact.of(n).div(100)),
  fc.integer({ min: 0, max: 12 }).map((n) => exact.of(n)),
)

function table(values: readonly Decimal[]): InputTable {
  return {
    numbers: new Map(
      values.map((v, i) => [
        `x.${i}`,
        {
          id: `x.${i}`,
          label: `Input ${i}`,
          unit: '1',
          low: v,
          likely: v,
          high: v,
          source: 'made up',
          confirmed: 'stated',
        },
      ]),
    ),
    choices: new Map(),
  }
}

function plan<N extends Num<N>>(
  m: Arithmetic<N>,
  inputs: InputTable,
  operations: readonly Operation[],
): ReadonlyMap<string, Cell<N>> {
  const ledger = new Ledger(m, inputs, 'EUR', 2)
  const made: N[] = [...inputs.numbers.keys()].map((id) => ledger.input(id))
  operations.forEach(({ kind, args, decimals, rule, constant }, i) => {
    const arg = (n: number): N => made[made.length - 1 - ((args[n] ?? 0) % made.length)] ?? m.of(0)
    const one = m.of(1)
    const size = (x: N) => m.max(x, m.of(0).minus(x))
    made.push(
      {
        plus: () => arg(0).plus(arg(1)),
        minus: () => arg(0).minus(arg(1)),
        // Products are kept in bounds, so that values stay among those money and measures have.
        times: () => m.max(m.of(-100_000), m.min(m.of(100_000), arg(0).times(arg(1)))),
        div: () => arg(0).div(size(arg(1)).plus(one)),
        min: () => m.min(arg(0), arg(1)),
        max: () => m.max(arg(0), arg(1)),
        ceil: () => m.ceil(arg(0)),
        choose: () => m.choose(arg(0), arg(1), arg(2), arg(3)),
        sum: () => m.sum(args.map((_, k) => arg(k))),
        round: () => m.round(arg(0), decimals, rule),
        put: () => ledger.put(`${['cost', 'volume', 'time', 'odd'][i % 4]}.${i}`, `Result ${i}`, '1', arg(0)),
        of: () => m.of(constant),
      }[kind](),
    )
  })
  made.slice(-3).forEach((value, i) => {
    ledger.put(`cost.last-${i}`, `Last ${i}`, '1', value)
  })
  return ledger.cells
}

/**
 * Whether the plan asks a question finer than floating point can answer: a value that is not on an edge, but nearer
 * to it than the digits a spreadsheet has. Such plans are left out; exact ties are not.
 */
function tooFine(cells: ReadonlyMap<string, Cell<Recorded>>): boolean {
  const seen = new Set<unknown>()
  const waiting = [...cells.values()].map((c) => c.value)
  const hair = (x: Decimal) => !x.isZero() && x.abs().lt('1e-6')
  while (waiting.length > 0) {
    const node = waiting.pop()
    if (!node || seen.has(node)) continue
    seen.add(node)
    waiting.push(...node.args)
    const [a, b] = node.args.map((x) => x.value)
    const { operation } = node
    if (operation.kind === 'choose' && a && b && hair(a.minus(b))) return true
    if (operation.kind === 'ceil' && a && hair(a.minus(a.round()))) return true
    if (operation.kind === 'round' && a) {
      const doubled = a.times(exact.of(10).pow(operation.decimals)).times(2)
      if (hair(doubled.minus(doubled.round()))) return true
    }
  }
  return false
}

describe('random plans', () => {
  it('have formulas that give the model’s values, as written and after every input is changed', () => {
    let tried = 0
    fc.assert(
      fc.property(
        fc.array(fc.tuple(inputValue, inputValue), { minLength: 2, maxLength: 6 }),
        fc.array(operation, { minLength: 1, maxLength: 60 }),
        (values, operations) => {
          const before = table(values.map(([v]) => v))
          const after = table(values.map(([, v]) => v))
          const sheet = plan(recorded, before, operations)
          fc.pre(!tooFine(sheet) && !tooFine(plan(recorded, after, operations)))
          tried++
          const scenarios = [{ name: 'A', sheet: { cells: sheet, choices: new Map() } }]
          const asWritten = recalculatedByEngine(readBook(workbook(scenarios)))
          expect(differences(asWritten, [plan(exact, before, operations)])).toEqual([])
          const inputValues = values.map(([, value], i) => ({ id: `x.${i}`, value }))
          const changed = recalculatedByEngine(readBook(workbook(scenarios, { inputValues })))
          expect(differences(changed, [plan(exact, after, operations)])).toEqual([])
        },
      ),
      { numRuns: RUNS, seed: SEED },
    )
    expect(tried).toBeGreaterThanOrEqual(RUNS)
  })
})
