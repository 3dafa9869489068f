// Starts the tslab kernel inside this process, after repairing from outside what tslab 1.0.22 gets wrong.
// No file of tslab is touched; everything hangs on internals of that one version, which package.json pins.
//
// A .cts file because tslab is CommonJS and the repair must replace properties of its module objects.
// Used by the project's own runner (which talks over an IPC channel and owns the process group) and, through
// a kernelspec, by Jupyter. Usage: node kernel-main.cjs --config-path <connection file>
import childProcess = require('node:child_process')
import crypto = require('node:crypto')
import fs = require('node:fs')
import nodeModule = require('node:module')
import path = require('node:path')
import url = require('node:url')
import util = require('node:util')
import workerThreads = require('node:worker_threads')
import type ts = require('typescript')
import type zeromq = require('zeromq')
import convertedCells = require('./converted-cells.cjs')
import renewal = require('./kernel-renewal.cjs')

type Content = Record<string, unknown>
type WriteStream = (name: 'stdout' | 'stderr', text: string) => void
type WriteDisplay = (content: { readonly data?: Content }, update?: boolean) => void

interface Fault {
  readonly ename: string
  readonly evalue: string
  readonly traceback: readonly string[]
}
interface ExecuteRequest {
  readonly code: string
  publish?: (type: string, content: Content) => void
  fault?: Fault
}
interface Message {
  readonly header: { msg_type: string }
  content: Content
  createReply(): Message
  signAndSend(key: string, socket: unknown): void
}
interface Reply {
  status: string
}
interface Handler {
  execCount: number
  handleKernel(): { language_info: { version: string } }
  handleExecute(request: ExecuteRequest, stream: WriteStream, display: WriteDisplay): Promise<Reply>
  handleExecuteImpl(request: ExecuteRequest, stream: WriteStream, display: WriteDisplay): Promise<unknown>
}
interface Server {
  close(): void
  readonly connInfo: { readonly key: string; readonly transport: string; readonly ip: string }
  readonly iopub: unknown
  init(): Promise<void>
  bindSocket(socket: unknown, port: number): Promise<void>
  handleShellMessage(socket: unknown, ...frames: Buffer[]): Promise<void>
  handleExecute(socket: unknown, message: Message & { content: ExecuteRequest }): Promise<void>
  handleCommInfoRequest(socket: unknown, message: Message): void
}
type Converter = Omit<ReturnType<typeof convertedCells.keeping>, 'readyFor'>
type Diagnostic = ReturnType<Converter['convert']>['diagnostics'][number]
interface Converters {
  readonly node: Converter
}
interface Executor {
  reset(): void
  inspect(code: string, position: number): unknown
}
interface TslabConsole {
  log(...parts: unknown[]): void
  error(...parts: unknown[]): void
}

// Resolved from tslab's own folder, so that these are the very instances tslab itself uses.
const fromTslab = nodeModule.createRequire(require.resolve('tslab/package.json'))
const typescript: typeof ts = fromTslab('@tslab/typescript-for-tslab')
const zmq: { Publisher: typeof zeromq.Publisher } = fromTslab('zeromq')
const jupyter: { JupyterHandlerImpl: { prototype: Handler }; ZmqServer: { prototype: Server } } =
  fromTslab('./dist/jupyter.js')
const executor: {
  createExecutor: (root: string, converters: Converters, console: TslabConsole) => Executor
} = fromTslab('./dist/executor.js')
const converter: { createConverter: (options: { readonly isBrowser?: boolean }) => Converter } =
  fromTslab('./dist/converter.js')
const main: { startKernel: (options: Record<string, unknown>) => void } = fromTslab('./dist/main.js')

const configPath = process.argv[process.argv.indexOf('--config-path') + 1] ?? ''
const ownedByRunner = process.connected === true

// ---- Types nobody asked for ----------------------------------------------------------------------------
// The compiler takes the types of every package under @types into every notebook, 400 files for a library of pictures
// among them: a second of each kernel's start. What a cell imports is still found by its import.
const foldersIn = typescript.sys.getDirectories
typescript.sys.getDirectories = (folder) =>
  /[\\/]node_modules[\\/]@types[\\/]?$/.test(folder)
    ? foldersIn(folder).filter((name) => name === 'node')
    : foldersIn(folder)

// ---- Cells that have run before -------------------------------------------------------------------------
const { createConverter } = converter
const tslabVersion: string = fromTslab('./package.json').version
const cellsFolder = convertedCells.folderFor(process.cwd(), [
  tslabVersion,
  typescript.version,
  process.versions.node.split('.')[0] ?? '',
])
let readyFor: (codes: readonly string[]) => void = () => {}
if (cellsFolder !== undefined) {
  converter.createConverter = (options) => {
    if (options.isBrowser) return createConverter(options)
    const made = convertedCells.keeping(() => createConverter(options), cellsFolder, typescript)
    readyFor = made.readyFor
    return made
  }
}

/** Before a notebook the runner has the compiler started, if it needs one: no cell's time is spent on that. */
function answerPreparations(): void {
  if (!ownedByRunner) return
  process.on('message', (asked: { readonly prepare?: unknown; readonly codes?: readonly string[] }) => {
    if (typeof asked?.prepare !== 'string' || !Array.isArray(asked.codes)) return
    readyFor(asked.codes.map((code) => expandShorthand(code).code))
    process.send?.({ prepared: asked.prepare })
  })
}

// ---- Output bursts -------------------------------------------------------------------------------------
// tslab never awaits send(), and zeromq refuses a second send while one is waiting, so a burst of some 500
// lines used to lose the rest of the cell's output and with it the message that says the cell is done.
// A queue sends one after the other; no high-water mark, because dropping output is not an option here.
const Publisher = zmq.Publisher
class QueueingPublisher extends Publisher {
  #waiting: (zeromq.MessageLike | zeromq.MessageLike[])[] = []
  #sending = false

  constructor(options?: ConstructorParameters<typeof Publisher>[0]) {
    super({ ...options, sendHighWaterMark: 0 })
  }

  override send(message: zeromq.MessageLike | zeromq.MessageLike[]): Promise<void> {
    this.#waiting.push(message)
    if (!this.#sending) void this.#drain()
    return Promise.resolve()
  }

  async #drain(): Promise<void> {
    this.#sending = true
    try {
      while (this.#waiting.length > 0) {
        const batch = this.#waiting
        this.#waiting = []
        for (const message of batch) await super.send(message)
      }
    } catch (error) {
      if (!this.closed) throw error
    } finally {
      this.#sending = false
    }
  }
}
zmq.Publisher = QueueingPublisher

// ---- How much one cell may say --------------------------------------------------------------------------
// A notebook with 50 MB in it opens nowhere, and a loop that prints for ever would fill the disk.
const TEXT_LIMIT = 2_000_000
const SHOWN_LIMIT = 20_000_000
const MESSAGE_LIMIT = 10_000
const TRACEBACK_LINES = 100

/** The two ways out of a cell, closed one by one when it has said too much; the cell goes on and is told so once. */
function limited(stream: WriteStream, display: WriteDisplay): { stream: WriteStream; display: WriteDisplay } {
  let textLeft = TEXT_LIMIT
  let shownLeft = SHOWN_LIMIT
  return {
    stream: (name, text) => {
      if (textLeft < 0) return
      textLeft -= text.length
      if (textLeft >= 0) return stream(name, text)
      const rest = text.slice(0, text.length + textLeft)
      if (rest !== '') stream(name, rest)
      stream(
        'stderr',
        `\nNothing that this cell prints from here on is kept: a cell may print ${TEXT_LIMIT / 1e6} million characters. ` +
          'Print a summary, or write the whole to a file with fs.writeFileSync.\n',
      )
    },
    display: (content, update) => {
      if (shownLeft < 0) return
      for (const value of Object.values(content.data ?? {})) {
        shownLeft -= typeof value === 'string' ? value.length : JSON.stringify(value).length
      }
      if (shownLeft >= 0) return display(content, update)
      stream(
        'stderr',
        `This and what this cell shows from here on is not kept: a cell may show ${SHOWN_LIMIT / 1e6} million characters. ` +
          'Show fewer rows or points, or write the whole to a file with fs.writeFileSync.\n',
      )
    },
  }
}

const shortened = (text: string): string =>
  text.length <= MESSAGE_LIMIT
    ? text
    : `${text.slice(0, MESSAGE_LIMIT)} ... (${text.length - MESSAGE_LIMIT} more characters)`

function shortFault({ ename, evalue, traceback }: Fault): Fault {
  const more = traceback.length - TRACEBACK_LINES
  const lines = traceback.slice(0, TRACEBACK_LINES).map(shortened)
  return {
    ename: shortened(ename),
    evalue: shortened(evalue),
    traceback: more > 0 ? [...lines, `... (${more} more lines)`] : lines,
  }
}

// ---- Shorthand properties ------------------------------------------------------------------------------
// tslab rewrites a name of an earlier cell to a property access but overlooks `{ a }`, which then throws a
// ReferenceError. Written out as `{ a: a }` before tslab sees it.
interface Insertion {
  readonly at: number
  readonly length: number
}

function expandShorthand(code: string): { readonly code: string; readonly insertions: readonly Insertion[] } {
  const source = typescript.createSourceFile('cell.ts', code, typescript.ScriptTarget.Latest, true)
  const names: { readonly at: number; readonly text: string }[] = []
  const visit = (node: ts.Node): void => {
    if (typescript.isShorthandPropertyAssignment(node) && !node.objectAssignmentInitializer) {
      names.push({ at: node.name.end, text: `: ${node.name.text}` })
    }
    typescript.forEachChild(node, visit)
  }
  visit(source)
  let expanded = ''
  let from = 0
  for (const name of names) {
    expanded += code.slice(from, name.at) + name.text
    from = name.at
  }
  return {
    code: expanded + code.slice(from),
    insertions: names.map((name) => ({ at: name.at, length: name.text.length })),
  }
}

/** Column (from 1) in the cell as written, for a column that the compiler reports in the expanded cell. */
function columnAsWritten(
  code: string,
  insertions: readonly Insertion[],
  line: number,
  column: number,
): number {
  const lineStart = code
    .split('\n')
    .slice(0, line - 1)
    .reduce((sum, text) => sum + text.length + 1, 0)
  let written = column
  for (const insertion of insertions) {
    const insertedColumn = insertion.at - lineStart + 1
    if (insertedColumn > 0 && insertedColumn < written) {
      written = Math.max(insertedColumn, written - insertion.length)
    }
  }
  return written
}

// ---- Errors --------------------------------------------------------------------------------------------
// tslab prints an error to stderr and replies "error" without saying which. Its console is replaced by one
// that keeps the value, so that the protocol's `error` message can carry name, message and stack.
const DIAGNOSTIC_FORMAT = '%s%d:%d - %s'
let printed: unknown[][] = []

const createExecutor = executor.createExecutor
executor.createExecutor = (root, converters, console) => {
  const made = createExecutor(root, watched(withCheck(converters)), {
    log: console.log,
    error: (...parts) => {
      printed.push(parts)
    },
  })
  answerPreparations()
  answerChecks(made)
  answerRenewals(made)
  return made
}

// ---- As new for the next notebook -----------------------------------------------------------------------
// A compiler that has read the types costs seconds, so the runner asks whether the notebook that is done has left
// anything behind. What tslab keeps of its cells is dropped; modules and files that it imported cannot be.
let keptSomething = false
let atStart: ReturnType<typeof renewal.standing> | undefined
let jupyterHandler: Handler | undefined

function watched(converters: Converters): Converters {
  const { node } = converters
  const watching: Converter = {
    ...node,
    convert(declared, code, trial) {
      const converted = node.convert(declared, code, trial)
      const { importedFiles } = typescript.preProcessFile(code, true, true)
      if (converted.sideOutputs || !importedFiles.every(({ fileName }) => renewal.isStateless(fileName)))
        keptSomething = true
      return converted
    },
    addModule(...parts) {
      keptSomething = true
      return node.addModule(...parts)
    },
  }
  return Object.create(converters, { node: { value: watching } }) as Converters
}

function answerRenewals(made: Executor): void {
  if (!ownedByRunner) return
  process.on('message', async (asked: { readonly renew?: unknown }) => {
    if (typeof asked?.renew !== 'string' || !atStart) return
    await untilRejectionsAreKnown()
    const left = keptSomething ? 'a module with a state of its own' : renewal.leftBehind(atStart)
    const isNew = left === undefined && strays.length === 0
    made.reset()
    if (jupyterHandler) jupyterHandler.execCount = 0
    process.send?.({ renewed: asked.renew, isNew, left })
  })
}

// ---- What the compiler says of a cell that is not run --------------------------------------------------
// Asked over the runner's own channel. Only tslab's executor knows what the cells before have declared, and hands it to
// its converter when a place is inspected: a place that no code has asks for a check instead.
const CHECK = -1
let checked: readonly Diagnostic[] = []

function withCheck(converters: Converters): Converters {
  const { node } = converters
  const inspect = node.inspect.bind(node)
  const checking: Converter = {
    ...node,
    inspect(declared, code, position) {
      if (position !== CHECK) return inspect(declared, code, position)
      checked = node.convert(declared, code, true).diagnostics
      return null
    },
  }
  // Not a copy, which would bring its second converter into being, the one for code that runs in browsers.
  return Object.create(converters, { node: { value: checking } }) as Converters
}

function answerChecks(made: Executor): void {
  if (!ownedByRunner) return
  process.on('message', (asked: { readonly check?: unknown; readonly code?: unknown }) => {
    const written = asked?.code
    if (typeof asked?.check !== 'string' || typeof written !== 'string') return
    const { code, insertions } = expandShorthand(written)
    checked = []
    try {
      made.inspect(code, CHECK)
    } catch {
      // Half a cell may be more than the compiler bears; then it has nothing to say.
    }
    const problems = checked
      .filter(({ fileName }) => fileName === undefined)
      .map(({ start, messageText }) => {
        const line = start.line + 1
        return {
          line,
          column: columnAsWritten(written, insertions, line, start.character + 1),
          text: messageText,
        }
      })
    process.send?.({ checked: asked.check, problems })
  })
  // Listening alone must not keep a kernel alive that has been told to end.
  process.channel?.unref()
}

/** Stack lines of the cell and of what it called: no kernel internals, paths relative to the working folder. */
function readableFrames(stack: string): string[] {
  return stack
    .split('\n')
    .filter((line) => /^\s+at /.test(line))
    .filter((line) => !/node:|[\\/]node_modules[\\/]tslab[\\/]|kernel-main\.cjs/.test(line))
    .map((line) =>
      line
        .replace(/file:\/\/[^\s):]+/g, (address) => url.fileURLToPath(address))
        .replace(/(?<=[\s(])\/[^\s()]+?(?=:\d+:\d+)/g, (file) => path.relative(process.cwd(), file)),
    )
}

function describeThrown(thrown: unknown): Fault {
  if (!util.types.isNativeError(thrown)) {
    const evalue = typeof thrown === 'string' ? thrown : util.inspect(thrown)
    return { ename: 'Thrown', evalue, traceback: [`Thrown: ${evalue}`] }
  }
  const traceback = [`${thrown.name}: ${thrown.message}`, ...readableFrames(thrown.stack ?? '')]
  if (util.types.isNativeError(thrown.cause)) {
    traceback.push(`Caused by ${thrown.cause.name}: ${thrown.cause.message}`)
  }
  return { ename: thrown.name, evalue: thrown.message, traceback }
}

// Errors that nobody awaits or catches. tslab only prints them, so that a forgotten `await` would let a cell
// pass; here they fail the cell that runs when they come to light.
const strays: { readonly thrown: unknown }[] = []
const untilRejectionsAreKnown = util.promisify(setImmediate)

function failOnStrays(): void {
  for (const event of ['unhandledRejection', 'uncaughtException']) {
    process.removeAllListeners(event)
    process.on(event, (thrown: unknown) => strays.push({ thrown }))
  }
}

function describeFault(
  parts: readonly unknown[][],
  code: string,
  insertions: readonly Insertion[],
): Fault | undefined {
  const diagnostics = parts
    .filter((part) => part[0] === DIAGNOSTIC_FORMAT)
    .map(([, file, line, column, message]) => {
      const at =
        file === '' ? columnAsWritten(code, insertions, Number(line), Number(column)) : Number(column)
      return { place: `${file}${line}:${at}`, message: String(message) }
    })
  const [first] = diagnostics
  if (first) {
    const traceback = diagnostics.map((diagnostic) => `${diagnostic.place} - ${diagnostic.message}`)
    return { ename: 'TypeScriptError', evalue: `${first.place} - ${first.message}`, traceback }
  }
  return parts[0] ? describeThrown(parts[0][0]) : undefined
}

// ---- Replies and broadcasts that the protocol asks for --------------------------------------------------
// execute_input and error are never sent; a request cancelled after an error is answered "abort" where the
// protocol says "aborted"; comm_info_request gets a reply of another type; the language version is wrong.
const handler = jupyter.JupyterHandlerImpl.prototype
const { handleExecute, handleExecuteImpl, handleKernel } = handler

handler.handleKernel = function () {
  jupyterHandler = this
  atStart ??= renewal.standing()
  const reply = handleKernel.call(this)
  reply.language_info.version = typescript.version
  return reply
}

handler.handleExecute = async function (request, stream, display) {
  const reply = await handleExecute.call(this, request, stream, display)
  if (reply.status === 'abort') reply.status = 'aborted'
  if (reply.status === 'error') {
    const unsaid = { ename: 'Error', evalue: 'the cell failed without a message', traceback: [] }
    const fault = shortFault(request.fault ?? unsaid)
    Object.assign(reply, fault)
    request.publish?.('error', { ...fault })
  }
  return reply
}

// This one runs when the request's turn has come, so the count and the captured errors are its own.
handler.handleExecuteImpl = async function (request, streamAll, displayAll) {
  const { stream, display } = limited(streamAll, displayAll)
  request.publish?.('execute_input', { code: request.code, execution_count: this.execCount + 1 })
  const { code, insertions } = expandShorthand(request.code)
  printed = []
  try {
    const count = await handleExecuteImpl.call(this, { ...request, code }, stream, display)
    await untilRejectionsAreKnown()
    const [stray] = strays.splice(0)
    if (stray) {
      request.fault = describeThrown(stray.thrown)
      throw count // tslab's way to say: failed, and this was its number
    }
    // What tslab reports about a cell that it still counts as good, such as a badly typed @module.
    for (const parts of printed) stream('stderr', `${util.format(...parts)}\n`)
    return count
  } catch (thrown) {
    const fault = request.fault ?? describeFault(printed, request.code, insertions)
    if (fault) request.fault = fault
    throw thrown
  }
}

const server = jupyter.ZmqServer.prototype
const { handleExecute: serveExecute, handleShellMessage, bindSocket, init, close } = server

// ---- Who may speak -------------------------------------------------------------------------------------
// tslab reads a message before it checks the signature, and a wrong one fails the next cell with an error that
// tells the right signature. A message that is not signed with the key of this connection is as good as unsent.
const DELIMITER = Buffer.from('<IDS|MSG>')

function isSigned(key: string, frames: readonly Buffer[]): boolean {
  const at = frames.findIndex((frame) => frame.equals(DELIMITER))
  const [signature, ...parts] = at < 0 ? [] : frames.slice(at + 1)
  if (!signature || parts.length < 4) return false
  const hmac = crypto.createHmac('sha256', key)
  for (const part of parts) hmac.update(part)
  const expected = Buffer.from(hmac.digest('hex'))
  return expected.length === signature.length && crypto.timingSafeEqual(expected, signature)
}

server.handleShellMessage = async function (socket, ...frames) {
  if (isSigned(this.connInfo.key, frames)) await handleShellMessage.call(this, socket, ...frames)
}

// A cell runs any code: no other machine may so much as knock.
server.bindSocket = async function (socket, port) {
  const { transport, ip } = this.connInfo
  if (transport !== 'ipc' && !/^(127\.\d+\.\d+\.\d+|localhost|\[?::1\]?)$/.test(ip)) {
    throw new Error(
      `found the address "${ip}" in ${configPath}, expected 127.0.0.1: the kernel listens to this machine only`,
    )
  }
  await bindSocket.call(this, socket, port)
}

server.handleExecute = function (socket, message) {
  message.content.publish = (type, content) => {
    const broadcast = message.createReply()
    broadcast.header.msg_type = type
    broadcast.content = content
    broadcast.signAndSend(this.connInfo.key, this.iopub)
  }
  return serveExecute.call(this, socket, message)
}

server.handleCommInfoRequest = function (socket, message) {
  const reply = message.createReply()
  reply.header.msg_type = 'comm_info_reply'
  reply.content = { status: 'ok', comms: {} }
  reply.signAndSend(this.connInfo.key, socket)
}

// tslab swallows a failed start (a taken port, an unreadable connection file) and then hangs.
server.init = async function () {
  try {
    await init.call(this)
  } catch (error) {
    fs.writeSync(2, `The notebook kernel could not start: ${util.inspect(error)}\n`)
    process.exit(1)
  }
}

// A timer or a child process that a cell left behind must not hold up the end after a shutdown request.
server.close = function () {
  close.call(this)
  setTimeout(() => process.exit(0), 100).unref()
}

// ---- Warnings ------------------------------------------------------------------------------------------
// Node's own printout carries the process id, which would make a cell's output differ on every run; and which
// features it calls experimental (require() of ES modules was one) changes with its version.
process.removeAllListeners('warning')
process.on('warning', (warning) => {
  if (warning.name === 'ExperimentalWarning') return
  process.stderr.write(`${warning.name}: ${warning.message}\n`)
  keptSomething = true // it is said once in a process, and the next notebook may have to say it too
})

// ---- Children of a cell --------------------------------------------------------------------------------
// A detached child would lead a process group of its own and outlive the kernel, whose group is ended as a whole.
interface Spawning {
  spawn(options: { detached?: boolean }): unknown
}
const children = childProcess.ChildProcess.prototype as unknown as Spawning
const { spawn } = children
children.spawn = function (options) {
  return spawn.call(this, { ...options, detached: false })
}

// ---- Ending with the parent ----------------------------------------------------------------------------
// A killed runner or Jupyter must not leave a kernel behind, not even one that is busy in an endless loop:
// hence a watching thread besides the channel's own event. Windows has no process groups and keeps the
// parent's number after its death; there only the channel ends the kernel.
const target = ownedByRunner && process.platform !== 'win32' ? -process.pid : process.pid
const ownFolder = ownedByRunner ? path.dirname(configPath) : undefined

/**
 * Ends what cells started and what has left the kernel's group since (setsid): on Linux every process tells its
 * environment, in which the runner has marked this kernel's. Its text is also run in the watching thread, so it uses
 * nothing but its arguments.
 */
function endMarked(files: typeof import('node:fs'), mark: string): void {
  if (process.platform !== 'linux') return
  for (const name of files.readdirSync('/proc')) {
    if (!/^\d+$/.test(name) || Number(name) === process.pid) continue
    try {
      const environment = files.readFileSync(`/proc/${name}/environ`, 'latin1').split('\0')
      if (environment.includes(mark)) process.kill(Number(name), 'SIGKILL')
    } catch {
      // Gone meanwhile, or somebody else's.
    }
  }
}
const mark = ownFolder && `QUAYBOOK_KERNEL=${ownFolder}`

function endWithParent(): void {
  if (ownFolder) fs.rmSync(ownFolder, { recursive: true, force: true })
  if (mark) endMarked(fs, mark)
  process.kill(target, 'SIGKILL')
}

if (ownedByRunner) {
  process.on('disconnect', endWithParent)
  process.channel?.unref()
}
if (process.platform !== 'win32') {
  const watch = `
    const files = require('node:fs')
    const { parent, target, ownFolder, mark } = require('node:worker_threads').workerData
    ${endMarked.toString()}
    setInterval(() => {
      if (process.ppid === parent) return
      if (ownFolder) files.rmSync(ownFolder, { recursive: true, force: true })
      if (mark) endMarked(files, mark)
      process.kill(target, 'SIGKILL')
    }, 500)`
  new workerThreads.Worker(watch, {
    eval: true,
    workerData: { parent: process.ppid, target, ownFolder, mark },
  }).unref()
}

main.startKernel({ configPath, enableFindLocal: false, jsKernel: false, globalVersion: '' })
failOnStrays()
