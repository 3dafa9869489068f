import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { exploreData } from '../../src/explore/index.js'
import { moveOf, plansOf } from '../brief/household.js'
import { run } from '../command.js'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'quaybook-explore-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

it('writes the page, with the inputs asked for and those set, and the command that makes it again', async () => {
  const words = [
    'explore',
    'student-tromso-wellington',
    '--inputs',
    'price.crating',
    '--set',
    'price.materials=30',
  ]
  const { code, out } = await run(...words, '--out', folder)
  expect(code).toBe(0)
  const file = join(folder, 'explore.html')
  expect(out).toBe(`${file}\n`)
  const page = await readFile(file, 'utf8')
  expect(page).toContain('data-input="price.crating"')
  expect(page).toContain('id="n-price.materials" min="9" max="46" step="any" value="30"')
  expect(page).not.toContain('data-input="price.export-clearance"')
  expect(page).toContain(
    'npm run -s quaybook -- explore student-tromso-wellington --inputs price.crating --set price.materials=30</textarea>',
  )
})

it('names the nearest where an input is not there, and writes nothing', async () => {
  const { code, err } = await run('explore', '--inputs', 'price.cratin', '--out', folder)
  expect(code).toBe(2)
  expect(err).toContain('unknown input "price.cratin"; nearest: price.crating')
})

it('shows a household without scenarios as one, with nothing to rank', async () => {
  const move = await moveOf('valparaiso-gdynia')
  const alone = { ...move, household: { ...move.household, scenarios: [] } }
  const { scenarios, recommended } = exploreData(alone, plansOf(alone))
  // The household's own cover cannot be borne, so the plan with the one that can stands beside it.
  expect(scenarios.map(({ name }) => name)[0]).toBe('As stated')
  expect(recommended).toBe(scenarios.length - 1)
})
