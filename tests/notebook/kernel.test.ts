import { spawn, spawnSync } from 'node:child_process'
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmdirSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { Dealer } from 'zeromq'
import { textOf } from '../../src/notebook/format.js'
import { type Execution, Kernel } from '../../src/notebook/kernel.js'
import { decode, encode, request } from '../../src/notebook/wire.js'
import { needBuild, repository, workFolder } from './sample.js'

beforeAll(needBuild)
const folder = workFolder()
afterAll(folder.remove)

const printed = (execution: Execution): string =>
  execution
    .outputs()
    .map((output) => (output.output_type === 'stream' ? textOf(output.text) : ''))
    .join('')

function alive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    // A zombie whose new parent has not collected it yet is as good as gone.
    return !/^State:\s+Z/m.test(readFileSync(`/proc/${pid}/status`, 'utf8'))
  } catch {
    return false
  }
}

async function goneWithin(pid: number, ms: number): Promise<boolean> {
  for (const end = Date.now() + ms; Date.now() < end; await sleep(50)) if (!alive(pid)) return true
  return !alive(pid)
}

describe('a kernel', () => {
  let kernel: Kernel
  beforeAll(async () => {
    process.env.TZ = 'Asia/Tokyo'
    process.env.LC_ALL = 'de_DE.UTF-8'
    kernel = await Kernel.start({ workingDir: folder.path })
  })
  afterAll(() => kernel.shutdown())

  it('keeps every line of a burst, far more than tslab alone can send', async () => {
    const many = await kernel.execute('for (let i = 0; i < 30_000; i++) console.log(i)', 30_000)
    const lines = printed(many).trimEnd().split('\n')
    expect(lines).toHaveLength(30_000)
    expect(lines.at(-1)).toBe('29999')
    expect(many.outputs()).toHaveLength(1)
  })

  it('is interrupted by signal and goes on with what it knew', async () => {
    await kernel.execute('let kept = 5', 5_000)
    const stuck = kernel.execute('while (true) {}', 20_000)
    await sleep(300)
    kernel.interrupt()
    expect(await stuck).toMatchObject({
      status: 'error',
      error: { evalue: expect.stringContaining('interrupted') },
    })
    expect(printed(await kernel.execute('console.log(kept)', 5_000))).toBe('5\n')
  })

  it('runs the next cell right after a failed one', async () => {
    expect((await kernel.execute("throw new Error('a')", 5_000)).status).toBe('error')
    expect((await kernel.execute('kept', 5_000)).status).toBe('ok')
  })

  it('says what was thrown, its cause, and where in the cell as written', async () => {
    const error = async (code: string) => (await kernel.execute(code, 5_000)).error
    expect(await error("throw 'just text'")).toMatchObject({ ename: 'Thrown', evalue: 'just text' })
    expect((await error("throw new Error('a', { cause: new TypeError('b') })"))?.traceback.at(-1)).toBe(
      'Caused by TypeError: b',
    )
    // Column 47 counted by hand; the kernel compiles a longer line, with both names written out.
    expect(await error('const pair = { kept, other: { kept } }; const wrong: number = pair')).toMatchObject({
      ename: 'TypeScriptError',
      evalue: expect.stringMatching(/^1:47 - /),
    })
  })

  it('fails a cell for an error that nobody awaited or caught', async () => {
    const stray = await kernel.execute("void Promise.reject(new RangeError('forgotten'))", 5_000)
    expect(stray).toMatchObject({ status: 'error', error: { ename: 'RangeError', evalue: 'forgotten' } })
    await kernel.execute("setTimeout(() => { throw new RangeError('later') }, 20); undefined", 5_000)
    const later = await kernel.execute('await new Promise((r) => setTimeout(r, 100))', 5_000)
    expect(later).toMatchObject({ status: 'error', error: { evalue: 'later' } })
    expect((await kernel.execute('1', 5_000)).status).toBe('ok')
  })

  it('shows a chart that nobody awaited in its own cell', async () => {
    const chart =
      "{ data: { values: [{ a: 1 }] }, mark: 'bar', encoding: { x: { field: 'a', type: 'nominal' } } }"
    const shown = await kernel.execute(
      `import { showChart } from 'quaybook/notebook'\nvoid showChart(${chart}, 'A bar')`,
      10_000,
    )
    const next = await kernel.execute('await new Promise((r) => setTimeout(r, 1500))', 10_000)
    expect(shown.outputs()).toMatchObject([{ output_type: 'display_data', data: { 'text/plain': 'A bar' } }])
    expect(next.outputs()).toEqual([])
  })

  it('declares const and let again in a later cell, and imports only what the package exports', async () => {
    expect(printed(await kernel.execute('const kept = 6\nconsole.log(kept)', 5_000))).toBe('6\n')
    const wrong = await kernel.execute("import { nothingSuch } from 'quaybook/notebook'\nnothingSuch", 10_000)
    expect(wrong.error?.evalue).toMatch(/'"quaybook\/notebook"' has no exported member 'nothingSuch'/)
    const wrongType = await kernel.execute(
      "import { showTable } from 'quaybook/notebook'\nshowTable({ caption: 5, columns: [], rows: [] })",
      10_000,
    )
    expect(wrongType.error?.evalue).toMatch(/Type 'number' is not assignable to type 'string'/)
  })

  it('loads the package through require(), and prints warnings without what differs in every run', async () => {
    const loaded = await kernel.execute("const all = require('quaybook'); typeof all", 10_000)
    expect(loaded.outputs()).toEqual([{ output_type: 'stream', name: 'stdout', text: 'object\n' }])
    const warned = await kernel.execute(
      "process.emitWarning('wet paint'); process.emitWarning('new', 'ExperimentalWarning')\nawait new Promise<void>((done) => setImmediate(done))",
      5_000,
    )
    expect(warned.outputs()).toEqual([
      { output_type: 'stream', name: 'stderr', text: 'Warning: wet paint\n' },
    ])
  })

  it('knows neither the time zone nor the language of the machine', async () => {
    const shown = await kernel.execute(
      'console.log(new Date(0).getHours(), new Date(0).getTimezoneOffset(), (1234.5).toLocaleString())',
      5_000,
    )
    expect(printed(shown)).toBe('0 0 1,234.5\n')
  })

  it('changes a display that an earlier cell made', async () => {
    const made = await kernel.execute(
      "import { newDisplay } from 'tslab'\nconst d = newDisplay()\nd.text('old')",
      5_000,
    )
    await kernel.execute("d.text('new')", 5_000)
    expect(made.outputs()).toEqual([
      { output_type: 'display_data', data: { 'text/plain': 'new' }, metadata: {} },
    ])
  })

  it('keeps two million characters of what one cell prints, says so once, and goes on', async () => {
    const flood = await kernel.execute(
      "for (let i = 0; i < 100_000; i++) console.log('x'.repeat(499)); console.error('last')",
      60_000,
    )
    expect(flood.status).toBe('ok')
    const [kept, told, ...more] = flood.outputs()
    expect(kept).toEqual({
      output_type: 'stream',
      name: 'stdout',
      text: `${'x'.repeat(499)}\n`.repeat(4_000),
    })
    expect(told).toMatchObject({
      name: 'stderr',
      text: expect.stringMatching(/2 million.*writeFileSync\.\n$/),
    })
    expect(more).toEqual([])
    expect(printed(await kernel.execute("console.log('next')", 5_000))).toBe('next\n')
  })

  it('keeps twenty million characters of what one cell shows, and a message of readable length', async () => {
    const shown = await kernel.execute(
      "import { display } from 'tslab'\nfor (let i = 0; i < 30; i++) display.text('y'.repeat(1_000_000))",
      60_000,
    )
    const displays = shown.outputs().filter((output) => output.output_type === 'display_data')
    expect(displays).toHaveLength(20)
    expect(printed(shown)).toMatch(/^This and what this cell shows from here on is not kept: [^\n]*\n$/)
    const thrown = await kernel.execute("throw new Error('z'.repeat(5_000_000))", 20_000)
    expect(thrown.error?.evalue).toMatch(/^z{10000} \.\.\. \(4990000 more characters\)$/)
    expect(JSON.stringify(thrown.outputs()).length).toBeLessThan(100_000)
  })

  it('says what the compiler does not accept in code that is not run, and runs none of it', async () => {
    await kernel.execute('const crates: number = 3', 20_000)
    expect(await kernel.check("const label: string = crates\nconsole.log('run', label)")).toEqual([
      { line: 1, column: 7, text: "Type 'number' is not assignable to type 'string'." },
    ])
    expect(await kernel.check('const twice = crates * 2; const both = { crates, twice }; both')).toEqual([])
    expect((await kernel.check('cratez + 1')).map(({ text }) => text)).toEqual([
      expect.stringMatching(/^Cannot find name 'cratez'/),
    ])
    expect((await kernel.check('const half = (')).length).toBeGreaterThan(0)
    // Nothing of it is known to the next cell, which runs as if nobody had asked.
    const after = await kernel.execute('console.log(crates, typeof twice)', 20_000)
    expect(after.error?.evalue ?? printed(after)).toMatch(/Cannot find name 'twice'/)
    expect(printed(await kernel.execute('console.log(crates)', 20_000))).toBe('3\n')
  })

  it('takes what its cells started with it when it is shut down, detached or not', async () => {
    const started = await kernel.execute(
      `import { spawn, spawnSync } from 'child_process'
       console.log(spawn('sleep', ['60'], { stdio: 'ignore' }).pid)
       console.log(spawn('sleep', ['60'], { stdio: 'ignore', detached: true }).pid)
       console.log(spawnSync('sh', ['-c', 'setsid sleep 60 >/dev/null 2>&1 & echo $!']).stdout.toString().trim())`,
      5_000,
    )
    const [child = 0, detached = 0, left = 0] = printed(started).trim().split('\n').map(Number)
    await sleep(200) // setsid becomes the leader of its own session
    expect([child, detached, left].map(alive)).toEqual([true, true, true])
    const asked = Date.now()
    await kernel.shutdown()
    // Without waiting for the child, which would take the two seconds after which the kernel is killed.
    expect(Date.now() - asked).toBeLessThan(1_800)
    expect(await goneWithin(child, 2_000)).toBe(true)
    expect(await goneWithin(detached, 2_000)).toBe(true)
    // Only Linux tells which processes have left the kernel's group.
    if (process.platform === 'linux') expect(await goneWithin(left, 2_000)).toBe(true)
    expect(kernel.pid && alive(kernel.pid)).toBe(false)
  })
})

interface Connection {
  readonly transport: string
  readonly ip: string
  readonly shell_port: number
  readonly key: string
}

/** A kernel in a temporary folder of that name, and the connection that it reads from its own folder. */
async function startIn(temporary: string): Promise<{ kernel: Kernel; connection: Connection; mode: number }> {
  mkdirSync(temporary, { recursive: true })
  process.env.TMPDIR = temporary
  try {
    const kernel = await Kernel.start({ workingDir: folder.path })
    const [name = ''] = readdirSync(temporary)
    const file = join(temporary, name, 'connection.json')
    const connection = JSON.parse(readFileSync(file, 'utf8'))
    return { kernel, connection, mode: statSync(file).mode & 0o777 }
  } finally {
    delete process.env.TMPDIR
  }
}

describe('a stranger', () => {
  // So long a path that the kernel is spoken to over TCP and not over files that only their owner may open.
  const start = () => startIn(join(folder.path, 'port-'.repeat(20)))

  it('without the key is not heard, and spoils no cell of whoever has it', async () => {
    const { kernel, connection, mode } = await start()
    expect(connection).toMatchObject({ transport: 'tcp', ip: '127.0.0.1' })
    expect(mode).toBe(0o600)
    const shell = new Dealer({ linger: 0, receiveTimeout: 1_000 })
    try {
      shell.connect(`tcp://127.0.0.1:${connection.shell_port}`)
      const file = join(folder.path, 'written-by-a-stranger')
      const code = `require('node:fs').writeFileSync(${JSON.stringify(file)}, '')`
      const order = request('stranger', 'execute_request', { code, silent: false })
      await shell.send(encode('a wrong key', order))
      await shell.send(encode('', order))
      await shell.send(encode(connection.key, order).slice(1)) // no delimiter
      await shell.send(['<IDS|MSG>', 'a', 'b'])
      await expect(shell.receive(), 'no answer within a second').rejects.toThrow()
      expect(existsSync(file)).toBe(false)
      const cell = await kernel.execute(
        'await new Promise((r) => setTimeout(r, 100)); console.log(1)',
        30_000,
      )
      expect(cell.status).toBe('ok')
      expect(printed(cell)).toBe('1\n')
      // The same order signed with the key is carried out: what kept it back was the key.
      shell.receiveTimeout = 20_000
      await shell.send(encode(connection.key, order))
      expect(decode(connection.key, await shell.receive()).content.status).toBe('ok')
      expect(existsSync(file)).toBe(true)
    } finally {
      shell.close()
      await kernel.shutdown()
    }
  })

  it('on another machine finds no kernel: only addresses of this machine are listened on', () => {
    const file = join(folder.path, 'connection.json')
    const ports = { shell_port: 0, iopub_port: 0, stdin_port: 0, control_port: 0, hb_port: 0 }
    writeFileSync(file, JSON.stringify({ transport: 'tcp', ip: '0.0.0.0', key: 'k', ...ports }))
    const launcher = join(repository, 'dist/notebook/kernel-main.cjs')
    const started = spawnSync(process.execPath, [launcher, '--config-path', file], {
      encoding: 'utf8',
      timeout: 30_000,
    })
    expect(started.stderr).toMatch(/could not start: .*found the address "0\.0\.0\.0".*expected 127\.0\.0\.1/)
    expect(started.status).toBe(1)
  })
})

it('a kernel is as new again unless a cell has changed what outlives its names', async () => {
  const kernel = await Kernel.start({ workingDir: folder.path })
  const run = (code: string) => kernel.execute(code, 60_000)
  try {
    await run('const kept = 1')
    expect(await kernel.renew()).toBe(true)
    const { executionCount, error } = await run('kept')
    expect(executionCount).toBe(1)
    expect(error?.evalue).toContain("Cannot find name 'kept'")
    for (const [change, undo] of [
      ['(globalThis as any).kept = 1', 'delete (globalThis as any).kept'],
      ["process.env.KEPT = '1'", 'delete process.env.KEPT'],
      ['(Array.prototype as any).kept = 1', 'delete (Array.prototype as any).kept'],
      [
        '(globalThis as any).max = Math.max; Math.max = () => 1',
        'Math.max = (globalThis as any).max; delete (globalThis as any).max',
      ],
      ["process.chdir('..')", `process.chdir(${JSON.stringify(folder.path)})`],
      ["process.on('beforeExit', () => {})", "process.removeAllListeners('beforeExit')"],
      ['const number = +setInterval(() => {}, 1e6)', 'for (let i = 1; i < 1e4; i += 1) clearInterval(i)'],
    ] as const) {
      expect((await run(change)).error).toBeUndefined()
      expect(await kernel.renew(), change).toBe(false)
      expect((await run(undo)).error).toBeUndefined()
      expect(await kernel.renew(), undo).toBe(true)
    }
    await run("import { EventEmitter } from 'node:events'\nnew EventEmitter()")
    expect(await kernel.renew()).toBe(false)
  } finally {
    await kernel.shutdown()
  }
})

it('a kernel that does not start in time is reported and removed', async () => {
  process.env.TMPDIR = mkdtempSync(join(tmpdir(), 'start-'))
  await expect(Kernel.start({ workingDir: folder.path, startTimeoutMs: 50 })).rejects.toThrow(
    /notebook kernel did not answer within 50 ms/,
  )
  await expect(Kernel.start({ workingDir: join(folder.path, 'missing') })).rejects.toThrow(
    /could not be started/,
  )
  expect(readdirSync(tmpdir())).toEqual([])
  rmdirSync(tmpdir())
  delete process.env.TMPDIR
})

it('no kernel, not even a busy one, nothing its cells started and no folder outlives a killed runner', async () => {
  // Too long a path for sockets in files, so that this kernel is spoken to over TCP.
  const temporary = join(folder.path, 'long-'.repeat(20))
  mkdirSync(temporary)
  const runner = join(folder.path, 'runner.mjs')
  writeFileSync(
    runner,
    `import { Kernel } from '${join(repository, 'dist/notebook/index.js')}'
     const kernel = await Kernel.start({ workingDir: '.' })
     const started = await kernel.execute(
       "import { spawnSync } from 'child_process'; console.log(spawnSync('sh', ['-c', 'setsid sleep 60 >/dev/null 2>&1 & echo $!']).stdout.toString().trim())",
       20_000)
     void kernel.execute('while (true) {}', 60_000)
     setTimeout(() => console.log(kernel.pid, started.outputs()[0].text), 300)`,
  )
  const child = spawn(process.execPath, [runner], {
    env: { ...process.env, TMPDIR: temporary },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const said = await new Promise<string>((resolve) =>
    child.stdout.once('data', (text) => resolve(String(text))),
  )
  const [pid = 0, left = 0] = said.trim().split(/\s+/).map(Number)
  expect([pid, left].map(alive)).toEqual([true, true])
  child.kill('SIGKILL')
  expect(await goneWithin(pid, 5_000)).toBe(true)
  // Only Linux tells which processes have left the kernel's group.
  if (process.platform === 'linux') expect(await goneWithin(left, 5_000)).toBe(true)
  expect(
    existsSync(temporary) && readdirSync(temporary).filter((name) => name.startsWith('quaybook-')),
  ).toEqual([])
})
