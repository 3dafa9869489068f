// The edge of this folder: threads. Everything else here also runs in a browser.
import { availableParallelism } from 'node:os'
import { Piscina } from 'piscina'
import type { Program } from '../bulk/index.js'
import { batchSize } from './draws.js'
import { checkRoom, type Simulation } from './simulate.js'
import type { SimulationPlan } from './simulation-plan.js'
import { type Axis, type Part, partRows, rowCount } from './sweep.js'
import type { Task } from './worker.js'

/** How work is spread. */
export interface Threads {
  /** As many as the machine has cores unless said otherwise. */
  readonly threads?: number
  /** The compiled worker, if it is not the package's own. */
  readonly workerFile?: string
}

/** Batches that a thread takes at a time: some 65,000 draws. */
const batchesAtATime = 8
/** Rows of a sweep that a thread takes at a time. */
const rowsAtATime = 65_536

function pool({ threads = availableParallelism(), workerFile }: Threads): Piscina<Task, unknown> {
  const filename = workerFile ?? new URL('../analysis/worker.js', import.meta.url).href
  return new Piscina({ filename, minThreads: 1, maxThreads: Math.max(1, threads) })
}

/** `simulate` on several threads: the same results to the last bit, whatever the number of threads. */
export async function simulateOnThreads(
  plan: SimulationPlan,
  draws: number,
  options: Threads = {},
): Promise<Simulation> {
  checkRoom(plan, draws)
  const threads = pool(options)
  try {
    const columns = plan.program.outputs.map(() => new Float64Array(draws))
    const step = batchSize * batchesAtATime
    const starts = Array.from({ length: Math.ceil(draws / step) }, (_, k) => k * step)
    await Promise.all(
      starts.map(async (from) => {
        const until = Math.min(draws, from + step)
        const all = (await threads.run({ kind: 'simulate', plan, stretch: { from, until } })) as Float64Array
        columns.forEach((column, k) => {
          column.set(all.subarray(k * (until - from), (k + 1) * (until - from)), from)
        })
      }),
    )
    return {
      plan,
      draws,
      columns: new Map(plan.program.outputs.map(({ id }, k) => [id, columns[k] as Float64Array])),
    }
  } finally {
    await threads.close()
  }
}

/**
 * `sweepCsv` on several threads, pieces in order. A few pieces are in hand at a time, so that memory does not grow
 * with the number of rows.
 *
 * @param part as for `sweepCsv`
 */
export async function sweepCsvOnThreads(
  program: Program,
  axes: readonly Axis[],
  write: (text: string) => void,
  options: Threads = {},
  part: Part = { index: 1, of: 1 },
): Promise<void> {
  const [from, until] = partRows(rowCount(axes), part)
  const threads = pool(options)
  try {
    // A part cut again: pieces of a part of n are parts of a multiple of n, so that they begin and end with it.
    const of = Math.max(1, Math.ceil((until - from) / rowsAtATime))
    const piece = (index: number): Part => ({ index: (part.index - 1) * of + index, of: part.of * of })
    const plain = axes.map(({ id, values }) => ({ id, values: values.map(String) }))
    const ahead = 2 * Math.max(1, options.threads ?? availableParallelism())
    const running: Promise<unknown>[] = []
    const start = (index: number): void => {
      running.push(threads.run({ kind: 'sweep', program, axes: plain, part: piece(index) }))
    }
    for (let index = 1; index <= Math.min(of, ahead); index++) start(index)
    for (let index = 1; index <= of; index++) {
      write(String(await running.shift()))
      if (index + ahead <= of) start(index + ahead)
    }
  } finally {
    await threads.close()
  }
}
