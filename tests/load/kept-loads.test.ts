import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { keptOf, loadContent, loadJson, loadPlan, toKeep } from '../../src/load/index.js'
import { keepLoad, openLoadPlan, readKeptLoads } from '../../src/load/kept-loads-file.js'
import { openHousehold, packageRoot } from '../../src/plan/open.js'
import { run } from '../command.js'

const folder = join(mkdtempSync(join(tmpdir(), 'quaybook-loads-')), 'home')
const file = join(folder, '.load-plans.json')
const work = 3_000
let opened: Awaited<ReturnType<typeof openHousehold>>
const first = () => {
  const [plan] = opened.plans
  if (!plan) throw new Error('no plan')
  return plan
}

beforeAll(async () => {
  cpSync(join(packageRoot, 'data/households/student-tromso-wellington'), folder, { recursive: true })
  rmSync(file, { force: true })
  opened = await openHousehold(folder)
})
afterAll(() => rmSync(join(folder, '..'), { recursive: true, force: true }))

test('a load plan is looked for once, and is the same from the folder', async () => {
  const { move } = opened
  const found = await openLoadPlan(folder, move, first(), { work })
  expect(loadJson(move, found)).toBe(loadJson(move, loadPlan(move, first(), { work })))
  const [kept] = await readKeptLoads(folder)
  expect(kept?.effort).toEqual({ work, seed: 1, searches: 1 })
  // Only what is kept can name a container that there is not.
  if (!kept) throw new Error('nothing is kept')
  const { hold } = kept.found.first
  const renamed = {
    ...kept.found,
    first: { ...kept.found.first, hold: { ...hold, label: 'from the folder' } },
  }
  await keepLoad(folder, { ...kept, found: renamed })
  expect((await openLoadPlan(folder, move, first(), { work })).first.hold.label).toBe('from the folder')
  expect(await readKeptLoads(folder)).toHaveLength(1)
})

test('other goods, another container, other rules and another effort are asked anew', async () => {
  const { move } = opened
  const content = loadContent(move, first())
  const dearer = await openHousehold(folder, ['cost.origin.wage=99'])
  // What stowing does not hang on changes nothing.
  expect(loadContent(dearer.move, dearer.plans[0] ?? first())).toBe(content)
  const fuller = await openHousehold(folder, ['volume.carton-fill=0.7'])
  const lighter = await openHousehold(folder, ['stowage.centre-of-gravity-offset=0.04'])
  const contents = [
    content,
    loadContent(move, first(), '42G1'),
    loadContent(fuller.move, fuller.plans[0] ?? first()),
    loadContent(lighter.move, lighter.plans[0] ?? first()),
  ]
  expect(new Set(contents).size).toBe(contents.length)
  const kept = [toKeep(content, { work, seed: 1, searches: 1 }, loadPlan(move, first(), { work }))]
  expect(keptOf(kept, content)).toBe(kept[0])
  for (const other of [{ work: work + 1 }, { seed: 2 }, { searches: 4 }])
    expect(keptOf(kept, content, { work, seed: 1, searches: 1, ...other })).toBeUndefined()
  expect(keptOf(kept, contents[1] ?? '')).toBeUndefined()
})

test('what is torn or was changed by hand counts as nothing', async () => {
  const { move } = opened
  await openLoadPlan(folder, move, first(), { work })
  const text = readFileSync(file, 'utf8')
  for (const broken of [text.slice(0, -40), text.replace(/"x":\d+/, '"x":1'), '{}', '']) {
    writeFileSync(file, broken)
    expect(await readKeptLoads(folder)).toEqual([])
  }
})

test('the latest twelve are kept', async () => {
  rmSync(file, { force: true })
  const result = loadPlan(opened.move, first(), { work })
  const content = loadContent(opened.move, first())
  for (let seed = 1; seed <= 14; seed++)
    await keepLoad(folder, toKeep(content, { work, seed, searches: 1 }, result))
  const kept = await readKeptLoads(folder)
  expect(kept.map(({ effort }) => effort.seed)).toEqual([3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14])
})

test('load keeps what it found, the same command gives it again, and the brief shows it', async () => {
  rmSync(file, { force: true })
  const out = join(folder, '../out')
  const args = ['load', folder, '--work', '3000', '--out', out]
  expect((await run(...args)).code).toBe(0)
  const [kept, ...others] = await readKeptLoads(folder)
  expect(others).toEqual([])
  expect(kept?.effort).toEqual({ work: 3000, seed: 1, searches: 4 })
  const before = readFileSync(join(out, 'load.json'), 'utf8')
  const again = await run(...args)
  expect(again.code).toBe(0)
  expect(readFileSync(join(out, 'load.json'), 'utf8')).toBe(before)
  // Nothing was searched: a search tells how far it is.
  expect(again.err).not.toContain('% of the inside')
  if (!kept) throw new Error('nothing is kept')
  const { hold } = kept.found.first
  await keepLoad(folder, {
    ...kept,
    found: { ...kept.found, first: { ...kept.found.first, hold: { ...hold, label: 'Kept Container' } } },
  })
  expect(
    (await run('brief', folder, '--recommend', first().name, '--load', '1', '--no-pdf', '--out', out)).code,
  ).toBe(0)
  expect(readFileSync(join(out, 'annexes.html'), 'utf8')).toContain('Kept Container')
})
