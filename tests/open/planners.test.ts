import { expect, it } from 'vitest'
import type { FromPlan, ToPlan } from '../../src/open/page/plan-worker.js'
import { inTurn, type Planner, Planners, plannersFor } from '../../src/open/page/planners.js'
import type { ScenarioFigures } from '../../src/open/page/scenario-answers.js'

class Stand implements Planner {
  #listener: ((event: { readonly data: FromPlan }) => void) | undefined
  readonly asked: ToPlan[] = []
  postMessage(message: ToPlan): void {
    this.asked.push(message)
  }
  addEventListener(_type: 'message', listener: (event: { readonly data: FromPlan }) => void): void {
    this.#listener = listener
  }
  tell(data: FromPlan): void {
    this.#listener?.({ data })
  }
}

function three() {
  const workers = [new Stand(), new Stand(), new Stand()] as const
  const heard: FromPlan[] = []
  const planners = new Planners(workers, (message) => heard.push(message))
  return { workers, heard, planners }
}

const figures = (turn: number, ...names: readonly string[]): FromPlan => ({
  tell: 'figures',
  turn,
  quick: false,
  sure: true,
  currency: 'EUR',
  scenarios: names.map(
    (name): ScenarioFigures => ({ name, figures: {}, carriage: '', container: true, cover: '', level: '' }),
  ),
  ms: turn,
})
const problem = (found: string): FromPlan => ({
  tell: 'answers',
  turn: 1,
  packed: false,
  ms: 1,
  answers: {
    ok: false,
    problems: [{ file: 'a.csv', line: 1, column: 'b', found, expected: 'c', fix: 'd' }],
  },
})

it('tells the scenarios in the order of the household, once every worker has planned its share', () => {
  const { workers, heard } = three()
  workers[2].tell(figures(1, 'c'))
  workers[0].tell(figures(1, 'a', 'd'))
  expect(heard).toEqual([])
  workers[1].tell(figures(1, 'b'))
  expect(heard).toEqual([figures(1, 'a', 'b', 'c', 'd')])
})

it('never mixes the figures of two edits', () => {
  const { workers, heard } = three()
  workers[0].tell(figures(1, 'a'))
  workers[1].tell(figures(2, 'b'))
  workers[2].tell(figures(2, 'c'))
  expect(heard).toEqual([])
  workers[0].tell(figures(2, 'a'))
  expect(heard).toEqual([figures(2, 'a', 'b', 'c')])
})

it('asks the worker that planned a scenario where its figures come from', () => {
  const { workers, planners } = three()
  workers[0].tell(figures(1, 'a', 'd'))
  workers[1].tell(figures(1, 'b'))
  workers[2].tell(figures(1, 'c'))
  for (const scenario of ['b', 'd']) planners.ask({ ask: 'explain', id: 1, scenario, cell: 'cost.total' })
  expect(workers.map(({ asked }) => asked.length)).toEqual([1, 1, 0])
})

it('tells a problem that all workers found once', () => {
  const { workers, heard } = three()
  for (const worker of workers) worker.tell(problem('x'))
  expect(heard).toEqual([problem('x')])
})

it('does not mix what two questions about one line were answered', () => {
  const { workers, heard, planners } = three()
  planners.ask({ ask: 'leaving', line: 'K-01' })
  planners.ask({ ask: 'leaving', line: 'K-01' })
  const ids = workers[0].asked.map((message) => (message.ask === 'leaving' ? message.id : undefined))
  expect(new Set(ids).size).toBe(2)
  const saves = (worker: 0 | 1 | 2, at: 0 | 1): void =>
    workers[worker].tell({
      tell: 'leaving',
      line: 'K-01',
      id: ids[at] ?? 0,
      savings: [{ name: `${worker}`, value: at, text: '' }],
    })
  saves(0, 0)
  saves(0, 1)
  saves(1, 0)
  saves(2, 0)
  expect(heard).toMatchObject([{ savings: [{ value: 0 }, { value: 0 }, { value: 0 }] }])
})

it('puts shares together whatever their lengths, and plans with one worker at least', () => {
  expect(inTurn([[1, 4], [2], [3]])).toEqual([1, 2, 3, 4])
  expect(inTurn([[1], [], []])).toEqual([1])
  expect([0, 1, 2, 8].map(plannersFor)).toEqual([1, 1, 2, 3])
})
