import {
  answer,
  bookedText,
  find,
  type LoadResult,
  loadJson,
  loadOf,
  loadWork,
  proofText,
} from '../load/index.js'
import { keptOrFound } from '../load/kept-loads-file.js'
import { writeLoad } from '../load/write.js'
import { type Args, UsageError } from './args.js'
import { type Command, householdFolder, namedPlan, openPlans, planOptions, setChanges } from './command.js'
import { bestLoad, SEARCHES, searchThreads } from './load-searches.js'
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
      says: `how long to look, on all cores; ${DEFAULT_SECONDS} otherwise. Ctrl+C ends with the best so far`,
    },
    work: {
      value: 'N',
      says: `blocks to move into place in each of ${SEARCHES} searches instead of seconds: the same plan on every machine`,
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
    const asked = container === undefined ? {} : { container }
    const threads = searchThreads()
    // The seconds of all threads are shared out among the searches, whose number is the same everywhere.
    const seconds = (secondsOf(args) * threads) / SEARCHES
    const effort = {
      work: work ?? loadWork(move, plan, { ...asked, seconds, now: Date.now }),
      seed: seed ?? 1,
      searches: SEARCHES,
    }
    const folder = householdFolder(args)
    const result = await keptOrFound(folder, move, plan, { container, effort }, async () => {
      const stop = new SharedArrayBuffer(8)
      const found = await bestLoad(
        {
          folder,
          ...(reference === undefined ? {} : { reference }),
          set: setChanges(args),
          scenario: plan.name,
          ...asked,
          stop,
        },
        loadOf(move, plan).pieces,
        { ...effort, threads },
        (text) => io.err(text),
      )
      // What was stopped early is kept all the same, but no effort gives it again.
      const stopped = Atomics.load(new Int32Array(stop), 0) !== 0
      return { effort: stopped ? { ...effort, work: 0 } : effort, result: found }
    })
    if (args.flags.has('verbose')) {
      io.err(
        `Work: ${result.workUsed} blocks moved into place of ${result.workAllowed} allowed in the best of ${SEARCHES} searches (--work ${result.workAllowed} gives this plan again, on any number of cores). Plans that the check refused: ${result.discarded}.`,
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
