import { type ChildProcess, execFileSync, spawn } from 'node:child_process'
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from 'esbuild'
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { FolderBusy, oneRun } from '../../src/paper/one-run.js'
import { NotWritten, replaceFile, replaceFiles, together } from '../../src/paper/replace-file.js'

let folder: string
let bundle: string
beforeAll(async () => {
  bundle = join(mkdtempSync(join(tmpdir(), 'quaybook-bundle-')), 'paper.mjs')
  const contents = `export * from './one-run.js'; export * from './replace-file.js'`
  await build({
    stdin: { contents, resolveDir: join(import.meta.dirname, '../../src/paper') },
    bundle: true,
    platform: 'node',
    format: 'esm',
    outfile: bundle,
  })
  return () => rmSync(join(bundle, '..'), { recursive: true, force: true })
})
beforeEach(() => {
  folder = realpathSync(mkdtempSync(join(tmpdir(), 'quaybook-run-')))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const at = (name: string) => join(folder, name)
const text = (name: string) => readFileSync(at(name), 'utf8')

/** A run of its own that says `ready` where the script does, and then waits to be killed. */
function child(script: string): ChildProcess {
  const code = `import { oneRun, replaceFile, together } from ${JSON.stringify(bundle)}
    const folder = ${JSON.stringify(folder)}
    const ready = () => { console.log('ready'); return new Promise(() => setInterval(() => 0, 1000)) }
    ${script}`
  return spawn(process.execPath, ['--input-type=module', '-e', code], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
}
const untilReady = (run: ChildProcess) => new Promise((done) => run.stdout?.once('data', done))
async function kill(run: ChildProcess) {
  const gone = new Promise((done) => run.once('exit', done))
  run.kill('SIGKILL')
  await gone
}

describe('a file that is replaced', () => {
  it('has the new content, and nothing is left beside it', async () => {
    writeFileSync(at('brief.html'), 'old')
    await replaceFile(at('brief.html'), 'new')
    expect(text('brief.html')).toBe('new')
    expect(readdirSync(folder)).toEqual(['brief.html'])
  })

  it('stays a link where it was one', async () => {
    writeFileSync(at('kept.html'), 'old')
    symlinkSync(at('kept.html'), at('brief.html'))
    await replaceFile(at('brief.html'), 'new')
    expect(text('kept.html')).toBe('new')
  })

  it('is named in the message where it cannot be written, and the old one is whole', async () => {
    mkdirSync(at('brief.html'))
    const refused = replaceFile(at('brief.html'), 'new')
    await expect(refused).rejects.toThrow(NotWritten)
    await expect(refused).rejects.toThrow(/brief\.html: a folder of this name is there/)
    expect(readdirSync(folder)).toEqual(['brief.html'])
  })

  const canMount = process.platform === 'linux' && process.getuid?.() === 0
  it.skipIf(!canMount)('keeps the old content when the disk is full', async ({ skip }) => {
    try {
      execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=64k', 'tmpfs', folder], { stdio: 'ignore' })
    } catch {
      skip('no file system may be mounted here')
    }
    try {
      writeFileSync(at('brief.html'), 'old')
      await expect(replaceFile(at('brief.html'), 'x'.repeat(200_000))).rejects.toThrow(
        /cannot write .*brief\.html: the disk is full/,
      )
      expect(text('brief.html')).toBe('old')
      expect(readdirSync(folder)).toEqual(['brief.html'])
    } finally {
      execFileSync('umount', [folder])
    }
  })

  it('takes away what a dead run left unfinished, and nothing that is somebody’s', async () => {
    const dead = child('await ready()')
    await untilReady(dead)
    await kill(dead)
    writeFileSync(at(`brief.html.${dead.pid}-0123abcd.new`), 'half')
    writeFileSync(at(`brief.html.${process.ppid}-0123abcd.new`), 'being written')
    writeFileSync(at('my.new'), 'mine')
    await replaceFile(at('brief.html'), 'new')
    expect(readdirSync(folder).sort()).toEqual(
      ['brief.html', `brief.html.${process.ppid}-0123abcd.new`, 'my.new'].sort(),
    )
  })
})

describe('files of one run', () => {
  it('appear together, or not at all where one fails', async () => {
    for (const name of ['a', 'b']) writeFileSync(at(name), 'old')
    const files = [
      { path: at('a'), content: 'new' },
      { path: join(at('b'), 'under-a-file'), content: 'new' },
    ]
    await expect(replaceFiles(files)).rejects.toThrow(NotWritten)
    expect([text('a'), text('b')]).toEqual(['old', 'old'])
    await together(async () => {
      await replaceFile(at('a'), 'new')
      expect(text('a')).toBe('old')
      await replaceFile(at('b'), 'new')
    })
    expect([text('a'), text('b')]).toEqual(['new', 'new'])
    expect(readdirSync(folder)).toEqual(['a', 'b'])
  })

  it('keep their old content when the run is killed between two of them; the next run sweeps', async () => {
    for (const name of ['a', 'b']) writeFileSync(at(name), 'old')
    const run = child(`await oneRun(folder, '10:00', async () => {
      await replaceFile(folder + '/a', 'new'); await ready() })`)
    await untilReady(run)
    await kill(run)
    expect([text('a'), text('b')]).toEqual(['old', 'old'])
    const out = child(
      `await oneRun(folder, '10:01', () => replaceFile(folder + '/b', 'newer')); await ready()`,
    )
    await untilReady(out)
    await kill(out)
    expect([text('a'), text('b')]).toEqual(['old', 'newer'])
    expect(readdirSync(folder)).toEqual(['a', 'b'])
  })
})

describe('a folder', () => {
  it('is refused to a second run, which names the first', async () => {
    const run = child(`await oneRun(folder, '10:00', ready)`)
    await untilReady(run)
    const second = oneRun(folder, '10:01', async () => 'done')
    await expect(second).rejects.toThrow(FolderBusy)
    await expect(second).rejects.toThrow(new RegExp(`process ${run.pid}, since 10:00`))
    await kill(run)
    expect(await oneRun(folder, '10:02', async () => 'done')).toBe('done')
    expect(readdirSync(folder)).toEqual([])
  })

  it('that was made for a run which writes nothing goes again', async () => {
    await oneRun(join(folder, 'out', 'home'), '10:00', async () => undefined)
    expect(existsSync(join(folder, 'out'))).toBe(false)
    await oneRun(join(folder, 'out', 'home'), '10:00', () => replaceFile(join(folder, 'out/home/x'), 'x'))
    expect(readdirSync(join(folder, 'out', 'home'))).toEqual(['x'])
  })
})
