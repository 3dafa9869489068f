// Runs notebooks from top to bottom, each in a kernel of its own or one that is as new, and writes what came out.
import { basename, dirname, resolve } from 'node:path'
import {
  type Cell,
  type CodeCell,
  type Notebook,
  readNotebook,
  tagsOf,
  textOf,
  writeNotebook,
} from './format.js'
import { type ErrorDetail, type Execution, Kernel, type KernelOptions } from './kernel.js'
import { KERNEL_METADATA } from './kernelspec.js'
import { type Parameters, withParameters } from './parameters.js'

/** Which cell is about to run. */
export interface Progress {
  readonly notebook: string
  /** Place of the cell among all cells of the notebook, from 1. */
  readonly cell: number
  readonly of: number
  /** The cell's heading: the last title above it, or its first line. */
  readonly name: string
}

export interface RunOptions {
  /** Notebook file to run; never changed unless `output` is the same file. */
  readonly input: string
  /** File for the executed notebook, also the partial one of a failed run. */
  readonly output: string
  /** Values for the cell tagged `parameters`. */
  readonly parameters?: Parameters
  /** Time limit for each cell, ms. Default 900 000. */
  readonly cellTimeoutMs?: number
  /** Time limit for the kernel's start, ms. Default 30 000. */
  readonly startTimeoutMs?: number
  /** Folder the kernel works in. Default: the folder of `input`. */
  readonly kernelDir?: string
  readonly onProgress?: (progress: Progress) => void
}

/** Why a run stopped. */
export interface CellFailure {
  readonly kind: 'error' | 'timeout' | 'died'
  /** Place of the cell among all cells of the written notebook, from 1. */
  readonly cell: number
  readonly id: string
  readonly firstLine: string
  readonly error: ErrorDetail
}

/** A run that came to an end, good or not; `output` holds what was executed in both cases. */
export interface NotebookRun {
  readonly ok: boolean
  readonly input: string
  readonly output: string
  readonly notebook: Notebook
  readonly failure?: CellFailure
}

const DEFAULT_CELL_MS = 900_000
const KERNELS_AT_A_TIME = 2

let running = 0
const waiting: (() => void)[] = []

/** Runs a task when fewer than two kernels are at work: each takes a core and some 200 MB. */
async function inTurn<T>(task: () => Promise<T>): Promise<T> {
  if (running >= KERNELS_AT_A_TIME) await new Promise<void>((start) => waiting.push(start))
  else running += 1
  try {
    return await task()
  } finally {
    // The place is handed on, not given back, so that nobody can slip in between.
    const next = waiting.shift()
    if (next) next()
    else running -= 1
  }
}

/** Kernels that notebooks have left as they found them: another one runs there without waiting for the compiler. */
class Kernels {
  #idle: { readonly kernel: Kernel; readonly workingDir: string }[] = []

  async take(options: KernelOptions): Promise<Kernel> {
    const at = this.#idle.findIndex(({ workingDir }) => workingDir === options.workingDir)
    const [known] = at < 0 ? [] : this.#idle.splice(at, 1)
    if (known && known.kernel.ending === undefined) return known.kernel
    // An idle kernel of another folder would be one too many on this machine.
    await this.close()
    return Kernel.start(options)
  }

  /** @param good whether every cell ended as it should */
  async giveBack(kernel: Kernel, workingDir: string, good: boolean): Promise<void> {
    if (good && (await kernel.renew())) this.#idle.push({ kernel, workingDir })
    else await kernel.shutdown()
  }

  async close(): Promise<void> {
    await Promise.all(this.#idle.splice(0).map(({ kernel }) => kernel.shutdown()))
  }
}

function firstLine(cell: Cell): string {
  return (
    textOf(cell.source)
      .split('\n')
      .map((line) => line.trim())
      .find((line) => line !== '') ?? ''
  )
}

function cellName(cells: readonly Cell[], at: number): string {
  for (const cell of cells.slice(0, at).reverse()) {
    const heading =
      cell.cell_type === 'markdown' ? textOf(cell.source).match(/^#{1,6}\s+(.*?)\s*$/m)?.[1] : undefined
    if (heading) return heading
  }
  const cell = cells[at]
  return cell ? firstLine(cell) : ''
}

const expectsError = (cell: Cell): boolean => tagsOf(cell).includes('raises-exception')

function failureOf(
  cell: Cell,
  at: number,
  execution: Execution,
  timeoutMs: number,
  kernel: Kernel,
): CellFailure {
  const described = {
    ok: { ename: 'NoError', evalue: '' },
    error: { ename: 'Error', evalue: 'the cell failed' },
    timeout: { ename: 'CellTimeout', evalue: `not done after ${timeoutMs} ms, its time limit` },
    died: { ename: 'KernelDied', evalue: `the kernel ${kernel.ending ?? 'is gone'}` },
  }[execution.status]
  const error =
    execution.status === 'error' && execution.error ? execution.error : { ...described, traceback: [] }
  const kind = execution.status === 'ok' ? 'error' : execution.status
  return { kind, cell: at + 1, id: cell.id, firstLine: firstLine(cell), error }
}

function cleared(cell: Cell): Cell {
  if (cell.cell_type !== 'code' || tagsOf(cell).includes('skip-execution')) return cell
  return { ...cell, execution_count: null, outputs: [] }
}

function executed(cell: CodeCell, execution: Execution, failure: CellFailure | undefined): CodeCell {
  const outputs = execution.outputs()
  // A cell that ran out of time or took the kernel with it says so in the notebook, too.
  const told = failure && !outputs.some((output) => output.output_type === 'error')
  return {
    ...cell,
    execution_count: execution.executionCount,
    outputs: told ? [...outputs, { output_type: 'error', ...failure.error }] : outputs,
  }
}

/** Metadata naming the kernel; what the author put beside it stays, except the times and versions of a run. */
function runMetadata(metadata: Notebook['metadata']): Notebook['metadata'] {
  const { papermill: _timed, ...kept } = metadata
  return { ...kept, ...KERNEL_METADATA }
}

async function execute(
  notebook: Notebook,
  options: RunOptions,
  kernels: Kernels,
): Promise<Omit<NotebookRun, 'input' | 'output'>> {
  const timeoutMs = options.cellTimeoutMs ?? DEFAULT_CELL_MS
  const cells = notebook.cells.map(cleared)
  const executions = new Map<number, Execution>()
  let failure: CellFailure | undefined
  let done = false
  const workingDir = resolve(options.kernelDir ?? dirname(options.input))
  const kernel = await kernels.take({
    workingDir,
    ...(options.startTimeoutMs === undefined ? {} : { startTimeoutMs: options.startTimeoutMs }),
  })
  const runs = (cell: Cell): boolean =>
    cell.cell_type === 'code' && textOf(cell.source).trim() !== '' && !tagsOf(cell).includes('skip-execution')
  try {
    await kernel.prepare(cells.filter(runs).map((cell) => textOf(cell.source)))
    for (const [at, cell] of cells.entries()) {
      if (!runs(cell)) continue
      const source = textOf(cell.source)
      options.onProgress?.({
        notebook: basename(options.input),
        cell: at + 1,
        of: cells.length,
        name: cellName(cells, at),
      })
      const execution = await kernel.execute(source, timeoutMs)
      executions.set(at, execution)
      if (execution.status === 'ok' || (execution.status === 'error' && expectsError(cell))) continue
      failure = failureOf(cell, at, execution, timeoutMs, kernel)
      break
    }
    done = failure === undefined
  } finally {
    await kernels.giveBack(kernel, workingDir, done)
  }
  const written = cells.map((cell, at) => {
    const execution = executions.get(at)
    if (cell.cell_type !== 'code' || !execution) return cell
    return executed(cell, execution, failure?.cell === at + 1 ? failure : undefined)
  })
  const result = { ...notebook, cells: written, metadata: runMetadata(notebook.metadata) }
  return failure ? { ok: false, notebook: result, failure } : { ok: true, notebook: result }
}

/**
 * Runs one notebook from top to bottom in a kernel of its own and writes it with its outputs.
 *
 * Cells tagged `skip-execution` are left as they are; one tagged `raises-exception` may fail. Any other failing
 * cell ends the run: the result is not `ok`, names the cell, and what was executed so far is written.
 *
 * Throws NotebookError, before anything is run or written, if the file is no notebook, a parameter is not
 * declared in it, or the kernel does not start.
 */
export async function runNotebook(options: RunOptions): Promise<NotebookRun> {
  const [run] = await runNotebooks([options])
  if (!run) throw new Error('a notebook was neither run nor refused')
  return run
}

async function runWith(kernels: Kernels, options: RunOptions): Promise<NotebookRun> {
  const read = await readNotebook(options.input)
  const notebook = withParameters(read, options.parameters ?? {}, options.input)
  const run = await inTurn(() => execute(notebook, options, kernels))
  await writeNotebook(options.output, run.notebook)
  return { input: options.input, output: options.output, ...run }
}

/**
 * Runs several notebooks, at most two at a time. Results in the order asked for. A kernel runs one after the other as
 * long as each leaves it as new: none finds a name, a count, a global or an open handle of another.
 *
 * All inputs and parameters are checked before the first kernel starts; throws as runNotebook does.
 */
export async function runNotebooks(all: readonly RunOptions[]): Promise<NotebookRun[]> {
  for (const options of all) {
    withParameters(await readNotebook(options.input), options.parameters ?? {}, options.input)
  }
  const kernels = new Kernels()
  const settled = await Promise.allSettled(all.map((options) => runWith(kernels, options)))
  await kernels.close()
  return settled.map((result) => {
    if (result.status === 'rejected') throw result.reason
    return result.value
  })
}

/** A failed run in words: notebook, cell, its first line, what went wrong, where the partial notebook is. */
export function failureText(run: NotebookRun): string {
  if (!run.failure) return ''
  const { cell, id, firstLine: line, error } = run.failure
  const trace = error.traceback.slice(1).map((frame) => `    ${frame.trim()}`)
  return [
    `${run.input}: cell ${cell} (id ${id}) failed.`,
    `  first line: ${line}`,
    `  ${error.ename}: ${error.evalue}`,
    ...trace,
    `  Executed up to there: ${run.output}`,
  ].join('\n')
}
