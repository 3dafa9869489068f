// The command as a person types it, built, with its threads and files.
import { execFile, spawn, spawnSync } from 'node:child_process'
import { cpSync, existsSync } from 'node:fs'
import { mkdir, mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { promisify } from 'node:util'
import { tableFromIPC } from '@uwdata/flechette'
import { asyncBufferFromFile, parquetMetadataAsync, parquetReadObjects } from 'hyparquet'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { packageRoot } from '../../src/plan/open.js'
import { splitRows } from '../../src/tables/split.js'

const bin = join(packageRoot, 'dist', 'cli', 'bin.js')
const run = promisify(execFile)
let folder: string

/** What the command said, and how it ended. */
async function quaybook(...words: string[]): Promise<{ code: number; out: string; err: string }> {
  try {
    const { stdout, stderr } = await run(process.execPath, [bin, ...words], { cwd: folder })
    return { code: 0, out: stdout, err: stderr }
  } catch (error) {
    const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string }
    return { code, out: stdout, err: stderr }
  }
}
const study = (name: string, ...rows: string[]): Promise<void> =>
  writeFile(join(folder, name), ['vary,values', 'household,home', ...rows].join('\n'))
const text = (name: string): Promise<string> => readFile(join(folder, name), 'utf8')

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'study-'))
  cpSync(join(packageRoot, 'data', 'households', 'student-tromso-wellington'), join(folder, 'home'), {
    recursive: true,
  })
  await study('small.csv', 'origin_country,NO|DE|FR', 'volume_factor,0.8..1.2:3', 'cover,advised|none')
  for (const form of ['csv', 'parquet', 'arrow'])
    expect((await quaybook('study', 'small.csv', '--out', `r.${form}`)).code).toBe(0)
}, 180_000)
afterAll(() => rm(folder, { recursive: true, force: true }))

describe('quaybook study', () => {
  it('writes the same table as CSV, Parquet and Arrow, with units, and nothing where nothing is known', async () => {
    const [head = [], ...rows] = splitRows(await text('r.csv'), ',', 1).rows.map(({ cells }) => cells)
    expect(rows.length).toBe(3 * 3 * 2 * 3)
    const numbers = new Set(
      'point volume_factor total origin_total origin_movers_hour own_hours days volume_m3'.split(' '),
    )
    const expected = rows.map((row) =>
      Object.fromEntries(
        head.map((name, k) => {
          const cell = row[k] ?? ''
          return [name, numbers.has(name) ? (cell === '' ? null : Number(cell)) : cell]
        }),
      ),
    )
    const file = await asyncBufferFromFile(join(folder, 'r.parquet'))
    expect(await parquetReadObjects({ file })).toEqual(expected)
    const about = (await parquetMetadataAsync(file)).key_value_metadata ?? []
    expect(about).toContainEqual({ key: 'unit.own_hours', value: 'h' })
    expect(about).toContainEqual({ key: 'unit.volume_m3', value: 'm3' })
    const arrow = tableFromIPC(await readFile(join(folder, 'r.arrow')))
    expect(arrow.toArray()).toEqual(expected)
    const unit = (name: string) => arrow.schema.fields.find((f) => f.name === name)?.metadata?.get('unit')
    expect([unit('days'), unit('volume_m3'), unit('customs')]).toEqual(['d', 'm3', undefined])
  }, 180_000)

  it('comes to the same rows from code, and says why a country is left out', async () => {
    const built = pathToFileURL(join(packageRoot, 'dist', 'study', 'index.js')).href
    const code = (await import(built)) as typeof import('../../src/study/index.js')
    const home = join(folder, 'home')
    const csv = (await text('small.csv')).replace('household,home', `household,${home}`)
    const file = await asyncBufferFromFile(join(folder, 'r.parquet'))
    const rows = (await parquetReadObjects({ file })).map((row) => ({ ...row, household: home }))
    expect(await code.studyRows(csv)).toEqual(rows)
    const { countries, leftOut } = await code.plannableOrigins(home, ['NO', 'CL', 'DE'])
    expect(countries).toEqual(['NO', 'DE'])
    expect(leftOut).toEqual([{ country: 'CL', why: 'Add a row CLP,NOK,… with the rate and its date.' }])
  }, 120_000)

  it('says by what it was judged that the goods fit', async () => {
    await quaybook('study', 'small.csv', '--out', 'volume.csv', '--by-volume')
    const column = async (name: string, of: string) => {
      const [head = [], ...rows] = splitRows(await text(name), ',', 1).rows.map(({ cells }) => cells)
      return rows.map((row) => row[head.indexOf(of)])
    }
    const containers = await column('volume.csv', 'container_taken')
    expect(await column('volume.csv', 'fit')).toEqual(
      containers.map((taken) => (taken === 'groupage' ? '' : 'by volume')),
    )
    const packed = await column('r.csv', 'fit')
    const taken = await column('r.csv', 'container_taken')
    expect(packed.every((fit, k) => (fit === '') === (taken[k] === 'groupage'))).toBe(true)
  }, 180_000)

  it('refuses an input that no figure reads, with the line and the reason', async () => {
    await study('idle.csv', 'packed.45G1.m3,10|20')
    const idle = await quaybook('study', 'idle.csv', '--out', 'idle-out.csv', '--by-volume')
    expect(idle.code).toBe(2)
    expect(idle.err).toContain('idle.csv:3: packed.45G1.m3: found "10"')
    expect(idle.err).toContain('the goods have not been packed into that container')
    expect(existsSync(join(folder, 'idle-out.csv'))).toBe(false)
  }, 60_000)

  it('goes on after a kill where it was, and comes to the same table', async () => {
    await study('long.csv', 'delay.days,0..30:300', 'cost.destination.wage,20..60:300')
    const words = ['study', 'long.csv', '--by-volume', '--out']
    const child = spawn(process.execPath, [bin, ...words, 'long.out.csv'], { cwd: folder, stdio: 'ignore' })
    const gone = new Promise((resolve) => child.once('exit', resolve))
    const state = join(folder, 'long.out.csv.unfinished.json')
    const kept = async (): Promise<number> => {
      try {
        return JSON.parse(await readFile(state, 'utf8')).pieces
      } catch {
        return 0
      }
    }
    while ((await kept()) === 0 && child.exitCode === null) await new Promise((r) => setTimeout(r, 20))
    child.kill('SIGKILL')
    await gone
    expect(existsSync(join(folder, 'long.out.csv'))).toBe(false)
    const again = await quaybook(...words, 'long.out.csv')
    expect(again.err).toMatch(/^[1-9]\d* of \d+ stretches were done before and are kept\./)
    await quaybook(...words, 'whole.csv')
    expect(await text('long.out.csv')).toBe(await text('whole.csv'))
    const parts: string[] = []
    for (const part of ['1/3', '2/3', '3/3']) {
      await quaybook(...words, 'part.csv', '--part', part)
      parts.push(await text('part.csv'))
    }
    expect(parts.join('')).toBe(await text('whole.csv'))
    expect((await readdir(folder)).filter((name) => name.includes('unfinished'))).toEqual([])
  }, 300_000)
})

describe('quaybook ask', () => {
  it('answers in SQL what the rows of the table come to', async () => {
    const [head = [], ...rows] = splitRows(await text('r.csv'), ',', 1).rows.map(({ cells }) => cells)
    const dearest = new Map<string, number>()
    for (const row of rows) {
      const [country = '', total] = [row[head.indexOf('origin_country')], Number(row[head.indexOf('total')])]
      dearest.set(country, Math.max(dearest.get(country) ?? 0, total))
    }
    const question =
      'select origin_country, max(total) as most, count(*) as n from results group by 1 order by 1'
    const expected = [...dearest]
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([origin_country, most]) => ({ origin_country, most, n: rows.length / 3 }))
    for (const file of ['r.parquet', 'r.csv'])
      expect(JSON.parse((await quaybook('ask', file, question, '--json')).out)).toEqual(expected)
    const csv = (await quaybook('ask', 'r.parquet', question, '--csv')).out
    expect(csv.split('\n')[1]).toBe(`DE,${expected[0]?.most},${rows.length / 3}`)
    const big = await quaybook('ask', 'r.csv', 'select 9007199254740993 as n, 1 as one', '--json')
    expect(JSON.parse(big.out)).toEqual([{ n: '9007199254740993', one: 1 }])
  }, 180_000)

  it('reads that file alone and writes nothing', async () => {
    const before = (await stat(join(folder, 'r.parquet'))).mtimeMs
    for (const [question, says] of [
      ["copy results to 'x.csv'", ''],
      [`copy (select 1) to '${join(folder, 'r.parquet')}'`, 'a question begins with select or with'],
      [`select * from read_text('${join(folder, 'small.csv')}')`, 'Permission Error'],
      ["select * from read_parquet('http://localhost:9/x.parquet')", 'Permission Error'],
      ["attach 'other.db'", ''],
      ['install httpfs', 'a question begins with select or with'],
      ['set enable_external_access = true', ''],
      ['select 1; drop view results', 'ask one question at a time'],
      ['selec 1', 'syntax error at or near "selec"'],
    ] as const) {
      const { code, err } = await quaybook('ask', 'r.parquet', question)
      expect([question, code]).toEqual([question, 2])
      expect(err).toContain(says)
    }
    expect((await stat(join(folder, 'r.parquet'))).mtimeMs).toBe(before)
    expect((await readdir(folder)).filter((name) => ['x.csv', 'other.db'].includes(name))).toEqual([])
    expect((await quaybook('ask', 'nowhere.parquet', 'select 1')).err).toContain('no such file')
  }, 120_000)

  it('runs as the Kubernetes recipe types it: each index its part, all parts together the whole', async () => {
    const manual = await readFile(join(packageRoot, 'docs', 'study.md'), 'utf8')
    const yaml = /```yaml\n([\s\S]*?)```/.exec(manual)?.[1] ?? ''
    const [, typed = ''] = /args:\n\s+- (.*)\n/.exec(yaml) ?? []
    expect(yaml).toMatch(/completionMode: Indexed/)
    // The parts are as many as the job has completions; here four, so that the test is short.
    expect(/completions: (\d+)/.exec(yaml)?.[1]).toBe(/\/(\d+)$/.exec(typed)?.[1])
    const command = typed
      .replace(/\/\d+$/, '/4')
      .replaceAll('/data/', `${folder}/`)
      .replace('study.csv', 'small.csv')
    await mkdir(join(folder, 'parts'))
    await writeFile(join(folder, 'quaybook'), `#!/bin/sh\nexec "${process.execPath}" "${bin}" "$@"\n`, {
      mode: 0o755,
    })
    for (let index = 0; index < 4; index++) {
      const env = {
        ...process.env,
        PATH: `${folder}:${process.env.PATH}`,
        JOB_COMPLETION_INDEX: String(index),
      }
      await run('sh', ['-c', command], { cwd: folder, env })
    }
    const names = (await readdir(join(folder, 'parts'))).filter((name) => name.endsWith('.csv')).sort()
    expect(names).toEqual(['001.csv', '002.csv', '003.csv', '004.csv'])
    const parts = await Promise.all(names.map((name) => text(join('parts', name))))
    expect(parts.join('')).toBe(await text('r.csv'))
  }, 120_000)

  const python = spawnSync('/usr/bin/python3', ['-c', 'import yaml'])
  if (python.status !== 0)
    console.warn('SKIPPED: no Python with yaml; whether the recipe is YAML is not proven here')
  it.runIf(python.status === 0)('has a recipe that is YAML, with the fields of an Indexed Job', async () => {
    const manual = await readFile(join(packageRoot, 'docs', 'study.md'), 'utf8')
    const yaml = /```yaml\n([\s\S]*?)```/.exec(manual)?.[1] ?? ''
    const read = spawnSync(
      '/usr/bin/python3',
      ['-c', 'import json,sys,yaml; print(json.dumps(yaml.safe_load(sys.stdin)))'],
      {
        encoding: 'utf8',
        input: yaml,
      },
    )
    // Fields of batch/v1 Job: the Kubernetes documentation on indexed jobs (from memory).
    const { apiVersion, kind, spec } = JSON.parse(read.stdout)
    expect([apiVersion, kind, spec.completionMode]).toEqual(['batch/v1', 'Job', 'Indexed'])
    const [container] = spec.template.spec.containers
    expect(container.command).toEqual(['sh', '-c'])
    expect(container.args).toHaveLength(1)
    expect(container.volumeMounts[0].name).toBe(spec.template.spec.volumes[0].name)
  })
})
