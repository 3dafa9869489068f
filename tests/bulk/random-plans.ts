import type { Arithmetic, Num, NumberInput, RoundingRule } from '../../src/quantity/index.js'
import { Exact } from '../../src/quantity/index.js'

/** A source of whole numbers from zero to below `n`. */
export type Below = (n: number) => number

/** What a random plan is made of: enough to build it again in any arithmetic. */
export interface Blueprint {
  readonly inputs: readonly string[]
  readonly steps: readonly {
    readonly kind: string
    readonly args: readonly number[]
    readonly decimals: number
    readonly rule: RoundingRule
  }[]
  readonly constants: readonly string[]
}

const rules: readonly RoundingRule[] = ['half-even', 'half-up', 'down']
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
  'clamp',
  'steps',
  'ratio',
] as const

/** Values that sit on the edges of steps, cents and signs, more often than not. */
export function edgeValue(below: Below): number {
  switch (below(10)) {
    case 0:
      return below(4) // zero and small whole numbers
    case 1:
      return below(4000) / 8 // exact in binary, halves among them
    case 2:
      return below(20_000) / 200 // half cents
    case 3:
      return (below(20_000) + 0.5) / 100 // exactly on a half cent, as decimal text
    case 4:
      return (below(3000) * 3) / 1000 // multiples of a step of 0.003
    case 5:
      return below(2000) / 7 // all digits
    case 6:
      return below(100) * 0.1 // 0.30000000000000004 and the like
    case 7:
      return -below(500) / 4
    case 8:
      return below(1_000_000) / 100 + 0.005 * (1 + (below(3) - 1) * 2 ** -50) // a hair beside a half cent
    default:
      return (below(2 ** 30) / 2 ** 30) * 1000
  }
}

/** A plan of up to 18 operations over up to four inputs and some constants. */
export function blueprint(below: Below): Blueprint {
  const inputs = Array.from({ length: 1 + below(4) }, (_, k) => `x${k}`)
  const constants = Array.from({ length: 3 }, () => new Exact(edgeValue(below)).toString())
  const start = inputs.length + constants.length
  const steps = Array.from({ length: 3 + below(16) }, (_, k) => ({
    kind: kinds[below(kinds.length)] ?? 'plus',
    // Recent results twice as often, so that plans grow deep.
    args: Array.from({ length: 4 }, () =>
      below(2) === 0 ? Math.max(0, start + k - 1 - below(4)) : below(start + k),
    ),
    decimals: below(4),
    rule: rules[below(3)] ?? 'half-even',
  }))
  return { inputs, constants, steps }
}

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

/** The plan in an arithmetic: every fourth step and the last one, the last one rounded to cents. */
export function build<N extends Num<N>>(
  m: Arithmetic<N>,
  plan: Blueprint,
  input: (id: string, row: NumberInput) => N,
): Map<string, N> {
  const nodes: N[] = [...plan.inputs.map((id) => input(id, row(id))), ...plan.constants.map((c) => m.of(c))]
  const outputs = new Map<string, N>()
  plan.steps.forEach((step, k) => {
    const [a, b, c, d] = step.args.map((at) => nodes[at] ?? m.of(1)) as [N, N, N, N]
    const made = ((): N => {
      switch (step.kind) {
        case 'plus':
          return a.plus(b)
        case 'minus':
          return a.minus(b)
        case 'times':
          return a.times(b)
        case 'div':
          return a.div(m.max(b, m.of('0.25')))
        case 'min':
          return m.min(a, b)
        case 'max':
          return m.max(a, b)
        case 'ceil':
          return m.ceil(a)
        case 'choose':
          return m.choose(a, b, c, d)
        case 'sum':
          return m.sum([a, b, c, d])
        case 'ratio':
          return a.div(b)
        case 'clamp':
          return m.max(m.of(0), a.minus(b))
        case 'steps':
          return m.ceil(m.max(m.of(0), a.minus(b)).div(m.of('0.3'))).times(m.of('0.3'))
        default:
          return m.round(a, step.decimals, step.rule)
      }
    })()
    nodes.push(made)
    if (k % 4 === 3) outputs.set(`step ${k}`, m.round(made, 2))
  })
  outputs.set('last', m.round(nodes.at(-1) ?? m.of(0), 2))
  return outputs
}
