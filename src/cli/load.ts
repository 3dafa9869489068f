import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { Worker } from 'node:worker_threads'
import { answer, bookedText, find, type LoadResult, loadJson, proofText } from '../load/index.js'
import { writeLoad } from '../load/write.js'
import { type Args, UsageError } from './args.js'
import { type Command, householdFolder, namedPlan, openPlans, planOptions, setChanges } from './command.js'
import { type LoadMessage, type LoadTask, runTask } from './load-worker.js'
import { outFolder } from './notebooks.js'

const DEFAULT_SECONDS = 10

export const loadCommand: Command = {
  name: 'load',
  words: '[DIR]',
  says: 'packs the container and writes the load plan: load.html, loading-book.html to print, load.json, loading-list.csv, loaded.csv to type back',
  options: {
    ...planOptions,
    scenario: { value: 'NAME', says: 'the scenario to load; the first one otherwise' },
    container: { value: '45G1', says: 'only this size type; the smallest that takes everything otherwise' },
    seconds: {
      value: 'N',
      says: `how long to look; ${DEFAULT_SECONDS} otherwise. Ctrl+C ends with the best so far`,
    },
    work: {
      value: 'N',
      says: 'blocks to move into place instead of seconds: the same plan on every machine',
    },
    verbose: { says: 'say how much work the search took and how many plans its check refused' },
    seed: { value: 'N', says: 'start of the random numbers, a whole number; 1 otherwise' },
    find: { value: 'MARK', says: 'also say where a thing stands and what has to come out before it' },
    out: { value: 'DIR', says: 'where it goes; out/ and the household’s name otherwise' },
    json: { says: 'print load.json instead of writing files' },
  },
  writesTo: outFolder,
  async run(args, io) {
    const { move, plans } = await openPlans(args)
    const plan = namedPlan(plans, args.text('scenario'))
    const container = args.text('container')
    const known = move.reference.containers.map((c) => c.id)
    if (container !== undefined && !known.includes(container)) {
      throw new UsageError(`--container ${container}: there are: ${known.join(', ')}`)
    }
    const reference = args.text('reference')
    const seed = wholeNumber(args, 'seed')
    const work = wholeNumber(args, 'work')
    const result = await searched(
      {
        folder: householdFolder(args),
        ...(reference === undefined ? {} : { reference }),
        set: setChanges(args),
        scenario: plan.name,
        ...(container === undefined ? {} : { container }),
        seconds: secondsOf(args),
        ...(work === undefined ? {} : { work }),
        ...(seed === undefined ? {} : { seed }),
        stop: new SharedArrayBuffer(4),
      },
      (text) => io.err(text),
    )
    if (args.flags.has('verbose')) {
      io.err(
        `Work: ${result.workUsed} blocks moved into place of ${result.workAllowed} allowed (--work ${result.workAllowed} gives this plan again). Plans that the check refused: ${result.discarded}.`,
      )
    }
    tellOf(result, args.text('find'), (text) => io.err(text))
    if (args.flags.has('json')) {
      io.out(loadJson(move, result).trimEnd())
      return 0
    }
    io.err([answer(result), bookedText(result), proofText(result)].filter((text) => text !== '').join('\n'))
    io.out((await writeLoad(outFolder(args), move, plan, result)).join('\n'))
    return 0
  },
}

/** Says where a thing stands. Throws a UsageError where nothing has that mark. */
function tellOf(result: LoadResult, mark: string | undefined, tell: (text: string) => void): void {
  if (mark === undefined) return
  const found = find(result, mark)
  if (found.length === 0) {
    throw new UsageError(`--find ${mark}: no piece or carton has that mark; loading-list.csv names them all`)
  }
  for (const text of found) tell(text)
}

function secondsOf(args: Args): number {
  const text = args.text('seconds') ?? String(DEFAULT_SECONDS)
  const seconds = Number(text)
  if (!(seconds > 0 && seconds <= 86_400)) {
    throw new UsageError(`--seconds ${text}: write a number above 0, as in --seconds 10`)
  }
  return seconds
}

function wholeNumber(args: Args, name: string): number | undefined {
  const text = args.text(name)
  if (text === undefined) return undefined
  if (!/^\d{1,9}$/.test(text))
    throw new UsageError(`--${name} ${text}: write a whole number, as in --${name} 7`)
  return Number(text)
}

/** Runs the task in a thread of its own and stops it at Ctrl+C; where the package is not built, in this one. */
async function searched(task: LoadTask, tell: (text: string) => void): Promise<LoadResult> {
  const file = fileURLToPath(new URL('./load-worker.js', import.meta.url))
  if (!existsSync(file)) return runTask(task, tell)
  const flag = new Int32Array(task.stop)
  const interrupt = (): void => {
    tell('stopping with the best plan so far ...')
    Atomics.store(flag, 0, 1)
  }
  process.once('SIGINT', interrupt)
  const worker = new Worker(file, { workerData: task })
  try {
    return await new Promise<LoadResult>((resolve, reject) => {
      worker.on('message', (message: LoadMessage) => {
        if (message.kind === 'progress') tell(message.text)
        else if (message.kind === 'done') resolve(message.result)
        else reject(new Error(message.message))
      })
      worker.on('error', reject)
      worker.on('exit', () => reject(new Error('the search ended without a plan')))
    })
  } finally {
    process.removeListener('SIGINT', interrupt)
    await worker.terminate()
  }
}
