import { spawn } from 'node:child_process'
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmdirSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { textOf } from '../../src/notebook/format.js'
import { type Execution, Kernel } from '../../src/notebook/kernel.js'
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

  it('takes what its cells started with it when it is shut down', async () => {
    const started = await kernel.execute(
      "import { spawn } from 'child_process'\nconsole.log(spawn('sleep', ['60'], { stdio: 'ignore' }).pid)",
      5_000,
    )
    const child = Number(printed(started))
    expect(alive(child)).toBe(true)
    const asked = Date.now()
    await kernel.shutdown()
    // Without waiting for the child, which would take the two seconds after which the kernel is killed.
    expect(Date.now() - asked).toBeLessThan(1_800)
    expect(await goneWithin(child, 2_000)).toBe(true)
    expect(kernel.pid && alive(kernel.pid)).toBe(false)
  })
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

it('no kernel, not even a busy one, and no folder outlives a killed runner', async () => {
  // Too long a path for sockets in files, so that this kernel is spoken to over TCP.
  const temporary = join(folder.path, 'long-'.repeat(20))
  mkdirSync(temporary)
  const runner = join(folder.path, 'runner.mjs')
  writeFileSync(
    runner,
    `import { Kernel } from '${join(repository, 'dist/notebook/index.js')}'
     const kernel = await Kernel.start({ workingDir: '.' })
     void kernel.execute('while (true) {}', 60_000)
     setTimeout(() => console.log(kernel.pid), 300)`,
  )
  const child = spawn(process.execPath, [runner], {
    env: { ...process.env, TMPDIR: temporary },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const pid = Number(
    await new Promise<string>((resolve) => child.stdout.once('data', (text) => resolve(String(text)))),
  )
  expect(alive(pid)).toBe(true)
  child.kill('SIGKILL')
  expect(await goneWithin(pid, 5_000)).toBe(true)
  expect(
    existsSync(temporary) && readdirSync(temporary).filter((name) => name.startsWith('quaybook-')),
  ).toEqual([])
})
