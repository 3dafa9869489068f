// The disk of load plans: those that were found stand in one file in the household's folder, by what was asked.
import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import { replaceFile } from '../paper/replace-file.js'
import type { Move, Plan } from '../plan/move.js'
import { householdFolder } from '../plan/open.js'
import { type Effort, type KeptLoad, keptOf, loadContent, recalled, toKeep } from './kept-loads.js'
import { loadPlan } from './load-plan.js'
import type { LoadResult } from './load-result.js'

/** Hidden, because nobody edits it: it may be deleted at any time and is then found again. */
const FILE = '.load-plans.json'
/** So many are kept, the latest: some 100 kB each for a whole home. */
const MOST = 12

const digestOf = (found: unknown): string => createHash('sha256').update(JSON.stringify(found)).digest('hex')

const number = z.number().int().nonnegative()
const fileOf = z.array(
  z
    .object({
      content: z.string().regex(/^[0-9a-f]{64}$/),
      effort: z.object({ work: number, seed: number, searches: number }),
      digest: z.string(),
      found: z.unknown(),
    })
    // The plan is taken as a whole or not at all: a crew loads by it.
    .refine(({ digest, found }) => digestOf(found) === digest),
)

/** The load plans of a household; none where the file is not there, not whole or changed by hand. */
export async function readKeptLoads(folder: string): Promise<readonly KeptLoad[]> {
  try {
    const read = fileOf.safeParse(JSON.parse(await readFile(join(folder, FILE), 'utf8')))
    return read.success ? (read.data as readonly KeptLoad[]) : []
  } catch {
    return []
  }
}

/** Keeps a load plan as the latest. A folder that cannot be written to costs time at the next run and nothing else. */
export async function keepLoad(folder: string, load: KeptLoad): Promise<void> {
  const others = (await readKeptLoads(folder)).filter((kept) => !isSameQuestion(kept, load))
  const latest = [...others, load].slice(-MOST)
  try {
    await replaceFile(
      join(folder, FILE),
      `${JSON.stringify(latest.map((kept) => ({ ...kept, digest: digestOf(kept.found) })))}\n`,
    )
  } catch {
    // Read-only households are loaded all the same.
  }
}

const isSameQuestion = (a: KeptLoad, b: KeptLoad): boolean => keptOf([a], b.content, b.effort) !== undefined

/**
 * The load plan that is kept for a question; otherwise the one that is found now, which is kept from then on.
 *
 * @param asked the container as for `loadPlan`, and the effort that counts; any effort otherwise
 */
export async function keptOrFound(
  folder: string,
  move: Move,
  plan: Plan,
  asked: { readonly container?: string | undefined; readonly effort?: Effort },
  search: () => Promise<{ readonly effort: Effort; readonly result: LoadResult }>,
): Promise<LoadResult> {
  const content = loadContent(move, plan, asked.container)
  const kept = keptOf(await readKeptLoads(folder), content, asked.effort)
  if (kept) return recalled(move, plan, kept)
  const { effort, result } = await search()
  await keepLoad(folder, toKeep(content, effort, result))
  return result
}

/**
 * The load plan of a household as `loadPlan` finds it, looked for once: it is kept in the household's folder, and shown at
 * once where everything that it hangs on is the same.
 *
 * @param household a path, or the name of one of the package's own households
 * @param options the work of the search, blocks moved into place; `container` as for `loadPlan`
 * Throws as `loadPlan` does.
 */
export function openLoadPlan(
  household: string,
  move: Move,
  plan: Plan,
  options: { readonly work: number; readonly container?: string },
): Promise<LoadResult> {
  const { work, container } = options
  const effort: Effort = { work, seed: 1, searches: 1 }
  return keptOrFound(householdFolder(household), move, plan, { container, effort }, async () => ({
    effort,
    result: loadPlan(move, plan, options),
  }))
}
