import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, it, test } from 'vitest'
import { pageAssets } from '../../src/load/write.js'
import { packageRoot } from '../../src/plan/open.js'
import { run } from '../command.js'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'quaybook-load-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

it('writes the page, the data and the list, and nothing half-written beside them', async () => {
  const { code, out, err } = await run('load', 'student-tromso-wellington', '--seconds', '1', '--out', folder)
  expect(code).toBe(0)
  expect(readdirSync(folder).sort()).toEqual([
    'load.html',
    'load.json',
    'loaded.csv',
    'loading-book.html',
    'loading-list.csv',
  ])
  expect(out).toContain('load.html')
  expect(err).toContain('Everything goes into one 20 foot standard container.')
  const html = readFileSync(join(folder, 'load.html'), 'utf8')
  expect(html).not.toMatch(/(?:src|href)="(?:https?:)?\/\//)
})

it('prints JSON when asked to, and writes nothing', async () => {
  const { out } = await run(
    'load',
    'student-tromso-wellington',
    '--seconds',
    '1',
    '--container',
    '42G1',
    '--json',
    '--out',
    folder,
  )
  expect(JSON.parse(out).containers[0].container).toBe('42G1')
  expect(readdirSync(folder)).toEqual([])
})

test.each([
  [['--container', '40HC'], 'there are: 22G1, 42G1, 45G1, L5G1'],
  [['--seconds', 'ten'], 'write a number above 0'],
  [['--seed', '1.5'], 'write a whole number'],
  [['--seconds', '1', '--find', 'Z-99'], 'no piece or carton has that mark'],
  [['--scenario', 'None such'], 'no scenario "None such"'],
])('refuses %j and says what to type', async (words, says) => {
  const { code, err } = await run('load', 'student-tromso-wellington', ...words)
  expect(code).toBe(2)
  expect(err).toContain(says)
})

it('has the 3D view in the page once the package is built, with nothing that a strict policy forbids', () => {
  if (!existsSync(join(packageRoot, 'dist', '.built'))) return
  const { script } = pageAssets()
  expect(script).toBeDefined()
  expect(script).not.toMatch(/\beval\(|new Function\(/)
})
