// Somebody who keeps reference tables of their own is told which row is missing, and in which line of which file.
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, it, test } from 'vitest'
import { main } from '../../src/cli/main.js'
import { packageRoot } from '../../src/plan/open.js'

let tables: string
beforeEach(() => {
  tables = join(mkdtempSync(join(tmpdir(), 'quaybook-tables-')), 'reference')
  cpSync(join(packageRoot, 'data/reference'), tables, { recursive: true })
})
afterEach(() => rmSync(join(tables, '..'), { recursive: true, force: true }))

async function run(command: string, household: string, ...more: string[]) {
  const lines: string[] = []
  const io = { out: (text: string) => lines.push(text), err: (text: string) => lines.push(text) }
  const code = await main([command, household, '--reference', tables, ...more], io)
  return { code, text: lines.join('\n') }
}

/** Takes the rows away whose first cell is `row`; returns the number of lines that are left. */
function takeAway(file: string, row: string): number {
  const path = join(tables, file)
  const all = readFileSync(path, 'utf8').trimEnd().split('\n')
  const kept = all.filter((line) => !line.startsWith(`${row},`))
  expect(kept.length, `${file} has a row ${row}`).toBeLessThan(all.length)
  writeFileSync(path, `${kept.join('\n')}\n`)
  return kept.length
}

const STUDENT = 'student-tromso-wellington'

test.each([
  ['figures.csv', 'groupage.gross-factor'],
  ['figures.csv', 'door.free-hours'],
  ['figures.csv', 'time.crossing-days'],
])('%s without its row %s: file, line after the last row, the row', async (file, row) => {
  const lines = takeAway(file, row)
  const { code, text } = await run('check', STUDENT)
  expect(text).toContain(`reference/${file}:${lines + 1}: id: found "no row ${row}"`)
  expect(text).toContain('Put it back')
  expect(text).toMatch(/^1 wrong, /m)
  expect(code).toBe(2)
})

it('a container that a scenario books is missing from containers.csv: the line of the scenario', async () => {
  takeAway('containers.csv', '22G1')
  const { code, text } = await run('check', STUDENT)
  expect(text).toMatch(
    /^scenarios\.csv:2: transport: found "22G1", expected one of cheapest, 42G1, 45G1, L5G1,/m,
  )
  expect(code).toBe(2)
})

test.each([
  ['containers.csv', '22G1', 'transport'],
  ['covers.csv', 'total-loss', 'cover'],
])('%s without the row %s that household.csv takes: its line there', async (file, row, fact) => {
  takeAway(file, row)
  const household = join(tables, '..', 'home')
  cpSync(join(packageRoot, 'data/households', STUDENT), household, { recursive: true })
  const path = join(household, 'household.csv')
  const text = readFileSync(path, 'utf8').replace(new RegExp(`^${fact},[^,]*`, 'm'), `${fact},${row}`)
  writeFileSync(path, text)
  const line = text.split('\n').findIndex((one) => one.startsWith(`${fact},`)) + 1
  const found = await run('check', household)
  expect(found.text).toMatch(
    new RegExp(`^household\\.csv:${line}: ${fact}: found "${row}", expected one of `, 'm'),
  )
  expect(found.text).toContain(`put the row ${row} of ${file} back`)
  expect(found.code).toBe(2)
})

it('a row that this household needs not is not missed', async () => {
  takeAway('containers.csv', 'L5G1')
  expect(await run('check', STUDENT)).toMatchObject({ code: 0 })
})

it('a doubled row is told with both lines', async () => {
  const path = join(tables, 'containers.csv')
  const all = readFileSync(path, 'utf8').trimEnd().split('\n')
  writeFileSync(path, `${[...all, all[1]].join('\n')}\n`)
  const { code, text } = await run('check', STUDENT)
  expect(text).toMatch(
    new RegExp(`^reference/containers\\.csv:${all.length + 1}: id: found "22G1".*line 2 already`, 'm'),
  )
  expect(code).toBe(2)
})
