// Looks for load plans beside the main thread, so that Ctrl+C is heard while it works and every core has a search.
import { parentPort, workerData } from 'node:worker_threads'
import { type LoadOptions, type LoadResult, type LoadSearch, loadPlan, loadSearch } from '../load/index.js'
import type { Change, Move, Plan } from '../plan/index.js'
import { openMove, openPlansOf } from '../plan/open.js'

/** What a worker is told once. */
export interface LoadTask {
  readonly folder: string
  readonly reference?: string
  readonly set: readonly Change[]
  readonly scenario: string
  readonly container?: string
  /** Two 32-bit numbers: anything but 0 means stop with the best plan so far; and the last search that still matters. */
  readonly stop: SharedArrayBuffer
}

/** One piece of work: a search by its number, or the load plan of the best search. */
export type LoadOrder =
  | { readonly kind: 'search'; readonly index: number; readonly seed: number; readonly work: number }
  | { readonly kind: 'plan'; readonly seed: number; readonly searched: LoadSearch }

/** What the worker says. */
export type LoadMessage =
  | { readonly kind: 'progress'; readonly text: string }
  | { readonly kind: 'searched'; readonly search: LoadSearch }
  | { readonly kind: 'planned'; readonly result: LoadResult }
  | { readonly kind: 'failed'; readonly message: string }

/** Whoever does one order after another on one household. */
export type LoadDesk = (order: LoadOrder) => LoadSearch | LoadResult

/** Opens the household of a task; `tell` hears of progress at most ten times a second. */
export async function openDesk(task: LoadTask, tell: (text: string) => void): Promise<LoadDesk> {
  const move = await openMove(task.folder, task.reference)
  const plans = await openPlansOf(task.folder, move, task.set)
  const plan = plans.find((p) => p.name === task.scenario)
  if (!plan) throw new Error(`no scenario "${task.scenario}"`)
  return deskOf(move, plan, task, tell)
}

/** The same for a household that is open. */
export function deskOf(
  move: Move,
  plan: Plan,
  { container, stop }: Pick<LoadTask, 'container' | 'stop'>,
  tell: (text: string) => void,
): LoadDesk {
  const flags = new Int32Array(stop)
  let last = 0
  const options = (order: LoadOrder): LoadOptions => ({
    ...(container === undefined ? {} : { container }),
    seed: order.seed,
    stop: () =>
      Atomics.load(flags, 0) !== 0 || (order.kind === 'search' && order.index > Atomics.load(flags, 1)),
    onProgress: (progress) => {
      if (Date.now() - last < 100) return
      last = Date.now()
      const { placed, pieces, volumeShare } = progress
      tell(
        `${progress.container}  ${placed}/${pieces} pieces  ${Math.round(volumeShare * 100)} % of the inside`,
      )
    },
  })
  return (order) =>
    order.kind === 'search'
      ? loadSearch(move, plan, { ...options(order), work: order.work })
      : loadPlan(move, plan, options(order), order.searched)
}

if (parentPort) {
  const port = parentPort
  const say = (message: LoadMessage): void => port.postMessage(message)
  const failed = (error: unknown): void =>
    say({ kind: 'failed', message: error instanceof Error ? error.message : String(error) })
  const desk = openDesk(workerData as LoadTask, (text) => say({ kind: 'progress', text }))
  desk.catch(failed)
  port.on('message', (order: LoadOrder) => {
    desk
      .then((work) => work(order))
      .then((done) =>
        say('tries' in done ? { kind: 'searched', search: done } : { kind: 'planned', result: done }),
      )
      .catch(failed)
  })
}
