// The edge of this folder: threads. Everything else here also runs in a browser.
import { availableParallelism } from 'node:os'
import { Piscina } from 'piscina'
import { firstContainers, type PackedRoom, type PackedRooms } from '../load/packed-plans.js'
import { Refusal } from '../plan/refusal.js'
import { type ReadyStudy, type Stretch, statedChanges } from './run.js'
import { type Answer, type StudyTexts, type Task, worksOn } from './worker.js'

/** How a study is spread over threads. */
export interface StudyThreads {
  /** As many as the machine has cores unless said otherwise; 1 works in the calling thread. */
  readonly threads?: number
  /** The compiled worker, if it is not the package's own. */
  readonly workerFile?: string
  /** What packing found before, by household; what is found is added. Left out, room is taken by volume alone. */
  readonly rooms?: (household: string) => PackedRooms
  /** Told before containers are packed, because it takes seconds. */
  readonly tell?: (text: string) => void
}

/**
 * Works stretches of a study out on several threads and hands their rows on in order. A few stretches are in hand at a
 * time, so that memory does not grow with the number of rows. The text is the same to the byte whatever the number of
 * threads.
 *
 * @param from only rows of the table from this one, to before `until`
 * @param take is handed the CSV text of each stretch in turn
 *
 * Throws a Refusal where a value does not fit.
 */
export async function writeStretches(
  ready: ReadyStudy,
  texts: StudyTexts,
  stretches: readonly Stretch[],
  [from, until]: readonly [number, number],
  take: (text: string, stretch: Stretch) => Promise<void>,
  options: StudyThreads = {},
): Promise<void> {
  const threads = Math.max(1, options.threads ?? availableParallelism())
  const alone = threads === 1 || stretches.length < 2
  const others = pool(texts, threads, options.workerFile)
  const here = worksOn(() => ready)
  const packed = packingOf(ready, others.run, threads, options)
  const begin = async (stretch: Stretch): Promise<string> => {
    const household = stretch[0]?.of.household ?? ''
    const known = await packed(stretch)
    const task: Task = { kind: 'stretch', stretch, from, until, ...(known ? { rooms: known } : {}) }
    const answer = (alone ? here(task) : await others.run(task)) as Answer
    if (!answer.ok) throw new Refusal(answer.problems)
    for (const [key, room] of answer.rooms) options.rooms?.(household).set(key, room)
    return answer.text
  }
  try {
    const ahead = alone ? 1 : 2 * threads
    const running: Promise<string>[] = []
    const start = (stretch: Stretch): void => {
      const text = begin(stretch)
      // What goes wrong is told when its turn comes.
      text.catch(() => {})
      running.push(text)
    }
    for (const [k, stretch] of stretches.entries()) {
      for (const next of stretches.slice(k + running.length, k + ahead)) start(next)
      await take((await running.shift()) ?? '', stretch)
    }
  } finally {
    await others.close()
  }
}

interface Crew {
  run(task: Task): Promise<unknown>
  close(): Promise<void>
}

/** Threads that are started when the first task comes. */
function pool(texts: StudyTexts, threads: number, workerFile?: string): Crew {
  const filename = workerFile ?? new URL('../study/worker.js', import.meta.url).href
  let workers: Piscina<Task, unknown> | undefined
  return {
    run(task) {
      workers ??= new Piscina({
        filename,
        minThreads: threads,
        maxThreads: threads,
        workerData: texts,
        // Plans are many short-lived numbers, rows short-lived texts. With more room for them plans take a twelfth
        // less time, but a table of millions of rows takes a hundred megabytes more.
        resourceLimits: { maxYoungGenerationSizeMb: 32 },
      })
      return workers.run(task)
    },
    close: async () => workers?.destroy(),
  }
}

/**
 * Has a household's containers packed before its first stretch, several at a time; afterwards every stretch knows what
 * was found.
 */
function packingOf(
  ready: ReadyStudy,
  run: Crew['run'],
  threads: number,
  { rooms, tell = () => {} }: StudyThreads,
): (stretch: Stretch) => Promise<PackedRooms | undefined> {
  const begun = new Map<string, Promise<void>>()
  const pack = async (stretch: Stretch, found: PackedRooms): Promise<void> => {
    const [piece] = stretch
    if (!piece || threads === 1) return
    const move = ready.open(piece.of)
    const open = new Map<string, { readonly scenario: string; readonly container: string }>()
    for (const scenario of piece.of.scenarios) {
      const asked = firstContainers(move, scenario, statedChanges(move, scenario), found)
      for (const [key, container] of asked) open.set(key, { scenario, container })
    }
    if (open.size < 2) return
    tell(`Packing ${open.size} containers of ${piece.of.household} piece by piece (kept for next time) ...`)
    await Promise.all(
      [...open].map(async ([key, one]) => {
        found.set(key, (await run({ kind: 'pack', of: piece.of, ...one })) as PackedRoom)
      }),
    )
  }
  return async (stretch) => {
    const household = stretch[0]?.of.household ?? ''
    const found = rooms?.(household)
    if (!found) return undefined
    const ready = begun.get(household) ?? pack(stretch, found)
    begun.set(household, ready)
    await ready
    return found
  }
}
