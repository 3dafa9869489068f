// The notebooks of an open folder and the kernels they run in.
import { mkdir, readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { textOf } from '../notebook/format.js'
import {
  type Cell,
  type Execution,
  KERNEL_METADATA,
  Kernel,
  type Notebook,
  type Output,
  parseNotebook,
  readNotebook,
  writeNotebook,
} from '../notebook/index.js'
import { PARAMETERS_TAG, withParameters } from '../notebook/parameters.js'
import { packageRoot } from '../plan/open.js'
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
/** Most text of one cell that is shown and kept, characters: a loop that prints must not fill the page. */
const MOST_TEXT = 400_000

const isName = (name: string): boolean => /^[\w-]{1,80}\.ipynb$/.test(name)

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
  readonly #kernels = new Map<string, Running>()
  #clock = 0
  #closed = false

  constructor(
    readonly folder: string,
    private readonly shadow: Shadow,
    private readonly tell: (message: FromRoom) => void,
  ) {}

  get #own(): string {
    return join(this.folder, 'notebooks')
  }

  /** The package's notebooks and the folder's own; one of the folder's stands in for the package's of its name. */
  async names(): Promise<NotebookName[]> {
    const list = async (folder: string): Promise<string[]> =>
      (await readdir(folder).catch((): string[] => [])).filter(isName).sort()
    const own = await list(this.#own)
    const given = (await list(join(packageRoot, 'notebooks'))).filter((name) => !own.includes(name))
    const named = async (name: string, isOwn: boolean): Promise<NotebookName> => ({
      name,
      own: isOwn,
      title: titleOf(await readFile(this.#path(name, isOwn), 'utf8'), name),
    })
    const all = await Promise.all([
      ...given.map((name) => named(name, false)),
      ...own.map((name) => named(name, true)),
    ])
    return all.sort((a, b) => (a.name < b.name ? -1 : 1))
  }

  /** Does what a page asks; answers for that page alone go to `say`, what every page must know is told to all. */
  async hear(message: unknown, say: (answer: FromRoom) => void): Promise<void> {
    const asked = message as ToRoom
    if (!isName(String(asked?.name)))
      throw new Error('a notebook is named by letters, digits, - and _, with .ipynb at the end')
    switch (asked.ask) {
      case 'open':
        return say({ tell: 'opened', name: asked.name, ...(await this.#read(asked.name)) })
      case 'save':
        return this.#save(asked.name, asked.notebook)
      case 'new':
        return this.#begin(asked.name, asked.title)
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

  #path(name: string, own: boolean): string {
    return join(own ? this.#own : join(packageRoot, 'notebooks'), name)
  }

  async #read(name: string): Promise<{ notebook: Notebook; own: boolean }> {
    const own = (await readdir(this.#own).catch((): string[] => [])).includes(name)
    return { notebook: await readNotebook(this.#path(name, own)), own }
  }

  async #save(name: string, sent: unknown): Promise<void> {
    // Read as any file is, so that nothing but a notebook is ever written under the name of one.
    const notebook = parseNotebook(JSON.stringify(sent), name)
    await mkdir(this.#own, { recursive: true })
    await writeNotebook(this.#path(name, true), {
      ...notebook,
      metadata: { ...notebook.metadata, ...KERNEL_METADATA },
    })
    this.tell({ tell: 'saved', name })
  }

  async #begin(name: string, title: string): Promise<void> {
    if ((await this.names()).some((one) => one.name === name))
      throw new Error(`there is a notebook ${name} already; take another name`)
    await mkdir(this.#own, { recursive: true })
    await writeNotebook(this.#path(name, true), newNotebook(title))
    this.tell({ tell: 'names', name, notebooks: await this.names() })
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

const failure = (error: unknown): Output => ({
  output_type: 'error',
  ename: 'Kernel',
  evalue: error instanceof Error ? error.message : String(error),
  traceback: [],
})

const lengthOf = (outputs: readonly Output[]): number =>
  outputs.reduce((sum, output) => sum + (output.output_type === 'stream' ? textOf(output.text).length : 0), 0)

/** Outputs with the text of streams cut where it grows past reading. */
function limited(outputs: readonly Output[]): Output[] {
  let left = MOST_TEXT
  return outputs.map((output) => {
    if (output.output_type !== 'stream') return output
    const text = textOf(output.text)
    const kept =
      text.length <= left
        ? text
        : `${text.slice(0, Math.max(0, left))}\n… ${text.length - left} more characters are left out here`
    left -= Math.min(left, text.length)
    return { ...output, text: kept }
  })
}

/** The first heading of a notebook's text, or its file name. */
function titleOf(text: string, name: string): string {
  try {
    const [first] = parseNotebook(text, name).cells
    return /^#\s+(.+)$/m.exec(first ? textOf(first.source) : '')?.[1] ?? name
  } catch {
    return name
  }
}

/** A notebook to begin with: it opens the household of the page and compares its scenarios. */
function newNotebook(title: string): Notebook {
  const code = (id: string, source: string, tags: readonly string[] = []): Cell => ({
    cell_type: 'code',
    id,
    metadata: tags.length > 0 ? { tags } : {},
    source,
    execution_count: null,
    outputs: [],
  })
  return {
    cells: [
      { cell_type: 'markdown', id: 'title', metadata: {}, source: `# ${title}` },
      code('parameters', "let household: string = 'valparaiso-gdynia'\nlet set: string[] = []", [
        PARAMETERS_TAG,
      ]),
      code(
        'open',
        "import { compare, openHousehold, showTable } from 'quaybook'\nconst { move, plans } = await openHousehold(household, set)\nundefined",
      ),
      code(
        'compare',
        [
          'showTable({',
          "  caption: 'The scenarios side by side',",
          "  columns: [{ label: 'What' }, ...plans.map((plan) => ({ label: plan.name, align: 'right' as const }))],",
          '  rows: compare(plans).map((row) => [row.label, ...row.values.map((value) => value.toFixed(2))]),',
          '})',
        ].join('\n'),
      ),
    ],
    metadata: { ...KERNEL_METADATA },
    nbformat: 4,
    nbformat_minor: 5,
  }
}
