// The notebooks of an open folder and the kernels they run in.
import { join } from 'node:path'
import { textOf } from '../notebook/format.js'
import { type Cell, type Execution, Kernel, type Notebook } from '../notebook/index.js'
import { PARAMETERS_TAG, withParameters } from '../notebook/parameters.js'
import { packageRoot } from '../plan/open.js'
import { isName, NotebookFiles } from './notebook-files.js'
import { failure, lengthOf, limited } from './notebook-outputs.js'
import type { FromRoom, ToRoom } from './notebook-talk.js'
import type { NotebookName } from './protocol.js'
import type { Shadow } from './shadow.js'

/** Kernels that may live at once: each takes some 185 MB. The one longest unused makes room. */
const MOST_KERNELS = 3
/** How often a cell that has been interrupted is interrupted again, ms: one that was still being compiled has not noticed. */
const AGAIN_EVERY_MS = 300
/** How often outputs of a running cell are told, ms; and how much longer it takes for each character they have. */
const TELL_EVERY_MS = 100
const TELL_MS_A_CHARACTER = 0.005
interface Running {
  readonly kernel: Promise<Kernel>
  queue: Promise<void>
  busy: number
  usedAt: number
  /** Counts restarts, so that what was queued before one is not run after it. */
  round: number
  /** The cell that is being run now, told apart from every other run. */
  current?: symbol | undefined
}

export class NotebookRoom {
  readonly #files: NotebookFiles
  readonly #kernels = new Map<string, Running>()
  #clock = 0
  #closed = false

  constructor(
    folder: string,
    private readonly shadow: Shadow,
    private readonly tell: (message: FromRoom) => void,
  ) {
    this.#files = new NotebookFiles(folder)
  }

  /** The notebooks there are. */
  names(): Promise<NotebookName[]> {
    return this.#files.names()
  }

  /** Does what a page asks; answers for that page alone go to `say`, what every page must know is told to all. */
  async hear(message: unknown, say: (answer: FromRoom) => void): Promise<void> {
    const asked = message as ToRoom
    if (!isName(String(asked?.name)))
      throw new Error('a notebook is named by letters, digits, - and _, with .ipynb at the end')
    switch (asked.ask) {
      case 'open':
        return say({ tell: 'opened', name: asked.name, ...(await this.#files.read(asked.name)) })
      case 'save':
        await this.#files.save(asked.name, asked.notebook)
        return this.tell({ tell: 'saved', name: asked.name })
      case 'new':
        await this.#files.begin(asked.name, asked.title)
        return this.tell({ tell: 'names', name: asked.name, notebooks: await this.names() })
      case 'run':
        return this.#run(asked)
      case 'complete': {
        const running = this.#kernels.get(asked.name)
        const none = { matches: [], start: asked.cursor, end: asked.cursor }
        const found =
          running && running.busy === 0
            ? await (await running.kernel).complete(asked.code, asked.cursor)
            : none
        return say({ tell: 'completions', name: asked.name, id: asked.id, ...found })
      }
      case 'check': {
        const { name, cell, code } = asked
        const running = this.#kernels.get(name)
        // A check loads files that a cell names; those are better first seen when the cell runs.
        if (!running || running.busy > 0 || /['"]\.{1,2}\//.test(code)) return
        const problems = await (await running.kernel).check(code)
        return say({ tell: 'checked', name, cell, code, problems })
      }
      case 'interrupt':
        return this.#interrupt(asked.name)
      case 'restart':
        return this.#restart(asked.name)
      default:
        throw new Error('the page asked the notebooks for something unknown; load it again')
    }
  }

  async close(): Promise<void> {
    this.#closed = true
    await Promise.all([...this.#kernels.keys()].map((name) => this.#end(name)))
  }

  #running(name: string): Running {
    const known = this.#kernels.get(name)
    if (known) return known
    if (this.#kernels.size >= MOST_KERNELS) {
      const idle = [...this.#kernels]
        .filter(([, { busy }]) => busy === 0)
        .sort((a, b) => a[1].usedAt - b[1].usedAt)
      const [oldest] = idle
      if (oldest) void this.#end(oldest[0])
    }
    this.tell({ tell: 'kernel', name, state: 'starting' })
    const kernel = Kernel.start({ workingDir: join(packageRoot, 'notebooks') })
    const running: Running = { kernel, queue: Promise.resolve(), busy: 0, usedAt: 0, round: 0 }
    this.#kernels.set(name, running)
    kernel.then(
      () => this.tell({ tell: 'kernel', name, state: 'ready' }),
      () => this.#kernels.delete(name),
    )
    return running
  }

  async #run({ name, cell, source, tags }: Extract<ToRoom, { ask: 'run' }>): Promise<void> {
    if (this.#closed) return
    const running = this.#running(name)
    const { round } = running
    running.busy += 1
    this.#clock += 1
    running.usedAt = this.#clock
    // Not awaited: the page may interrupt, and ask for other things, while the cell runs.
    running.queue = running.queue.then(async () => {
      try {
        running.current = Symbol(cell)
        if (running.round === round) await this.#execute(name, running, cell, source, tags)
        else this.tell({ tell: 'ran', name, cell, status: 'skipped', count: null, outputs: [], ms: 0 })
      } catch (error) {
        this.tell({ tell: 'ran', name, cell, status: 'died', count: null, outputs: [failure(error)], ms: 0 })
      } finally {
        running.current = undefined
        running.busy -= 1
      }
    })
  }

  async #execute(
    name: string,
    running: Running,
    cell: string,
    source: string,
    tags: readonly string[],
  ): Promise<void> {
    await this.shadow.bringUp()
    const kernel = await running.kernel
    this.tell({ tell: 'running', name, cell })
    const started = performance.now()
    let next = 0
    const execution = await kernel.execute(source, Number.POSITIVE_INFINITY, (outputs) => {
      if (Date.now() < next) return
      const shown = limited(outputs())
      this.tell({ tell: 'outputs', name, cell, outputs: shown })
      next = Date.now() + TELL_EVERY_MS + TELL_MS_A_CHARACTER * lengthOf(shown)
    })
    const outputs = limited(execution.outputs())
    if (execution.status === 'ok' && tags.includes(PARAMETERS_TAG)) await this.#inject(kernel, source)
    const dead = execution.status === 'died'
    if (dead) this.#kernels.delete(name)
    const ending = dead
      ? [
          failure(
            new Error(`The kernel ${kernel.ending ?? 'ended'}. Run the cells again: they start a new one.`),
          ),
        ]
      : []
    this.tell({
      tell: 'ran',
      name,
      cell,
      status: statusOf(execution),
      count: execution.executionCount,
      outputs: [...outputs, ...ending],
      ms: Math.round(performance.now() - started),
    })
    if (dead) {
      running.round += 1
      this.tell({ tell: 'kernel', name, state: 'none' })
      await kernel.shutdown()
    }
  }

  /** After the parameters cell: the household of the notebook is the one of this page, as edited. */
  async #inject(kernel: Kernel, source: string): Promise<void> {
    const cell: Cell = {
      cell_type: 'code',
      id: 'p',
      metadata: { tags: [PARAMETERS_TAG] },
      source,
      execution_count: null,
      outputs: [],
    }
    const notebook: Notebook = { cells: [cell], metadata: {}, nbformat: 4, nbformat_minor: 5 }
    let injected: string
    try {
      const [, added] = withParameters(notebook, { household: this.shadow.folder }, 'notebook').cells
      injected = added ? textOf(added.source) : ''
    } catch {
      return // a notebook that has no household to set
    }
    await kernel.execute(injected, 10_000)
  }

  async #interrupt(name: string): Promise<void> {
    const running = this.#kernels.get(name)
    if (!running || running.busy === 0) return
    // What waits behind the running cell was meant to follow it: an interrupted run ends there.
    running.round += 1
    const kernel = await running.kernel
    const meant = running.current
    kernel.interrupt()
    const again = setInterval(() => {
      if (meant !== undefined && running.current === meant) kernel.interrupt()
      else clearInterval(again)
    }, AGAIN_EVERY_MS)
    again.unref()
    setTimeout(() => {
      if (running.busy > 0 && this.#kernels.get(name) === running)
        this.tell({ tell: 'kernel', name, state: 'stubborn' })
    }, 2_000).unref()
  }

  async #restart(name: string): Promise<void> {
    await this.#end(name)
    await (await this.#running(name)).kernel
  }

  async #end(name: string): Promise<void> {
    const running = this.#kernels.get(name)
    if (!running) return
    this.#kernels.delete(name)
    running.round += 1
    this.tell({ tell: 'kernel', name, state: 'none' })
    await (await running.kernel.catch(() => undefined))?.shutdown()
  }
}

const statusOf = (execution: Execution): 'ok' | 'error' | 'died' =>
  execution.status === 'ok' ? 'ok' : execution.status === 'died' ? 'died' : 'error'
