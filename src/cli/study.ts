import { existsSync } from 'node:fs'
import { readdir, readFile } from 'node:fs/promises'
import { basename, dirname, extname, join, resolve } from 'node:path'
import type { Part } from '../analysis/sweep.js'
import { OWN_CUSTOMS_FILE } from '../customs/own-rows.js'
import type { PackedRooms } from '../load/packed-plans.js'
import { keepPackedRooms, readPackedRooms } from '../load/packed-rooms-file.js'
import { householdFolder as packageHousehold } from '../plan/open.js'
import {
  type HouseholdTexts,
  headLine,
  householdsWith,
  piecesOf,
  type ReferenceFiles,
  readStudy,
  readyStudy,
  refuseIdle,
  type Study,
  stretchesOf,
} from '../study/index.js'
import { writeStretches } from '../study/workers.js'
import { textOf } from '../tables/bytes.js'
import type { CsvFile } from '../tables/csv.js'
import { readCsvFiles, readFolder } from '../tables/disk.js'
import { HOUSEHOLD_FILES } from '../tables/household.js'
import { problemsOf, type Read } from '../tables/problem.js'
import { UsageError } from './args.js'
import { type Command, packageRoot, Refusal } from './command.js'
import { Journal, keyOf } from './study-journal.js'
import { FORMS, type Form, mostArrowCells, writeTable } from './study-table.js'

/** Characters of finished rows that wait to be written, at most. */
const mostWaiting = 4_000_000

export const studyCommand: Command = {
  name: 'study',
  words: 'FILE.csv',
  says: 'many moves in one table: households, countries, volume factors and any inputs as lists, grids or samples',
  options: {
    out: {
      value: 'FILE.csv|.parquet|.arrow',
      says: 'where to; a run that was stopped goes on from what it had done',
    },
    'by-volume': {
      says: 'take the room in a container as a share of its volume; otherwise the goods are packed piece by piece, as compare does',
    },
    part: {
      value: 'i/n',
      says: 'only this share of the rows; CSV of all parts, one after the other, is the whole table byte for byte',
    },
    reference: { value: 'DIR', says: 'other reference tables than those of the package' },
  },
  async run(args, io) {
    const [path, ...more] = args.words
    if (path === undefined || more.length > 0)
      throw new UsageError(
        'name one file that says what varies, as in quaybook study study.csv --out results.csv',
      )
    const out = outAsked(args.text('out'))
    const part = partAsked(args.text('part'))
    const csv = await studyText(path)
    const study = must(readStudy(csv))
    const reference = await referenceFiles(args.text('reference'))
    const { households, folders } = await householdsOf(study, dirname(resolve(path)))
    const ready = must(readyStudy(study, must(householdsWith(households, reference))))
    refuseIdle(ready)

    const { pieces, from, until } = piecesOf(ready, part)
    const stretches = stretchesOf(pieces)
    const form = formOf(out)
    if (form === '.arrow' && (until - from) * ready.columns.length > mostArrowCells) {
      const parts = Math.ceil((ready.rows * ready.columns.length) / mostArrowCells)
      throw new UsageError(
        `${until - from} rows of ${ready.columns.length} columns do not fit into one Arrow file; cut the study with --part 1/${parts} to ${parts}/${parts}, or write Parquet`,
      )
    }
    const texts = [
      csv,
      ...households.flatMap(({ files }) => files),
      ...reference.tables,
      ...reference.customs,
    ]
    const byVolume = args.flags.has('by-volume')
    const key = keyOf([
      `${part.index}/${part.of} ${byVolume}`,
      ...texts.flatMap(({ file, text }) => [file, text]),
    ])
    const journal = await Journal.open(out, key)
    const before = journal.done
    if (before > 0) io.err(`${before} of ${stretches.length} stretches were done before and are kept.`)
    else await journal.add(part.index === 1 || form !== '.csv' ? headLine(ready) : '', 0)

    const rooms = new Map<string, PackedRooms>()
    if (!byVolume) for (const [name, folder] of folders) rooms.set(name, await readPackedRooms(folder))
    const sizes = new Map([...rooms].map(([name, found]) => [name, found.size]))
    const started = Date.now()
    let told = started
    let waiting = ''
    let kept = started
    let done = before
    const keep = async (): Promise<void> => {
      await journal.add(waiting, done)
      waiting = ''
      kept = Date.now()
      for (const [name, found] of rooms) {
        const folder = folders.get(name)
        if (folder === undefined || found.size === sizes.get(name)) continue
        await keepPackedRooms(folder, found)
        sizes.set(name, found.size)
      }
    }
    await writeStretches(
      ready,
      { study: csv, households, reference, words: ready.words },
      stretches.slice(before),
      [from, until],
      async (text, stretch) => {
        waiting += text
        done += 1
        // A disk that is asked after every few rows holds the study up.
        if (waiting.length > mostWaiting || Date.now() - kept > 1000) await keep()
        if (Date.now() - told > 2000) {
          told = Date.now()
          const last = stretch.at(-1)
          const rows = Math.min((last?.row ?? 0) + (last?.count ?? 0), until) - from
          io.err(`${rows} of ${until - from} rows, ${Math.round((told - started) / 1000)} s`)
        }
      },
      { tell: io.err, ...(byVolume ? {} : { rooms: (name: string) => roomsOf(rooms, name) }) },
    )
    await keep()
    if (form === '.csv') await journal.finish()
    else
      await journal.finishAs((text) =>
        writeTable(out, form, [text], ready.columns, {
          part: `${part.index}/${part.of}`,
          seed: String(study.seed),
        }),
      )
    io.out(`${out}: ${until - from} rows`)
    return 0
  },
}

function roomsOf(rooms: Map<string, PackedRooms>, household: string): PackedRooms {
  const found = rooms.get(household) ?? new Map()
  rooms.set(household, found)
  return found
}

function must<T>(read: Read<T>): T {
  if (read.ok) return read.value
  throw new Refusal(read.problems)
}

function outAsked(out: string | undefined): string {
  if (out !== undefined && FORMS.some((form) => form === extname(out))) return out
  throw new UsageError(
    out === undefined
      ? 'where to? Write --out results.csv, --out results.parquet or --out results.arrow'
      : `--out ${out}: end the name in .csv, .parquet or .arrow`,
  )
}

const formOf = (out: string): Form => FORMS.find((form) => form === extname(out)) ?? '.csv'

function partAsked(text = '1/1'): Part {
  const found = /^(\d+)\/(\d+)$/.exec(text)
  const [index, of] = [Number(found?.[1]), Number(found?.[2])]
  if (!found || index < 1 || index > of)
    throw new UsageError(`--part ${text}: write i/n with i from 1 to n, as in --part 2/8`)
  return { index, of }
}

async function studyText(path: string): Promise<CsvFile> {
  const bytes = await readFile(path).catch((error: NodeJS.ErrnoException) => error)
  if (!(bytes instanceof Uint8Array)) {
    const found = bytes.code === 'EISDIR' ? 'a folder' : 'no such file'
    const fix = 'Check the path.'
    const expected = 'a CSV file that says what varies'
    throw new Refusal([{ file: path, line: 1, column: 'file', found, expected, fix }])
  }
  const read = textOf(bytes)
  if (read.ok) return { file: basename(path), ...read.value }
  throw new Refusal([{ file: basename(path), line: 1, column: 'file', ...read }])
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
    const folder = existsSync(own) ? own : packageHousehold(value)
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
