import { extname } from 'node:path'
import {
  type Axis,
  axis,
  compileScenarios,
  overtakings,
  type Part,
  parquetOf,
  partRows,
  type RecordedScenario,
  recordScenarios,
  rowCount,
  statedIn,
  sweepCsv,
  sweepRows,
  unstated,
} from '../analysis/index.js'
import { sweepCsvOnThreads } from '../analysis/workers.js'
import { inputText, listed } from '../paper/format.js'
import { replaceFile, replaceFileInPieces } from '../paper/replace-file.js'
import { type Move, planScenarios } from '../plan/index.js'
import { openPlansOf } from '../plan/open.js'
import { type Args, UsageError } from './args.js'
import {
  type Command,
  DECIDED_ANEW,
  householdFolder,
  type Io,
  openMove,
  planOptions,
  Refusal,
  setChanges,
} from './command.js'

/** Fewer rows than this are done before threads have started. */
const rowsForThreads = 200_000
/** Values of a Parquet file, at most: 240 MB. */
const mostValues = 30_000_000

export const sweepCommand: Command = {
  name: 'sweep',
  words: '[DIR]',
  says: 'every scenario over a grid of one or two inputs, as a table, and the values at which scenarios change places',
  options: {
    ...planOptions,
    over: {
      value: 'id=from..to/steps',
      many: true,
      says: 'an input and its values, ends included, as in cost.origin.wage=5000..30000/26; a second one makes a grid',
    },
    cell: {
      value: 'ID',
      many: true,
      says: 'the result wanted, cost.total otherwise; may be given again; the first one ranks the scenarios',
    },
    everywhere: { says: 'vary the inputs also in scenarios that state them themselves' },
    part: {
      value: 'i/n',
      says: 'only this share of the rows; CSV of all parts, one after the other, is the whole table byte for byte',
    },
    out: {
      value: 'FILE.csv|FILE.parquet',
      says: 'where to; standard output as CSV otherwise (Parquet parts are files of their own)',
    },
  },
  async run(args, io) {
    const asked = args.all('over').map(axisAsked)
    if (asked.length === 0)
      throw new UsageError(
        'which input? Write --over id=from..to/steps, as in --over cost.origin.wage=5000..30000/26',
      )
    if (asked.length > 2) throw new UsageError(`${asked.length} inputs at once; give one or two`)
    const [one, two] = asked
    if (one?.id === two?.id) throw new UsageError(`--over ${one?.id} is given twice; once is enough`)
    const part = partAsked(args.text('part'))
    const out = fileAsked(args.text('out'))
    const cells = args.all('cell').length > 0 ? args.all('cell') : ['cost.total']

    const { move, scenarios } = await scenariosFor(args, asked)
    const program = compileScenarios(
      move,
      scenarios,
      cells,
      asked.map(({ id }) => id),
    )
    const rows = partRows(rowCount(asked), part)
    const count = rows[1] - rows[0]
    const csv = async (write: (text: string) => void): Promise<void> =>
      count > rowsForThreads
        ? sweepCsvOnThreads(program, asked, write, {}, part)
        : sweepCsv(program, asked, write, part)
    if (out === undefined) await csv((text) => io.out(text.replace(/\n$/, '')))
    else if (extname(out) === '.csv') await replaceFileInPieces(out, csv)
    else {
      const width = asked.length + program.outputs.length
      if (count * width > mostValues) {
        const parts = Math.ceil((rowCount(asked) * width) / mostValues)
        throw new UsageError(
          `${count} rows of ${width} columns do not fit into one Parquet file; cut the sweep with --part 1/${parts} to ${parts}/${parts}`,
        )
      }
      const names = [...asked.map(({ id }) => id), ...program.outputs.map(({ id }) => id)]
      const columns = new Map(names.map((name) => [name, new Float64Array(count)]))
      sweepRows(
        program,
        asked,
        (piece) => {
          for (const [name, column] of columns)
            column.set(piece.columns.get(name) ?? new Float64Array(piece.count), piece.start - rows[0])
        },
        part,
      )
      await replaceFile(out, parquetOf(columns, { part: `${part.index}/${part.of}` }))
    }
    if (out !== undefined) io.out(`${out}: ${count} rows`)
    // The parts of one sweep would all say the same.
    if (part.index === 1) tellCrossings(io, move, scenarios, asked, cells[0] ?? 'cost.total')
    return 0
  },
}

/** `id=from..to/steps` as an axis. */
function axisAsked(text: string): Axis {
  const found = /^([^=\s]+)=(-?\d+(?:\.\d+)?)\.\.(-?\d+(?:\.\d+)?)\/(\d+)$/.exec(text)
  if (!found)
    throw new UsageError(
      `--over ${text}: write id=from..to/steps, as in --over cost.origin.wage=5000..30000/26`,
    )
  const [, id = '', from = '', to = '', steps = ''] = found
  try {
    return axis(id, from, to, Number(steps))
  } catch (error) {
    throw new UsageError(`--over ${text}: ${error instanceof Error ? error.message : error}`)
  }
}

function partAsked(text = '1/1'): Part {
  const found = /^(\d+)\/(\d+)$/.exec(text)
  const [index, of] = [Number(found?.[1]), Number(found?.[2])]
  if (!found || index < 1 || index > of)
    throw new UsageError(`--part ${text}: write i/n with i from 1 to n, as in --part 2/8`)
  return { index, of }
}

function fileAsked(out: string | undefined): string | undefined {
  if (out === undefined || ['.csv', '.parquet'].includes(extname(out))) return out
  throw new UsageError(`--out ${out}: end the name in .csv or .parquet`)
}

/** The scenarios with their formulas, once it is known that every input exists, takes its values and moves something. */
async function scenariosFor(
  args: Args,
  axes: readonly Axis[],
): Promise<{ move: Move; scenarios: RecordedScenario[] }> {
  const opened = await openMove(householdFolder(args), args)
  const ids = axes.map(({ id }) => id)
  const move = args.flags.has('everywhere') ? unstated(opened, ids) : opened
  const changes = setChanges(args)
  // The ends of an axis are refused for the same reasons as --set refuses them.
  for (const { id, values } of axes) {
    if (move.inputs.choices.has(id))
      throw new UsageError(`--over ${id}: this input is a choice of words, not a number; try --set ${id}=…`)
    for (const value of [values[0], values.at(-1)]) {
      const tried = planScenarios(move, [
        ...changes,
        { id, value: String(value), place: { file: '--over', line: 1 } },
      ])
      if (!tried.ok) throw new Refusal(tried.problems)
    }
  }
  const plans = await openPlansOf(householdFolder(args), move, changes)
  const scenarios = recordScenarios(move, plans)
  for (const id of ids) {
    if (statedIn(move, scenarios, id).length === scenarios.length)
      throw new UsageError(
        `every scenario states ${id} itself, so a sweep would change nothing; give --everywhere to vary it in all of them, and no --set for it`,
      )
  }
  return { move, scenarios }
}

function tellCrossings(
  io: Io,
  move: Move,
  scenarios: readonly RecordedScenario[],
  axes: readonly Axis[],
  cell: string,
): void {
  const [along, across] = axes
  if (!along) return
  const ends = [along.values[0] ?? 0, along.values.at(-1) ?? 0] as const
  for (const { id } of axes) {
    const stated = statedIn(move, scenarios, id)
    if (stated.length > 0)
      io.err(
        `${listed(stated)} ${stated.length > 1 ? 'state' : 'states'} ${id} and keep to it (--everywhere varies it there too).`,
      )
  }
  const values = across?.values ?? []
  // Of a grid, its two edges and its middle.
  const lines = across
    ? [...new Set([values[0], values[values.length >> 1], values.at(-1)])].flatMap((value) =>
        value === undefined ? [] : [new Map([[across.id, value]])],
      )
    : [new Map()]
  for (const others of lines) {
    const where = [...others].map(([id, value]) => `${id} ${value}: `).join('')
    const found = overtakings(move, scenarios, cell, along.id, ends, others)
    if (found.length === 0) {
      io.err(`${where}no two scenarios change places by ${cell}.`)
    }
    for (const { first, second, at, before, kind } of found) {
      const unit = move.inputs.numbers.get(along.id)?.unit ?? ''
      const [lower, higher] = before.isNegative() ? [first, second] : [second, first]
      io.err(
        `${where}up to ${along.id} = ${inputText(at, unit)} “${lower}” has the lower ${cell}, from there on “${higher}”${kind === 'jump' ? ' (by a step)' : ''}.`,
      )
    }
  }
  io.err(DECIDED_ANEW)
}
