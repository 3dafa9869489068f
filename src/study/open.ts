// The edge of this folder to the disk: where a study's households and tables are.
import { existsSync } from 'node:fs'
import { readdir } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { OWN_CUSTOMS_FILE } from '../customs/own-rows.js'
import type { PackedRooms } from '../load/packed-plans.js'
import { keepPackedRooms, readPackedRooms } from '../load/packed-rooms-file.js'
import { householdFolder, packageRoot } from '../plan/open.js'
import { Refusal } from '../plan/refusal.js'
import { csvCell } from '../tables/as-data.js'
import type { CsvFile } from '../tables/csv.js'
import { readCsvFiles, readFolder } from '../tables/disk.js'
import { HOUSEHOLD_FILES } from '../tables/household.js'
import { problemsOf, type Read } from '../tables/problem.js'
import { splitRows } from '../tables/split.js'
import {
  type HouseholdFiles,
  type HouseholdTexts,
  householdsWith,
  moveBetween,
  type ReferenceFiles,
} from './cases.js'
import { headLine, piecesOf, type ReadyStudy, readyStudy, refuseIdle, stretchesOf } from './run.js'
import { readStudy, type Study } from './study-file.js'
import type { StudyTexts } from './worker.js'
import { writeStretches } from './workers.js'

/** A study with all it is made from. */
export interface OpenStudy {
  readonly ready: ReadyStudy
  readonly texts: StudyTexts
  /** Folders of the households, by the names the study has for them. */
  readonly folders: ReadonlyMap<string, string>
}

/**
 * Reads the households and tables that a study names.
 *
 * @param csv the study's own file
 * @param beside the folder from which its households are looked for
 *
 * Throws a Refusal with every problem of every file, and for an input that no figure reads.
 */
export async function openStudy(csv: CsvFile, beside: string, reference?: string): Promise<OpenStudy> {
  const study = must(readStudy(csv))
  const tables = await referenceFiles(reference)
  const { households, folders } = await householdsOf(study, beside)
  const ready = must(readyStudy(study, must(householdsWith(households, tables))))
  refuseIdle(ready)
  return { ready, texts: { study: csv, households, reference: tables, words: ready.words }, folders }
}

/** A thread has to load and warm up first, which takes as long as some ten stretches do where plans were made before. */
const worthThreads = 40

/** One row of a study's table; a number that is not known is `null`. */
export type StudyRow = Readonly<Record<string, string | number | null>>

/**
 * A study from code: its rows as objects, for as many as fit into memory.
 *
 * @param text the study's file as CSV text; households are paths from the current folder, or of the package
 * @param options `byVolume`: room in a container is a share of its volume, and nothing is packed; `threads`: as many as
 *   there are cores for a large study unless said otherwise
 * @returns a row for each household, scenario and point, in the order of the file
 *
 * Throws a Refusal with every problem of every file. Example:
 * `await studyRows('vary,values\nhousehold,valparaiso-gdynia\nvolume_factor,0.8..1.2:5')`
 */
export async function studyRows(
  text: string,
  options: { readonly byVolume?: boolean; readonly threads?: number } = {},
): Promise<StudyRow[]> {
  const { ready, texts, folders } = await openStudy({ file: 'study', text }, resolve('.'))
  const { pieces, from, until } = piecesOf(ready, { index: 1, of: 1 })
  const rooms = options.byVolume ? undefined : await RoomsOnDisk.open(folders)
  const stretches = stretchesOf(pieces)
  const threads = options.threads ?? (stretches.length < worthThreads ? 1 : undefined)
  let table = headLine(ready)
  await writeStretches(
    ready,
    texts,
    stretches,
    [from, until],
    async (more) => {
      table += more
    },
    { ...(threads === undefined ? {} : { threads }), ...(rooms ? { rooms: rooms.of } : {}) },
  )
  await rooms?.keep()
  return splitRows(table, ',', 1)
    .rows.slice(1)
    .map(({ cells }) =>
      Object.fromEntries(
        ready.columns.map(({ name, kind }, k) => {
          const cell = cells[k] ?? ''
          return [name, kind === 'words' ? cell : cell === '' ? null : Number(cell)]
        }),
      ),
    )
}

/**
 * Of some countries those from which a household can be planned to move as its files stand, and what the others want.
 *
 * @param household a path from the current folder, or a household of the package
 * @param countries codes; the household's own country always works
 */
export async function plannableOrigins(
  household: string,
  countries: readonly string[],
): Promise<{
  readonly countries: string[]
  readonly leftOut: { readonly country: string; readonly why: string }[]
}> {
  const csv = { file: 'study', text: `vary,values\nhousehold,${csvCell(household)}` }
  const { households } = await householdsOf(must(readStudy(csv)), resolve('.'))
  const [home] = must(householdsWith(households, await referenceFiles()))
  const found: string[] = []
  const leftOut: { country: string; why: string }[] = []
  for (const country of home ? countries : []) {
    const read = moveBetween(home as HouseholdFiles, country)
    if (read.ok) found.push(country)
    else leftOut.push({ country, why: read.problems[0]?.fix ?? '' })
  }
  return { countries: found, leftOut }
}

/** What packing found of each household, as it is kept in their folders. */
export class RoomsOnDisk {
  readonly #kept: Map<string, number>

  private constructor(
    private readonly folders: ReadonlyMap<string, string>,
    private readonly rooms: ReadonlyMap<string, PackedRooms>,
  ) {
    this.#kept = new Map([...rooms].map(([name, found]) => [name, found.size]))
  }

  static async open(folders: ReadonlyMap<string, string>): Promise<RoomsOnDisk> {
    const rooms = new Map<string, PackedRooms>()
    for (const [name, folder] of folders) rooms.set(name, await readPackedRooms(folder))
    return new RoomsOnDisk(folders, rooms)
  }

  readonly of = (household: string): PackedRooms => {
    const found = this.rooms.get(household)
    if (!found) throw new Error(`no household "${household}" in this study`)
    return found
  }

  /** Keeps what was found since the last time. */
  async keep(): Promise<void> {
    for (const [name, folder] of this.folders) {
      const found = this.of(name)
      if (found.size === this.#kept.get(name)) continue
      await keepPackedRooms(folder, found)
      this.#kept.set(name, found.size)
    }
  }
}

function must<T>(read: Read<T>): T {
  if (read.ok) return read.value
  throw new Refusal(read.problems)
}

async function referenceFiles(folder = join(packageRoot, 'data', 'reference')): Promise<ReferenceFiles> {
  const tables = await readFolder(folder, 'reference')
  const customs = await readFolder(join(folder, 'customs'), 'reference/customs')
  if (!tables.ok || !customs.ok) throw new Refusal(problemsOf([tables, customs]))
  return { tables: tables.value, customs: customs.value }
}

/** The households of a study: folders beside the study's file, folders of such folders, or the package's own. */
async function householdsOf(
  study: Study,
  beside: string,
): Promise<{ households: readonly HouseholdTexts[]; folders: ReadonlyMap<string, string> }> {
  const folders = new Map<string, string>()
  for (const { value, place } of study.moves.household) {
    const own = resolve(beside, value)
    const folder = existsSync(own) ? own : householdFolder(value)
    const inside = existsSync(join(folder, HOUSEHOLD_FILES.household)) ? [] : await homesIn(folder)
    if (inside.length === 0 && !existsSync(join(folder, HOUSEHOLD_FILES.household)))
      throw new Refusal([
        {
          ...place,
          column: 'values',
          found: value,
          expected: `a folder with ${HOUSEHOLD_FILES.household}, or one that holds such folders`,
          fix: 'Check the path; it starts from the folder of this file.',
        },
      ])
    if (inside.length === 0) folders.set(value, folder)
    for (const name of inside) folders.set(`${value}/${name}`, join(folder, name))
  }
  const households: HouseholdTexts[] = []
  for (const [name, folder] of folders) {
    const known = [...Object.values(HOUSEHOLD_FILES), OWN_CUSTOMS_FILE]
    const { files, problems } = await readCsvFiles(folder, '', known)
    households.push({ name, files, ofFolder: problems })
  }
  return { households, folders }
}

async function homesIn(folder: string): Promise<string[]> {
  const names = await readdir(folder).catch(() => [])
  return names.filter((name) => existsSync(join(folder, name, HOUSEHOLD_FILES.household))).sort()
}
