import { Columns } from '../bulk/index.js'
import { UnusableInput } from '../plan/refusal.js'
import { batchSize, drawer } from './draws.js'
import { LOSS_DRAWS, lossColumns } from './losses.js'
import { outputId } from './recorded-scenarios.js'
import type { SimulationPlan, Source } from './simulation-plan.js'

/** Draws worked out together by one worker. */
export interface Stretch {
  readonly from: number
  readonly until: number
}

/**
 * Works out draws `from` to `until`, which are cut from whole batches: whoever works out a batch, and in whatever
 * order, its draws and results are the same to the last bit.
 *
 * @returns a column for each output of the program
 */
export function simulateStretch(plan: SimulationPlan, { from, until }: Stretch): Map<string, Float64Array> {
  const work = worker(plan)
  const draw = drawer(plan.draws)
  const drawn = drawnColumns(plan)
  const results = plan.program.outputs.map(() => new Float64Array(until - from))
  for (let batch = Math.floor(from / batchSize); batch * batchSize < until; batch++) {
    const first = batch * batchSize
    const wanted = Math.min(batchSize, until - first)
    // A batch is drawn whole, so that its draws never change, and worked out as far as it is wanted.
    draw(batch, batchSize, drawn, wanted)
    work(drawn, wanted, (start, count, outputs) => {
      const [low, high] = [Math.max(from, first + start), Math.min(until, first + start + count)]
      if (low >= high) return
      outputs.forEach((column, k) => {
        results[k]?.set(column.subarray(low - first - start, high - first - start), low - from)
      })
    })
  }
  return new Map(plan.program.outputs.map(({ id }, k) => [id, results[k] as Float64Array]))
}

/** Room for one batch of each uncertain figure. */
export const drawnColumns = (plan: SimulationPlan): Float64Array[] =>
  plan.draws.uncertain.map(() => new Float64Array(batchSize))

type Taken = (start: number, count: number, outputs: readonly Float64Array[]) => void

/**
 * Prepares to work out results from drawn figures, up to one batch of them at a time.
 *
 * @returns a function of the drawn columns and how many of their draws are wanted, which hands over the results piece
 *   by piece
 */
export function worker(
  plan: SimulationPlan,
): (drawn: readonly Float64Array[], count: number, take: Taken) => void {
  const columns = new Columns(plan.program)
  const withLosses = plan.sources.some((source) => source.kind === 'loss')
  const lossesOf = plan.losses.map(lossColumns)
  return (drawn, wanted, take) => {
    const lossFigures = drawn.slice(-LOSS_DRAWS.length)
    const losses = withLosses ? lossesOf.map((of) => of(lossFigures, wanted)) : []
    columns.run(
      wanted,
      (start, count, inputs) => {
        plan.sources.forEach((source, k) => {
          const into = inputs[k] as Float64Array
          if (source.kind === 'days') daysInto(into, source, drawn, start, count)
          else {
            const column = source.kind === 'loss' ? losses[source.model]?.get(source.id) : drawn[source.place]
            into.set((column as Float64Array).subarray(start, start + count))
          }
        })
      },
      take,
    )
  }
}

/** Days of a delay: the stated ones times the tail, a day begun being a day, and those of an examination. */
function daysInto(
  into: Float64Array,
  { days, place, examined }: Extract<Source, { kind: 'days' }>,
  drawn: readonly Float64Array[],
  start: number,
  count: number,
): void {
  const tail = drawn[place] as Float64Array
  for (let i = 0; i < count; i++) into[i] = Math.ceil(days * (tail[start + i] as number))
  if (!examined) return
  const happens = drawn[examined.place] as Float64Array
  for (let i = 0; i < count; i++)
    if ((happens[start + i] as number) >= 1) into[i] = (into[i] as number) + examined.days
}

/** Outcome of a simulation. */
export interface Simulation {
  readonly plan: SimulationPlan
  readonly draws: number
  /** Draws of each output, by `outputId`. */
  readonly columns: ReadonlyMap<string, Float64Array>
}

/** Values that a simulation keeps, at most: 240 MB. */
const mostKept = 30_000_000

/** Throws one sentence if so many draws of so many outputs would not fit into memory. */
export function checkRoom(plan: SimulationPlan, draws: number): void {
  const outputs = plan.program.outputs.length
  if (!Number.isSafeInteger(draws) || draws < 1)
    throw new Error(`${draws} draws: give a whole number, 1 or more`)
  if (draws * outputs > mostKept) {
    const most = Math.floor(mostKept / outputs)
    throw new UnusableInput(
      `${draws} draws of ${outputs} outputs do not fit; ask for ${most} draws or fewer, or for fewer cells`,
    )
  }
}

/** Runs a simulation on this thread. */
export function simulate(plan: SimulationPlan, draws: number): Simulation {
  checkRoom(plan, draws)
  return { plan, draws, columns: simulateStretch(plan, { from: 0, until: draws }) }
}

/** The draws of a cell in a scenario. */
export function drawsOf(simulation: Simulation, scenario: string, cell: string): Float64Array {
  const column = simulation.columns.get(outputId(scenario, cell))
  if (column) return column
  throw new Error(
    `"${outputId(scenario, cell)}" was not simulated; there are: ${[...simulation.columns.keys()].join(', ')}`,
  )
}
