// Looks for a load plan beside the main thread, so that Ctrl+C is heard while it works.
import { parentPort, workerData } from 'node:worker_threads'
import { type LoadResult, loadPlan } from '../load/index.js'
import type { Change } from '../plan/index.js'
import { openMove, openPlansOf } from '../plan/open.js'

/** What the worker is told. */
export interface LoadTask {
  readonly folder: string
  readonly reference?: string
  readonly set: readonly Change[]
  readonly scenario: string
  readonly container?: string
  readonly seconds: number
  /** Blocks to move into place, instead of seconds. */
  readonly work?: number
  readonly seed?: number
  /** One 32-bit number: anything but 0 means stop with the best plan so far. */
  readonly stop: SharedArrayBuffer
}

/** What the worker says. */
export type LoadMessage =
  | { readonly kind: 'progress'; readonly text: string }
  | { readonly kind: 'done'; readonly result: LoadResult }
  | { readonly kind: 'failed'; readonly message: string }

/** The load plan of a task; `tell` hears of progress at most ten times a second. */
export async function runTask(task: LoadTask, tell: (text: string) => void): Promise<LoadResult> {
  const move = await openMove(task.folder, task.reference)
  const plans = await openPlansOf(task.folder, move, task.set)
  const plan = plans.find((p) => p.name === task.scenario)
  if (!plan) throw new Error(`no scenario "${task.scenario}"`)
  const flag = new Int32Array(task.stop)
  let last = 0
  return loadPlan(move, plan, {
    ...(task.container === undefined ? {} : { container: task.container }),
    ...(task.seed === undefined ? {} : { seed: task.seed }),
    ...(task.work === undefined ? {} : { work: task.work }),
    seconds: task.seconds,
    now: Date.now,
    stop: () => Atomics.load(flag, 0) !== 0,
    onProgress: ({ container, placed, pieces, volumeShare }) => {
      if (Date.now() - last < 100) return
      last = Date.now()
      tell(`${container}  ${placed}/${pieces} pieces  ${Math.round(volumeShare * 100)} % of the inside`)
    },
  })
}

if (parentPort) {
  const port = parentPort
  const say = (message: LoadMessage): void => port.postMessage(message)
  runTask(workerData as LoadTask, (text) => say({ kind: 'progress', text })).then(
    (result) => say({ kind: 'done', result }),
    (error: unknown) =>
      say({ kind: 'failed', message: error instanceof Error ? error.message : String(error) }),
  )
}
