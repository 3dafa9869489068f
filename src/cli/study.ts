import { readFile, rm } from 'node:fs/promises'
import { basename, dirname, extname, resolve } from 'node:path'
import type { Part } from '../analysis/sweep.js'
import {
  headLine,
  openStudy,
  piecesOf,
  RoomsOnDisk,
  type StudyTexts,
  stretchesOf,
  writeStretches,
} from '../study/index.js'
import { textOf } from '../tables/bytes.js'
import type { CsvFile } from '../tables/csv.js'
import { UsageError } from './args.js'
import { type Command, Refusal } from './command.js'
import { Journal, keyOf } from './study-journal.js'
import { partsBySlurm } from './study-slurm.js'
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
    threads: { value: 'N', says: 'cores to use; all of them otherwise' },
    slurm: {
      value: 'N',
      says: 'N parts as a job array of Slurm, which are waited for and put together; the folder of --out is one that all machines see',
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
    const threads = countAsked('threads', args.text('threads'))
    const slurm = countAsked('slurm', args.text('slurm'))
    if (slurm !== undefined && args.text('part') !== undefined)
      throw new UsageError('--slurm cuts the study into parts itself; leave --part out')
    const csv = await studyText(path)
    const { ready, texts, folders } = await openStudy(csv, dirname(resolve(path)), args.text('reference'))
    const { pieces, from, until } = piecesOf(ready, part)
    const stretches = stretchesOf(pieces)
    const form = formOf(out)
    if (form === '.arrow' && (until - from) * ready.columns.length > mostArrowCells) {
      const parts = Math.ceil((ready.rows * ready.columns.length) / mostArrowCells)
      throw new UsageError(
        `${until - from} rows of ${ready.columns.length} columns do not fit into one Arrow file; cut the study with --part 1/${parts} to ${parts}/${parts}, or write Parquet`,
      )
    }
    const byVolume = args.flags.has('by-volume')
    const key = keyOf([
      `${slurm ?? 'here'} ${part.index}/${part.of} ${byVolume}`,
      ...allOf(texts).flatMap(({ file, text }) => [file, text]),
    ])
    const about = { part: `${part.index}/${part.of}`, seed: String(ready.study.seed) }
    if (slurm !== undefined) {
      const folder = resolve(`${out}.parts-${key.slice(0, 12)}`)
      const reference = args.text('reference')
      const words = [
        resolve(path),
        ...(byVolume ? ['--by-volume'] : []),
        ...(reference === undefined ? [] : ['--reference', resolve(reference)]),
      ]
      const parts = await partsBySlurm({ folder, parts: slurm, words, tell: io.err })
      await writeTable(out, form, parts, ready.columns, about)
      await rm(folder, { recursive: true, force: true })
      io.out(`${out}: ${until - from} rows`)
      return 0
    }
    const journal = await Journal.open(out, key)
    const before = journal.done
    if (before > 0) io.err(`${before} of ${stretches.length} stretches were done before and are kept.`)
    else await journal.add(part.index === 1 || form !== '.csv' ? headLine(ready) : '', 0)

    const rooms = byVolume ? undefined : await RoomsOnDisk.open(folders)
    const started = Date.now()
    let told = started
    let waiting = ''
    let kept = started
    let done = before
    const keep = async (): Promise<void> => {
      await journal.add(waiting, done)
      waiting = ''
      kept = Date.now()
      await rooms?.keep()
    }
    await writeStretches(
      ready,
      texts,
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
      { tell: io.err, ...(threads ? { threads } : {}), ...(rooms ? { rooms: rooms.of } : {}) },
    )
    await keep()
    if (form === '.csv') await journal.finish()
    else await journal.finishAs((text) => writeTable(out, form, [text], ready.columns, about))
    io.out(`${out}: ${until - from} rows`)
    return 0
  },
}

const allOf = ({ study, households, reference }: StudyTexts): readonly CsvFile[] => [
  study,
  ...households.flatMap(({ files }) => files),
  ...reference.tables,
  ...reference.customs,
]

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

function countAsked(name: string, text: string | undefined): number | undefined {
  if (text === undefined) return undefined
  if (/^[1-9]\d{0,4}$/.test(text)) return Number(text)
  throw new UsageError(`--${name} ${text}: write a whole number from 1 to 99999`)
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
