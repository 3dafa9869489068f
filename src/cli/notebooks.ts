import { readdir, readFile } from 'node:fs/promises'
import { basename, join, resolve } from 'node:path'
import { type NotebookRun, notebookToHtml, runNotebooks } from '../notebook/index.js'
import { replaceFile } from '../paper/replace-file.js'
import { type Args, UsageError } from './args.js'
import {
  type Command,
  type ExitCode,
  householdFolder,
  type Io,
  openPlans,
  packageRoot,
  planOptions,
} from './command.js'

const DEFAULT_CELL_SECONDS = 900

export const notebookOptions = {
  out: { value: 'DIR', says: 'where results go; out/ and the household’s name otherwise' },
  only: { value: '01,05', says: 'run only the notebooks whose names begin so' },
  'static-charts': { says: 'pages with pictures only: smaller, nothing to hover over' },
  'cell-seconds': { value: 'N', says: `time limit of a cell; ${DEFAULT_CELL_SECONDS} otherwise` },
} as const

export const notebooks: Command = {
  name: 'notebooks',
  words: '[DIR]',
  says: 'runs the notebooks on a household and writes them executed, as .ipynb and as pages',
  options: {
    ...planOptions,
    ...notebookOptions,
    'in-place': { says: 'run the package’s notebooks on the demo household and keep their outputs in them' },
  },
  writesTo: (args) => (args.flags.has('in-place') ? join(packageRoot, 'notebooks') : outFolder(args)),
  async run(args, io) {
    if (args.flags.has('in-place')) return inPlace(args, io)
    await openPlans(args)
    const out = outFolder(args)
    return report(await runAll(args, io, join(out, 'notebooks')), io)
  },
}

/** Where a command writes: --out, or a folder of the household's own name under out/. */
export const outFolder = (args: Args): string =>
  resolve(args.text('out') ?? join('out', basename(householdFolder(args))))

/** Runs the notebooks on a household and writes both forms of each. The household has been read without problems. */
export async function runAll(args: Args, io: Io, out: string): Promise<readonly NotebookRun[]> {
  const names = await wanted(args)
  const parameters = { household: householdFolder(args), set: [...args.all('set')] }
  const runs = await runNotebooks(
    names.map((name) => ({
      input: join(packageRoot, 'notebooks', name),
      output: join(out, name),
      parameters,
      cellTimeoutMs: cellMs(args),
      onProgress: progressTo(io),
    })),
  )
  const live = args.flags.has('static-charts') ? undefined : await liveCharts()
  for (const run of runs) {
    const page = notebookToHtml(run.notebook, live === undefined ? {} : { live })
    await replaceFile(run.output.replace(/\.ipynb$/, '.html'), page)
  }
  return runs
}

/** The script that makes the charts of a page live; none where the package was built without it. */
const liveCharts = (): Promise<string | undefined> =>
  readFile(join(packageRoot, 'dist', 'notebook', 'live.bundle.js'), 'utf8').then(
    (script) => script.trim(),
    () => undefined,
  )

async function inPlace(args: Args, io: Io): Promise<ExitCode> {
  const names = await wanted(args)
  const runs = await runNotebooks(
    names.map((name) => {
      const path = join(packageRoot, 'notebooks', name)
      return { input: path, output: path, cellTimeoutMs: cellMs(args), onProgress: progressTo(io) }
    }),
  )
  return report(runs, io)
}

async function wanted(args: Args): Promise<string[]> {
  const names = (await readdir(join(packageRoot, 'notebooks')))
    .filter((name) => name.endsWith('.ipynb'))
    .sort()
  const only = args
    .text('only')
    ?.split(',')
    .map((start) => start.trim())
  const chosen = only ? names.filter((name) => only.some((start) => name.startsWith(start))) : names
  if (chosen.length === 0)
    throw new UsageError(`no notebook begins with ${args.text('only')}; there are: ${names.join(', ')}`)
  return chosen
}

function cellMs(args: Args): number {
  const seconds = Number(args.text('cell-seconds') ?? DEFAULT_CELL_SECONDS)
  if (!(seconds > 0))
    throw new UsageError(`--cell-seconds ${args.text('cell-seconds')}: write a number above 0`)
  return seconds * 1000
}

const progressTo = (io: Io) => (p: { notebook: string; cell: number; of: number; name: string }) =>
  io.err(`${basename(p.notebook)}  ${p.cell}/${p.of}  ${p.name}`)

/** Says how the runs went: nothing for good ones, where and why for the others. */
export function report(runs: readonly NotebookRun[], io: Io): ExitCode {
  for (const { input, output, failure } of runs) {
    if (!failure) continue
    io.err(
      `${basename(input)}: cell ${failure.cell} (${failure.id}) failed: ${failure.error.ename}: ${failure.error.evalue}`,
    )
    io.err(`  it begins: ${failure.firstLine}`)
    io.err(`  what ran before it is kept in ${output}`)
  }
  return runs.every((run) => run.ok) ? 0 : 1
}
