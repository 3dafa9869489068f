// Papers from buttons: each is made by the command of its name, in a process of its own, from the move as edited.
import { type ChildProcess, spawn } from 'node:child_process'
import { readdir, readFile, stat } from 'node:fs/promises'
import { dirname, extname, join } from 'node:path'
import { packageRoot } from '../plan/open.js'
import { type FromPage, PAPERS, type Paper, type PaperState } from './protocol.js'
import type { Shadow } from './shadow.js'

type Asked = Extract<FromPage, { kind: 'paper' }>

const TYPES: Readonly<Record<string, { readonly type: string; readonly shown: boolean }>> = {
  '.html': { type: 'text/html; charset=utf-8', shown: true },
  '.json': { type: 'application/json', shown: false },
  '.csv': { type: 'text/csv; charset=utf-8', shown: false },
  '.xlsx': { type: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet', shown: false },
}

/** Words of the command that makes a paper. */
function words(paper: Paper, household: string, out: string, { scenario, seconds }: Asked): string[] {
  const named = scenario === undefined ? [] : ['--scenario', scenario]
  switch (paper) {
    case 'load':
      return ['load', household, '--out', out, ...named, '--seconds', String(seconds ?? 20)]
    case 'workbook':
      return ['workbook', household, '--out', join(out, 'workbook.xlsx'), '--force']
    case 'customs':
      return ['customs', household, '--out', out, ...named]
    default:
      return [paper, household, '--out', out]
  }
}

/** Makes the papers of one folder, each once at a time, and hands them out. */
export class PaperShop {
  readonly #running = new Map<Paper, ChildProcess>()

  constructor(
    readonly folder: string,
    private readonly shadow: Shadow,
    private readonly tell: (paper: Paper, state: PaperState) => void,
  ) {}

  get #out(): string {
    return join(this.folder, 'papers')
  }

  /** Starts a paper; how it goes is told as it goes. */
  async make(paper: Paper, asked: Asked): Promise<void> {
    if (!PAPERS.includes(paper)) throw new Error('there is no such paper')
    if (this.#running.has(paper)) return
    const seconds = asked.seconds
    if (seconds !== undefined && !(seconds > 0 && seconds <= 3600))
      throw new Error('the seconds to search are 1 to 3600')
    this.tell(paper, { state: 'working', text: 'starting …' })
    const before = new Set(await this.#times())
    await this.shadow.bringUp()
    const name = this.shadow.folder
    const args = [join(packageRoot, 'dist', 'cli', 'bin.js'), ...words(paper, name, this.#out, asked)]
    const child = spawn(process.execPath, args, { cwd: dirname(name), stdio: ['ignore', 'pipe', 'pipe'] })
    this.#running.set(paper, child)
    let said = ''
    let printed = ''
    child.stdout.on('data', (chunk: Buffer) => {
      printed = (printed + String(chunk)).slice(-20_000)
    })
    child.stderr.on('data', (chunk: Buffer) => {
      said = (said + String(chunk)).slice(-4_000)
      this.tell(paper, { state: 'working', text: said.trim().split('\n').at(-1) ?? '' })
    })
    child.once('error', (error) => this.#ended(paper, { state: 'failed', text: error.message }))
    child.once('close', (code) => {
      if (code !== 0) return this.#ended(paper, { state: 'failed', text: said.trim() || 'it was stopped' })
      void this.#times().then((now) => {
        const made = now
          .filter((entry) => !before.has(entry))
          .map((entry) => entry.slice(entry.indexOf(' ') + 1))
        const text = said.trim().split('\n').slice(-3).join('\n')
        this.#ended(paper, { state: 'made', files: made, text })
      })
    })
  }

  /** Ends a paper that is being made; the load plan ends with the best found so far. */
  stop(paper: Paper): void {
    this.#running.get(paper)?.kill('SIGINT')
  }

  /** A paper's content, or undefined where there is none of that name. */
  async read(name: string): Promise<{ content: Buffer; type: string; shown: boolean } | undefined> {
    const kind = TYPES[extname(name)]
    if (!kind || !/^[\w-]{1,60}\.\w{3,5}$/.test(name)) return undefined
    const content = await readFile(join(this.#out, name)).catch(() => undefined)
    return content && { content, ...kind }
  }

  async close(): Promise<void> {
    const ends = [...this.#running.values()].map(
      (child) => new Promise<void>((resolve) => child.once('close', () => resolve())),
    )
    for (const child of this.#running.values()) child.kill('SIGKILL')
    await Promise.all(ends)
  }

  #ended(paper: Paper, state: PaperState): void {
    if (this.#running.delete(paper)) this.tell(paper, state)
  }

  /** Papers with the moment each was written, to tell which are new. */
  async #times(): Promise<string[]> {
    const names = (await readdir(this.#out).catch((): string[] => [])).filter((name) => TYPES[extname(name)])
    return Promise.all(names.map(async (name) => `${(await stat(join(this.#out, name))).mtimeMs} ${name}`))
  }
}
