// The disk of what was really loaded: one optional file in a folder of its own inside the household's.
import { existsSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Move, Plan } from '../plan/move.js'
import { Refusal } from '../plan/refusal.js'
import { LOADED_FILE, LOADING_FOLDER, readLoaded, type Stayed, stayedBehind } from './loaded.js'
import { loadOf } from './pieces-of.js'

/**
 * What stayed behind by the household's loading/loaded.csv; nothing where there is no such file. Throws a Refusal with
 * every problem of it.
 */
export async function readStayed(folder: string, move: Move, plan: Plan): Promise<Stayed | undefined> {
  const path = join(folder, LOADING_FOLDER, LOADED_FILE)
  if (!existsSync(path)) return undefined
  const load = loadOf(move, plan)
  const csv = { file: `${LOADING_FOLDER}/${LOADED_FILE}`, text: await readFile(path, 'utf8') }
  const read = readLoaded(csv, load)
  if (!read.ok) throw new Refusal(read.problems)
  return stayedBehind(read.value, load)
}
