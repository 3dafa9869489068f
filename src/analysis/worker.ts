// What a worker thread runs: one stretch of a simulation or one part of a sweep, plain data in and out.
import { move as handOver } from 'piscina'
import type { Program } from '../bulk/index.js'
import { Exact } from '../quantity/exact.js'
import { type Stretch, simulateStretch } from './simulate.js'
import type { SimulationPlan } from './simulation-plan.js'
import { type Part, sweepCsv } from './sweep.js'

/** Work for one thread. Axis values travel as decimal text. */
export type Task =
  | { readonly kind: 'simulate'; readonly plan: SimulationPlan; readonly stretch: Stretch }
  | {
      readonly kind: 'sweep'
      readonly program: Program
      readonly axes: readonly { readonly id: string; readonly values: readonly string[] }[]
      readonly part: Part
    }

/** The outputs of a stretch one after the other in one array, in the program's order; or the CSV text of a part. */
export default function work(task: Task): unknown {
  if (task.kind === 'simulate') {
    const columns = [...simulateStretch(task.plan, task.stretch).values()]
    const length = task.stretch.until - task.stretch.from
    const all = new Float64Array(columns.length * length)
    columns.forEach((column, k) => {
      all.set(column, k * length)
    })
    // Handed over, not copied.
    return handOver(all)
  }
  const axes = task.axes.map(({ id, values }) => ({ id, values: values.map((value) => new Exact(value)) }))
  const pieces: string[] = []
  sweepCsv(task.program, axes, (text) => pieces.push(text), task.part)
  return pieces.join('')
}
