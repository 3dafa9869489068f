// A running tslab kernel and the conversation with it: Jupyter messages over ZeroMQ.
import { type ChildProcess, spawn } from 'node:child_process'
import { randomUUID } from 'node:crypto'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import type { Dealer, Subscriber } from 'zeromq'
import { type MimeBundle, NotebookError, type Output } from './format.js'
import { KERNEL_ENVIRONMENT } from './kernelspec.js'
import { launcherPath } from './launcher.js'
import { decode, encode, request, type WireMessage } from './wire.js'

const HANDSHAKE_EVERY_MS = 150
/** How long a cell that was interrupted may take to say so before the kernel is killed. */
const INTERRUPT_GRACE_MS = 1_000
/** How long the broadcast may be silent after a reply before asking whether anything is still to come. */
const IDLE_PATIENCE_MS = 500
const DRAIN_STALL_MS = 10_000
const SHUTDOWN_MS = 2_000
/** tslab refuses cells for 200 ms after an error. */
const AFTER_ERROR_MS = 260
const MAX_IPC_PATH = 90
/** Stands in the environment of the kernel and of all that its cells start; the value is the kernel's own folder. */
const MARK = 'QUAYBOOK_KERNEL'

export interface ErrorDetail {
  readonly ename: string
  readonly evalue: string
  readonly traceback: readonly string[]
}

/** How one cell went. `died` means that the kernel is gone, `timeout` that the cell's time was over. */
export interface Execution {
  readonly status: 'ok' | 'error' | 'timeout' | 'died'
  readonly executionCount: number | null
  /** Read them late: a later cell may still change what an earlier one displayed. */
  outputs(): readonly Output[]
  readonly error?: ErrorDetail
}

/** Words that fit at a place of a cell, and the stretch they replace. */
export interface Completion {
  readonly matches: readonly string[]
  readonly start: number
  readonly end: number
}

/** A place in a cell that the compiler does not accept; line and column count from 1. */
export interface CodeProblem {
  readonly line: number
  readonly column: number
  readonly text: string
}

export interface KernelOptions {
  /** Folder the cells run in: their relative paths and package look-ups start here. */
  readonly workingDir: string
  /** How long the start may take, ms. Default 30 000. */
  readonly startTimeoutMs?: number
}

interface Ports {
  readonly transport: 'ipc' | 'tcp'
  readonly ip: string
  readonly shell_port: number
  readonly iopub_port: number
  readonly stdin_port: number
  readonly control_port: number
  readonly hb_port: number
}

async function freePort(): Promise<number> {
  const server = createServer()
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject)
    server.listen(0, '127.0.0.1', resolve)
  })
  const address = server.address()
  await new Promise((resolve) => server.close(resolve))
  if (address === null || typeof address === 'string') throw new Error('found no free port for the kernel')
  return address.port
}

/** Files in the kernel's own folder where that works: no port can be taken between finding and binding it. */
async function ports(dir: string): Promise<Ports> {
  const file = join(dir, 'k')
  const useFiles = process.platform !== 'win32' && file.length <= MAX_IPC_PATH
  const numbers = useFiles ? [1, 2, 3, 4, 5] : await Promise.all([1, 2, 3, 4, 5].map(freePort))
  const [shell_port = 0, iopub_port = 0, stdin_port = 0, control_port = 0, hb_port = 0] = numbers
  const place = useFiles
    ? ({ transport: 'ipc', ip: file } as const)
    : ({ transport: 'tcp', ip: '127.0.0.1' } as const)
  return { ...place, shell_port, iopub_port, stdin_port, control_port, hb_port }
}

/** Ends the kernel's whole process group and, on Linux, what has left it (setsid): nothing a cell started is left. */
function killAll(child: ChildProcess, dir: string): void {
  if (child.pid === undefined) return
  try {
    if (process.platform === 'win32') child.kill('SIGKILL')
    else process.kill(-child.pid, 'SIGKILL')
  } catch {
    // Nothing of the group is left, which is what was wanted.
  }
  if (process.platform !== 'linux') return
  for (const pid of readdirSync('/proc').filter((name) => /^\d+$/.test(name))) {
    try {
      const environment = readFileSync(`/proc/${pid}/environ`, 'latin1').split('\0')
      if (environment.includes(`${MARK}=${dir}`)) process.kill(Number(pid), 'SIGKILL')
    } catch {
      // Gone meanwhile, or somebody else's.
    }
  }
}

// Kernels to end if this process ends by process.exit while they run; a killed one they notice themselves.
const living = new Map<ChildProcess, string>()
function endAll(): void {
  for (const [child, dir] of living) {
    killAll(child, dir)
    rmSync(dir, { recursive: true, force: true })
  }
}

/** Outputs of one cell as they come in; texts of the same stream that follow each other become one. */
class OutputCollector {
  readonly #outputs: (Output | { readonly name: 'stdout' | 'stderr'; readonly pieces: string[] })[] = []
  readonly #displays = new Map<string, number>()

  stream(name: 'stdout' | 'stderr', text: string): void {
    const last = this.#outputs.at(-1)
    if (last && 'pieces' in last && last.name === name) last.pieces.push(text)
    else this.#outputs.push({ name, pieces: [text] })
  }

  add(output: Output, displayId?: string): void {
    if (displayId !== undefined) this.#displays.set(displayId, this.#outputs.length)
    this.#outputs.push(output)
  }

  /** Replaces the output of that display, if this cell has it. */
  update(displayId: string, data: MimeBundle, metadata: MimeBundle): void {
    const at = this.#displays.get(displayId)
    if (at !== undefined) this.#outputs[at] = { output_type: 'display_data', data, metadata }
  }

  outputs(): Output[] {
    return this.#outputs.map((output) =>
      'pieces' in output
        ? { output_type: 'stream', name: output.name, text: output.pieces.join('') }
        : output,
    )
  }
}

class Deferred<T> {
  readonly promise: Promise<T>
  resolve: (value: T) => void = () => {}
  constructor() {
    this.promise = new Promise((resolve) => {
      this.resolve = resolve
    })
  }
}

/** A request on its way: its reply comes on one socket, its outputs and final `idle` on another. */
class Exchange {
  readonly reply = new Deferred<WireMessage>()
  readonly idle = new Deferred<'idle'>()
  readonly collector = new OutputCollector()
  /** Told whenever the outputs have changed. */
  heard: () => void = () => {}
}

const asBundle = (value: unknown): MimeBundle =>
  typeof value === 'object' && value !== null ? (value as MimeBundle) : {}

/** A display sent as a string of JSON becomes the object that the file format asks for. */
function parsedJson(data: MimeBundle): MimeBundle {
  const entries = Object.entries(data).map(([mime, value]) => {
    if (typeof value !== 'string' || !(mime === 'application/json' || mime.endsWith('+json')))
      return [mime, value]
    try {
      return [mime, JSON.parse(value)]
    } catch {
      return [mime, value]
    }
  })
  return Object.fromEntries(entries)
}

/** A tslab kernel of one's own. Always `shutdown()` it, also after an error. */
export class Kernel {
  readonly #child: ChildProcess
  readonly #dir: string
  readonly #key: string
  readonly #session = randomUUID()
  readonly #exchanges = new Map<string, Exchange>()
  readonly #gone = new Deferred<'gone'>()
  /** Which cell's outputs hold a display that may be updated later. */
  readonly #displays = new Map<string, OutputCollector>()
  #shell: Dealer | undefined
  #control: Dealer | undefined
  #iopub: Subscriber | undefined
  #ending: string | undefined
  #lastWords = ''
  #lastHeardAt = 0
  #pauseUntil = 0

  private constructor(child: ChildProcess, dir: string, key: string) {
    this.#child = child
    this.#dir = dir
    this.#key = key
    const listen = (chunk: Buffer): void => {
      this.#lastWords = (this.#lastWords + chunk.toString()).slice(-4_000)
    }
    child.stdout?.on('data', listen)
    child.stderr?.on('data', listen)
    const end = (how: string): void => {
      this.#ending ??= how
      killAll(child, dir)
      this.#gone.resolve('gone')
    }
    child.once('error', (error) => end(`could not be started (${error.message})`))
    child.once('exit', (code, signal) =>
      end(signal ? `ended by signal ${signal}` : `ended by itself with code ${code}`),
    )
  }

  /** Starts a kernel and waits until it answers and its broadcasts arrive. Throws NotebookError if it does not. */
  static async start(options: KernelOptions): Promise<Kernel> {
    const launcher = launcherPath()
    const zmq = await import('zeromq')
    const dir = mkdtempSync(join(tmpdir(), 'quaybook-'))
    const key = randomUUID()
    const place = await ports(dir)
    const configPath = join(dir, 'connection.json')
    const connection = { ...place, key, signature_scheme: 'hmac-sha256', kernel_name: 'tslab' }
    writeFileSync(configPath, JSON.stringify(connection), { mode: 0o600 })
    const child = spawn(process.execPath, [launcher, '--config-path', configPath], {
      cwd: options.workingDir,
      detached: process.platform !== 'win32', // leads a process group of its own
      env: { ...process.env, ...KERNEL_ENVIRONMENT, [MARK]: dir },
      stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
    })
    if (living.size === 0) process.on('exit', endAll)
    living.set(child, dir)
    const kernel = new Kernel(child, dir, key)
    try {
      const address = (port: number): string => `${place.transport}://${place.ip}:${port}`
      kernel.#shell = new zmq.Dealer({ linger: 0 })
      kernel.#control = new zmq.Dealer({ linger: 0 })
      kernel.#iopub = new zmq.Subscriber({ linger: 0, receiveHighWaterMark: 0 })
      kernel.#shell.connect(address(place.shell_port))
      kernel.#control.connect(address(place.control_port))
      kernel.#iopub.connect(address(place.iopub_port))
      kernel.#iopub.subscribe()
      void kernel.#receive(kernel.#shell, (message) => kernel.#onReply(message))
      void kernel.#receive(kernel.#control, (message) => kernel.#onReply(message))
      void kernel.#receive(kernel.#iopub, (message) => kernel.#onBroadcast(message))
      await kernel.#handshake(options.startTimeoutMs ?? 30_000)
      return kernel
    } catch (error) {
      await kernel.shutdown()
      throw error
    }
  }

  /** Process id of the kernel, also the id of its process group. */
  get pid(): number | undefined {
    return this.#child.pid
  }

  /** How the kernel ended and its last words, if it has. */
  get ending(): string | undefined {
    if (this.#ending === undefined) return undefined
    const words = this.#lastWords.trim()
    return words === '' ? this.#ending : `${this.#ending}; it said: ${words}`
  }

  /**
   * Runs one cell.
   *
   * @param timeoutMs time limit; then the cell is interrupted and, if that does not help, the kernel killed;
   *   Infinity: none
   * @param heard is handed the outputs so far whenever they change; it is called often, so it must be quick
   */
  async execute(
    code: string,
    timeoutMs: number,
    heard?: (outputs: () => readonly Output[]) => void,
  ): Promise<Execution> {
    await sleep(Math.max(0, this.#pauseUntil - Date.now()))
    const content = {
      code,
      silent: false,
      store_history: true,
      user_expressions: {},
      allow_stdin: false,
      stop_on_error: true,
    }
    // Stays among the exchanges: what a cell shows late, because nobody awaited it, still becomes its output.
    const { exchange } = await this.#send('shell', 'execute_request', content)
    const outputs = (): readonly Output[] => exchange.collector.outputs()
    if (heard) exchange.heard = () => heard(outputs)
    let reply = await this.#first(exchange.reply.promise, timeoutMs)
    const timedOut = reply === 'late'
    if (timedOut) {
      this.interrupt()
      reply = await this.#first(exchange.reply.promise, INTERRUPT_GRACE_MS)
      if (reply === 'late') await this.#kill()
    }
    if (typeof reply === 'string') {
      await sleep(100) // what the kernel broadcast before its end may still be on the way
      return { status: timedOut ? 'timeout' : 'died', executionCount: null, outputs }
    }
    await this.#drain(exchange)
    const { status, execution_count, ename, evalue, traceback } = reply.content
    const executionCount = typeof execution_count === 'number' ? execution_count : null
    if (status === 'ok') return { status: timedOut ? 'timeout' : 'ok', executionCount, outputs }
    this.#pauseUntil = Date.now() + AFTER_ERROR_MS
    const error = {
      ename: String(ename ?? 'Error'),
      evalue: String(evalue ?? status),
      traceback: Array.isArray(traceback) ? traceback.map(String) : [],
    }
    return { status: timedOut ? 'timeout' : 'error', executionCount, outputs, error }
  }

  /**
   * What could be written at a place of a cell.
   *
   * @param cursor place in the code, UTF-16 units from its start
   * @returns words, and the stretch of the code that each of them would replace; none while a cell runs
   */
  async complete(code: string, cursor: number, timeoutMs = 3_000): Promise<Completion> {
    const { exchange, id } = await this.#send('shell', 'complete_request', { code, cursor_pos: cursor })
    const reply = await this.#first(exchange.reply.promise, timeoutMs)
    this.#exchanges.delete(id)
    const none = { matches: [], start: cursor, end: cursor }
    if (typeof reply === 'string') return none
    const { matches, cursor_start, cursor_end } = reply.content
    if (!Array.isArray(matches) || typeof cursor_start !== 'number' || typeof cursor_end !== 'number')
      return none
    return { matches: matches.map(String), start: cursor_start, end: cursor_end }
  }

  /**
   * What the compiler says of code that is not run: after the cells that have run, as if it were the next.
   *
   * @returns the places it does not accept; none while a cell keeps the kernel from answering
   */
  async check(code: string, timeoutMs = 5_000): Promise<readonly CodeProblem[]> {
    const told = await this.#ask<{ problems?: readonly CodeProblem[] }>('check', 'checked', timeoutMs, {
      code,
    })
    return told?.problems ?? []
  }

  /**
   * Has the compiler started if one of these cells needs it, run one after the other in a kernel as new: none waits for it
   * in its own time then.
   */
  async prepare(codes: readonly string[], timeoutMs = 60_000): Promise<void> {
    await this.#ask('prepare', 'prepared', timeoutMs, { codes })
  }

  /**
   * Makes the kernel as new: without names, count and outputs of its cells.
   *
   * @returns whether it is; a cell that has changed more than that (a global, an open handle, a module of somebody
   *   else's) leaves a kernel that only `shutdown` is for
   */
  async renew(timeoutMs = 30_000): Promise<boolean> {
    const told = await this.#ask<{ isNew?: boolean }>('renew', 'renewed', timeoutMs)
    this.#exchanges.clear()
    this.#displays.clear()
    return told?.isNew === true
  }

  /** Asks over the kernel's own channel; undefined where it does not answer in time. */
  async #ask<T>(question: string, answer: string, timeoutMs: number, more = {}): Promise<T | undefined> {
    const id = randomUUID()
    if (this.#ending !== undefined || !this.#child.connected) return undefined
    const told = new Deferred<T>()
    const hear = (message: unknown): void => {
      if ((message as Record<string, unknown>)[answer] === id) told.resolve(message as T)
    }
    this.#child.on('message', hear)
    this.#child.send({ [question]: id, ...more }, () => undefined)
    const found = await this.#first(told.promise, timeoutMs)
    this.#child.off('message', hear)
    return found === 'gone' || found === 'late' ? undefined : found
  }

  /** Interrupts the running cell by signal; the kernel goes on unless the cell refuses. */
  interrupt(): void {
    if (this.#ending === undefined) this.#child.kill('SIGINT')
  }

  /** Ends the kernel, everything its cells started, and its folder. May be called twice. */
  async shutdown(): Promise<void> {
    if (this.#ending === undefined && this.#control) {
      await this.#send('control', 'shutdown_request', { restart: false }).catch(() => undefined)
      await Promise.race([this.#gone.promise, sleep(SHUTDOWN_MS, undefined, { ref: false })])
    }
    await this.#kill()
    for (const socket of [this.#shell, this.#control, this.#iopub]) {
      if (socket && !socket.closed) socket.close()
    }
    rmSync(this.#dir, { recursive: true, force: true })
    living.delete(this.#child)
    if (living.size === 0) process.removeListener('exit', endAll)
  }

  async #kill(): Promise<void> {
    killAll(this.#child, this.#dir)
    await this.#gone.promise
  }

  async #send(
    to: 'shell' | 'control',
    type: string,
    content: Record<string, unknown>,
  ): Promise<{ exchange: Exchange; id: string }> {
    const message = request(this.#session, type, content)
    const exchange = new Exchange()
    const id = message.header.msg_id
    this.#exchanges.set(id, exchange)
    const socket = to === 'shell' ? this.#shell : this.#control
    // A dealer without its peer would wait forever for somebody to send to.
    if (this.#ending === undefined)
      await Promise.race([socket?.send(encode(this.#key, message)), this.#gone.promise])
    return { exchange, id }
  }

  /** The first of: the awaited value, the kernel's end, the end of the time. */
  async #first<T>(awaited: Promise<T>, timeoutMs: number): Promise<T | 'gone' | 'late'> {
    if (timeoutMs === Number.POSITIVE_INFINITY) return Promise.race([awaited, this.#gone.promise])
    const timer = new AbortController()
    const late = sleep(timeoutMs, 'late' as const, { signal: timer.signal }).catch(() => 'late' as const)
    try {
      return await Promise.race([awaited, this.#gone.promise, late])
    } finally {
      timer.abort()
    }
  }

  /** A subscription takes effect some time after it is made, so ask until reply and broadcast have both come. */
  async #handshake(timeoutMs: number): Promise<void> {
    const deadline = Date.now() + timeoutMs
    while (Date.now() < deadline) {
      const { exchange } = await this.#send('shell', 'kernel_info_request', {})
      const both = Promise.all([exchange.reply.promise, exchange.idle.promise])
      const heard = await this.#first(both, HANDSHAKE_EVERY_MS)
      if (heard === 'gone') break
      if (heard === 'late') continue
      this.#exchanges.clear()
      return
    }
    const why = this.ending ?? `did not answer within ${timeoutMs} ms`
    throw new NotebookError(`The notebook kernel ${why}. Run npm ci and node build.mjs, then try again.`)
  }

  /** Waits for the last output of a request that has been replied to. */
  async #drain(exchange: Exchange): Promise<void> {
    if ((await this.#first(exchange.idle.promise, IDLE_PATIENCE_MS)) !== 'late') return
    // `idle` may have been lost. Broadcasts arrive in order: that of a later request proves that all came.
    const barrier = await this.#send('shell', 'kernel_info_request', {})
    const settled = Promise.race([exchange.idle.promise, barrier.exchange.idle.promise])
    this.#lastHeardAt = Date.now()
    while (Date.now() - this.#lastHeardAt < DRAIN_STALL_MS) {
      if ((await this.#first(settled, IDLE_PATIENCE_MS)) !== 'late') break
    }
    this.#exchanges.delete(barrier.id)
  }

  async #receive(socket: AsyncIterable<Buffer[]>, take: (message: WireMessage) => void): Promise<void> {
    try {
      for await (const frames of socket) take(decode(this.#key, frames))
    } catch (error) {
      // A closed socket ends the loop; anything else means that the conversation cannot go on.
      if (this.#ending !== undefined) return
      this.#ending = `sent what is no Jupyter message (${error instanceof Error ? error.message : String(error)})`
      killAll(this.#child, this.#dir)
    }
  }

  #exchangeOf(message: WireMessage): Exchange | undefined {
    return this.#exchanges.get(message.parent.msg_id ?? '')
  }

  #onReply(message: WireMessage): void {
    this.#exchangeOf(message)?.reply.resolve(message)
  }

  #onBroadcast(message: WireMessage): void {
    this.#lastHeardAt = Date.now()
    const exchange = this.#exchangeOf(message)
    if (!exchange) return
    const { content } = message
    const data = parsedJson(asBundle(content.data))
    const metadata = asBundle(content.metadata)
    const displayId = asBundle(content.transient).display_id
    switch (message.header.msg_type) {
      case 'status':
        if (content.execution_state === 'idle') exchange.idle.resolve('idle')
        break
      case 'stream':
        exchange.collector.stream(content.name === 'stderr' ? 'stderr' : 'stdout', String(content.text))
        break
      case 'display_data':
        if (typeof displayId === 'string') this.#displays.set(displayId, exchange.collector)
        exchange.collector.add(
          { output_type: 'display_data', data, metadata },
          typeof displayId === 'string' ? displayId : undefined,
        )
        break
      case 'update_display_data':
        this.#displays.get(String(displayId))?.update(String(displayId), data, metadata)
        break
      case 'execute_result':
        exchange.collector.add({
          output_type: 'execute_result',
          execution_count: typeof content.execution_count === 'number' ? content.execution_count : null,
          data,
          metadata,
        })
        break
      case 'error':
        exchange.collector.add({
          output_type: 'error',
          ename: String(content.ename),
          evalue: String(content.evalue),
          traceback: Array.isArray(content.traceback) ? content.traceback.map(String) : [],
        })
        break
    }
    exchange.heard()
  }
}
