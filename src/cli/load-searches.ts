import { existsSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'
import { Worker } from 'node:worker_threads'
import { isBestSearch, isBetterSearch, type LoadResult, type LoadSearch } from '../load/index.js'
import type { LoadPiece } from '../stowage/pieces/index.js'
import { type LoadDesk, type LoadMessage, type LoadOrder, type LoadTask, openDesk } from './load-worker.js'

/** Searches for one load plan, each from another start of the random numbers: as many on every machine. */
export const SEARCHES = 4

/** Threads that work on them: one a core, or fewer. */
export const searchThreads = (cores = availableParallelism()): number =>
  Math.max(1, Math.min(SEARCHES, cores))

/** Does orders in a thread of its own, or in this one. */
interface Clerk {
  readonly run: (order: LoadOrder) => Promise<LoadSearch | LoadResult>
  readonly end: () => Promise<unknown>
}

/**
 * The load plan of the best of four searches. The same on one core as on many: the number of searches, their starts and
 * their work do not depend on the machine, and of equals the first counts. Once a search cannot be beaten, only those
 * before it are waited for.
 *
 * @param seed 1 for the starts 1 to 4, 2 for 5 to 8 and so on
 * @param work blocks that each search may move into place
 * @param threads how many searches run at once
 */
export async function bestLoad(
  task: LoadTask,
  pieces: readonly LoadPiece[],
  { seed, work, threads }: { readonly seed: number; readonly work: number; readonly threads: number },
  tell: (text: string) => void,
): Promise<LoadResult> {
  const flags = new Int32Array(task.stop)
  Atomics.store(flags, 1, SEARCHES)
  const interrupt = (): void => {
    tell('stopping with the best plan so far ...')
    Atomics.store(flags, 0, 1)
  }
  process.once('SIGINT', interrupt)
  const clerks = await clerksOf(task, threads, tell)
  try {
    const found: (LoadSearch | undefined)[] = []
    let next = 0
    const searching = clerks.map(async ({ run }) => {
      // The first search is made in any case, so that a stop ends with a plan.
      while (
        next < SEARCHES &&
        next <= Atomics.load(flags, 1) &&
        (next === 0 || Atomics.load(flags, 0) === 0)
      ) {
        const index = next++
        const search = (await run({ kind: 'search', index, seed: startOf(seed, index), work })) as LoadSearch
        found[index] = search
        if (isBestSearch(search) && index < Atomics.load(flags, 1)) Atomics.store(flags, 1, index)
      }
    })
    await Promise.all(searching)
    let best = 0
    for (let i = 1; i <= Atomics.load(flags, 1) && i < SEARCHES; i++) {
      const [a, b] = [found[i], found[best]]
      if (a !== undefined && b !== undefined && isBetterSearch(pieces, a, b)) best = i
    }
    const searched = found[best]
    const [clerk] = clerks
    if (searched === undefined || clerk === undefined) throw new Error('the search ended without a plan')
    return (await clerk.run({ kind: 'plan', seed: startOf(seed, best), searched })) as LoadResult
  } finally {
    process.removeListener('SIGINT', interrupt)
    await Promise.all(clerks.map(({ end }) => end()))
  }
}

const startOf = (seed: number, index: number): number => (seed - 1) * SEARCHES + index + 1

/** Threads where the package is built; else this one, which does one order after another. */
async function clerksOf(
  task: LoadTask,
  threads: number,
  tell: (text: string) => void,
): Promise<readonly Clerk[]> {
  const file = fileURLToPath(new URL('./load-worker.js', import.meta.url))
  if (existsSync(file)) return Array.from({ length: threads }, () => thread(file, task, tell))
  const desk: LoadDesk = await openDesk(task, tell)
  return [{ run: async (order) => desk(order), end: async () => {} }]
}

function thread(file: string, task: LoadTask, tell: (text: string) => void): Clerk {
  const worker = new Worker(file, { workerData: task })
  const run = (order: LoadOrder): Promise<LoadSearch | LoadResult> =>
    new Promise((resolve, reject) => {
      const ended = (): void => reject(new Error('the search ended without a plan'))
      const hear = (message: LoadMessage): void => {
        if (message.kind === 'progress') {
          tell(message.text)
          return
        }
        worker.off('message', hear)
        worker.off('error', reject)
        worker.off('exit', ended)
        if (message.kind === 'searched') resolve(message.search)
        else if (message.kind === 'planned') resolve(message.result)
        else reject(new Error(message.message))
      }
      worker.on('message', hear)
      worker.on('error', reject)
      worker.on('exit', ended)
      worker.postMessage(order)
    })
  return { run, end: () => worker.terminate() }
}
