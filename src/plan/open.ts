// The edge of this folder: the only file of it that knows where files are. Everything else here also runs in a browser.
import { existsSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { OWN_CUSTOMS_FILE } from '../customs/own-rows.js'
import { planPacked } from '../load/packed-plans.js'
import { keepPackedRooms, readPackedRooms } from '../load/packed-rooms-file.js'
import { readCsvFiles, readFolder } from '../tables/disk.js'
import { HOUSEHOLD_FILES } from '../tables/household.js'
import { problemsOf } from '../tables/problem.js'
import type { Change } from './inputs.js'
import { type Move, type Plan, readMove } from './move.js'
import { Refusal } from './refusal.js'
import { refuseUnread } from './unused.js'

export { Refusal } from './refusal.js'

/** The folder that holds package.json, data and notebooks, wherever the package is installed. */
export const packageRoot = fileURLToPath(new URL('../../', import.meta.url))

/** The household that is planned when nobody names one. */
export const DEMO_HOUSEHOLD = 'leeuwarden-nanaimo'

/** A household's folder: a path, or the name of one of the package's own households. */
export function householdFolder(name: string): string {
  const own = join(packageRoot, 'data', 'households', name)
  return !existsSync(name) && !name.includes('..') && existsSync(own) ? own : resolve(name)
}

/** `id=value` as a change. Throws one sentence where there is no `=`. */
export function changeOf(text: string, from: string): Change {
  const at = text.indexOf('=')
  if (at < 1) throw new Error(`${from} ${text}: write id=value, as in cost.origin.wage=31`)
  return { id: text.slice(0, at).trim(), value: text.slice(at + 1).trim(), place: { file: from, line: 1 } }
}

/** Read by the brief and not by the plan: who sends it. */
const SENDER_FILE = 'brief.csv'

/** Reads a household's folder and the reference tables. Throws a Refusal with every problem of every file. */
export async function openMove(
  folder: string,
  reference = join(packageRoot, 'data', 'reference'),
): Promise<Move> {
  const known = [...Object.values(HOUSEHOLD_FILES), OWN_CUSTOMS_FILE, SENDER_FILE]
  const household = await readCsvFiles(folder, '', known)
  if (household.problems.some((p) => p.column === 'folder')) throw new Refusal(household.problems)
  const tables = await readFolder(reference, 'reference')
  const customs = await readFolder(join(reference, 'customs'), 'reference/customs')
  if (!tables.ok || !customs.ok) throw new Refusal(problemsOf([tables, customs]))
  const move = readMove(household.files, tables.value, customs.value, household.problems)
  if (!move.ok) throw new Refusal(move.problems, move.filledCells)
  return move.value
}

/**
 * Opens a household and plans its scenarios: the first call of every notebook.
 *
 * @param household folder, or name of one of the package's households
 * @param set changes to every scenario, each `id=value`
 */
export async function openHousehold(
  household: string,
  set: readonly string[] = [],
): Promise<{ move: Move; plans: readonly Plan[] }> {
  const folder = householdFolder(household)
  const move = await openMove(folder)
  const changes = set.map((text) => changeOf(text, 'set'))
  return { move, plans: await openPlansOf(folder, move, changes) }
}

/**
 * The plans of a household that has been read, with what packing its containers found; what is found is kept in the
 * folder.
 *
 * @param tell told before each container that is packed, because it may take seconds
 * Throws a Refusal where a change does not fit or where no figure of any plan reads it.
 */
export async function openPlansOf(
  folder: string,
  move: Move,
  set: readonly Change[],
  tell?: (text: string) => void,
): Promise<readonly Plan[]> {
  const rooms = await readPackedRooms(folder)
  const known = rooms.size
  const plans = planPacked(move, rooms, set, tell)
  if (rooms.size > known) await keepPackedRooms(folder, rooms)
  refuseUnread(
    plans,
    set.map(({ id }) => id),
  )
  return plans
}
