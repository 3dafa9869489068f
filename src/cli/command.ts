import type { Change, Move, Plan } from '../plan/index.js'
import {
  changeOf,
  DEMO_HOUSEHOLD,
  householdFolder as folderOf,
  openMove as open,
  openPlansOf,
} from '../plan/open.js'
import { type Args, type OptionFacts, UsageError } from './args.js'

export { packageRoot, Refusal } from '../plan/open.js'

/** Where a command's words go. */
export interface Io {
  out(text: string): void
  /** Progress and complaints, kept apart from results so that results can be piped. */
  err(text: string): void
}

/** 0 done; 1 something failed on the way; 2 the command line or the input files are not right. */
export type ExitCode = 0 | 1 | 2

export interface Command {
  readonly name: string
  readonly words: string
  readonly says: string
  readonly options: Readonly<Record<string, OptionFacts>>
  /** The folder the command fills, if it fills one: no second run may write there meanwhile. */
  writesTo?(args: Args): string
  run(args: Args, io: Io): Promise<ExitCode>
}

/** Options that every command which plans a household has. */
export const planOptions = {
  set: { value: 'id=value', many: true, says: 'change an input in every scenario; may be given again' },
  reference: { value: 'DIR', says: 'other reference tables than those of the package' },
} as const

/** The household's folder a command names: a path, the name of one of the package's households, or the demo. */
export function householdFolder(args: Args): string {
  if (args.words.length > 1) throw new UsageError(`one folder at a time; found ${args.words.join(' and ')}`)
  return folderOf(args.words[0] ?? DEMO_HOUSEHOLD)
}

/** `--set id=value`, as changes. */
export function setChanges(args: Args): Change[] {
  return args.all('set').map((text) => {
    if (text.indexOf('=') < 1)
      throw new UsageError(`--set ${text}: write --set id=value, as in --set cost.origin.wage=31`)
    return changeOf(text, '--set')
  })
}

/** Reads a household's folder. Throws a Refusal with every problem of every file. */
export const openMove = (folder: string, args: Args): Promise<Move> => open(folder, args.text('reference'))

/** Columns that a printed page has room for; charts and tables of more cannot be read. */
export const MOST_ON_PAPER = 30
/** Columns that a spreadsheet or a page on a screen is still quick with; both grow with them, as memory does. */
export const MOST_ON_SCREEN = 300

/**
 * Reads and plans a household with the changes of the command line.
 *
 * @param most scenarios that the output has room for; more are refused before anything is planned
 */
export async function openPlans(
  args: Args,
  folder = householdFolder(args),
  most?: number,
): Promise<{ move: Move; plans: readonly Plan[] }> {
  const move = await openMove(folder, args)
  const columns = move.household.scenarios.length
  if (most !== undefined && columns > most) {
    throw new UsageError(
      `${columns} scenarios; this shows at most ${most} side by side. Keep those you want in scenarios.csv, or let compare --csv, sweep or study work through all of them.`,
    )
  }
  const plans = await openPlansOf(folder, move, setChanges(args), (text) => process.stderr.write(`${text}\n`))
  return { move, plans }
}

/** The scenario a command names with --scenario; the first one otherwise. */
export function namedPlan(plans: readonly Plan[], name: string | undefined): Plan {
  const found = name === undefined ? plans[0] : plans.find((plan) => plan.name === name)
  if (found) return found
  throw new UsageError(`no scenario "${name}"; there are: ${plans.map((plan) => plan.name).join(', ')}`)
}

/** What is decided anew in a table of what-ifs. */
export const DECIDED_ANEW =
  'Carriage, importer and the way at each door are chosen again at every value, as if it had been known at booking; a carriage that a scenario states is kept.'
