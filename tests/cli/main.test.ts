import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest'
import { splitRows } from '../../src/tables/split.js'
import { run } from '../command.js'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'quaybook-cli-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

describe('quaybook', () => {
  it('lists its commands, and for each its options', async () => {
    const { out, code } = await run()
    expect(code).toBe(0)
    const names = [...out.matchAll(/^ {2}([a-z]+)/gm)].map(([, name]) => name ?? '')
    for (const name of ['start', 'brief', 'check', 'compare', 'explain', 'notebooks', 'new', 'workbook']) {
      expect(names).toContain(name)
    }
    for (const name of names) expect((await run(name, '--help')).out).toContain(`quaybook ${name}`)
  })

  test.each([
    [['brif'], 'Did you mean brief?'],
    [['compare', '--jsn'], 'Did you mean json?'],
    [['compare', '--set'], '--set id=value'],
    [['compare', '--set', 'wage'], 'write --set id=value'],
    [['compare', '--set', 'cost.orign.wage=3'], 'Nearest: cost.origin.wage'],
    [['compare', '--cells', 'cost.totl'], 'nearest: cost.total'],
    [['explain', 'cost.orign.packing'], 'nearest: cost.origin.packing'],
    [['explain'], 'which figure?'],
    [['explain', 'cost.total', '--scenario', 'No such'], 'there are:'],
    [['check', '/no/such/folder'], 'a folder with CSV files'],
    [['notebooks', '--only', '77'], 'there are: 01'],
  ])('%s is refused with what to type instead', async (words, says) => {
    const { code, err } = await run(...words)
    expect(code).toBe(2)
    expect(err).toContain(says)
    expect(err).not.toMatch(/\n\s+at /)
  })

  it('refuses more scenarios than a page has room for before it plans any, and says what takes them all', async () => {
    const home = join(folder, 'many')
    cpSync('data/households/student-tromso-wellington', home, { recursive: true })
    const days = (count: number) =>
      writeFileSync(
        join(home, 'scenarios.csv'),
        [
          ['id', ...Array.from({ length: count }, (_, k) => `Plan ${k}`)],
          ['delay.days', ...Array.from({ length: count }, (_, k) => k % 30)],
        ]
          .map((cells) => `${cells.join(',')}\n`)
          .join(''),
      )
    days(31)
    for (const command of ['brief', 'start']) {
      const { code, err } = await run(command, home, '--out', join(folder, 'out'))
      expect([command, code]).toEqual([command, 2])
      expect(err).toContain('31 scenarios; this shows at most 30 side by side.')
      expect(err).toContain('compare --csv, sweep or study')
    }
    days(301)
    for (const [command, file] of [
      ['explore', 'out'],
      ['workbook', 'out.xlsx'],
    ] as const) {
      const { code, err } = await run(command, home, '--out', join(folder, file))
      expect([command, code]).toEqual([command, 2])
      expect(err).toContain('at most 300')
    }
    expect(existsSync(join(folder, 'out'))).toBe(false)
  })

  it('makes a folder from templates that reads without a problem, and never writes over it', async () => {
    const home = join(folder, 'home')
    expect((await run('new', home)).code).toBe(0)
    expect((await run('check', home)).err).toBe('')
    writeFileSync(join(home, 'inventory.csv'), 'mine')
    const again = await run('new', home)
    expect(again.code).toBe(2)
    expect(readFileSync(join(home, 'inventory.csv'), 'utf8')).toBe('mine')
  })

  it('says every problem of every file together, exits with 2 and writes nothing', async () => {
    const home = join(folder, 'home')
    await run('new', home)
    const spoil = (name: string, from: string, to: string) => {
      const path = join(home, name)
      const text = readFileSync(path, 'utf8')
      expect(text).toContain(from)
      writeFileSync(path, text.replace(from, to))
    }
    spoil('household.csv', 'as_of,2026-11-25', 'as_of,25/13/2026')
    spoil('inventory.csv', ',ship,', ',shipp,')
    const out = join(folder, 'out')
    const { code, err } = await run('brief', home, '--out', out)
    expect(code).toBe(2)
    expect(err).toContain('household.csv')
    expect(err).toContain('Did you mean ship?')
    expect(err).toContain('2 problems; nothing was calculated or written.')
    expect(existsSync(out)).toBe(false)
  })

  it('compares as a table and as JSON, with changes', async () => {
    const plain = JSON.parse((await run('compare', '--json', '--cells', 'cost.total')).out)
    const dearer = JSON.parse(
      (await run('compare', '--json', '--cells', 'cost.total', '--set', 'cost.origin.wage=20000')).out,
    )
    const last = plain.scenarios.length - 1
    expect(Number(dearer.rows[0].values[last])).toBeGreaterThan(Number(plain.rows[0].values[last]))
    expect((await run('compare')).out).toContain('The whole move [EUR]')
  })

  it('compares as CSV with the figures of the JSON, in full, and days as dates', async () => {
    const words = ['compare', '--cells', 'cost.total,volume.packed,time.on.loading']
    const { rows, scenarios } = JSON.parse((await run(...words, '--json')).out)
    const [head, ...lines] = splitRows((await run(...words, '--csv')).out, ',', 1).rows.map(
      ({ cells }) => cells,
    )
    expect(head).toEqual(['id', 'label', 'unit', ...scenarios.map(({ name }: { name: string }) => name)])
    const values = (id: string) => lines.find(([cell]) => cell === id)?.slice(3)
    const json = (id: string) => rows.find((row: { id: string }) => row.id === id).values
    for (const id of ['cost.total', 'volume.packed']) expect(values(id)).toEqual(json(id).map(String))
    expect(values('transport')?.every((word) => word !== '')).toBe(true)
    expect(values('time.on.loading')?.every((day) => /^\d{4}-\d\d-\d\d$/.test(day))).toBe(true)
  })

  it('explains a figure down to its sources', async () => {
    const { out } = await run('explain', 'cost.crossing.freight', '--depth', '4')
    expect(out).toContain('price.freight.')
    expect(out).toContain('stated)')
    expect(out).toMatch(/= price\.freight\.\w+ × exchange\.USD × options\.\w+\.containers\n/)
  })

  it('explains a bill as a worksheet: each figure once, the branch that counts, lists of things by room', async () => {
    const { out } = await run('explain', 'cost.total')
    const lines = out.split('\n')
    expect(lines.length).toBeLessThan(500)
    expect(out).not.toMatch(/, 2, half-even\)|if\(| × 1[ )]/)
    expect(out).toContain('as above: ')
    expect(out).toMatch(/volume\.room\.kitchen\.packed = .*\(explain volume\.room\.kitchen\.packed\)/)
    const heads = lines.map((line) => /^ *([a-z][\w.-]*) = .* {2}\S/i.exec(line)?.[1]).filter((id) => id)
    expect(heads.length).toBe(new Set(heads).size)
  })

  it('writes the brief and every figure of it', async () => {
    const { code } = await run('brief', 'student-tromso-wellington', '--out', folder)
    expect(code).toBe(0)
    // PDFs come with them where a Chromium is found.
    expect(readdirSync(folder)).toEqual(expect.arrayContaining(['annexes.html', 'brief.html', 'brief.json']))
    const json = JSON.parse(readFileSync(join(folder, 'brief.json'), 'utf8'))
    expect(JSON.stringify(json)).toContain('"cost.total"')
  })
})
