import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest'
import { conditionList, readClaims } from '../../src/claim/index.js'
import { type Load, loadedForm, loadOf, loadPlan, readLoaded, stayedBehind } from '../../src/load/index.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { packageRoot } from '../../src/plan/open.js'
import { run } from '../command.js'
import { openDemo, plansOf } from '../plan/households.js'

let move: Move
let plan: Plan
let load: Load
let folder: string
beforeAll(async () => {
  move = await openDemo('student-tromso-wellington')
  plan = plansOf(move)[0] as Plan
  load = loadOf(move, plan)
  folder = mkdtempSync(join(tmpdir(), 'quaybook-loaded-'))
  cpSync(join(packageRoot, 'data/households/student-tromso-wellington'), folder, { recursive: true })
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const read = (rows: readonly string[]) =>
  readLoaded({ file: 'loading/loaded.csv', text: `mark,what,container,note\n${rows.join('\n')}\n` }, load)

it('is written as a form that reads back as it was planned, with nothing that stays', () => {
  const result = loadPlan(move, plan, { container: '22G1', work: 2000 })
  const back = readLoaded({ file: 'loading/loaded.csv', text: loadedForm(result) }, load)
  if (!back.ok) throw new Error(back.problems[0]?.expected)
  expect(back.value).toHaveLength(load.pieces.length)
  expect(stayedBehind(back.value, load).marks.size).toBe(0)
  expect(stayedBehind(back.value, load).loadedShare.size).toBe(0)
})

test.each([
  ['an unknown mark', ['C-999,,1,'], { line: 2, column: 'mark', found: 'C-999' }],
  ['no container', ['C-001,,,'], { line: 2, column: 'container', found: '' }],
  ['a container that is none', ['C-001,,later,'], { line: 2, column: 'container', found: 'later' }],
  ['a piece twice', ['C-001,,1,', 'C-001,,stays,'], { line: 3, column: 'mark', found: 'C-001' }],
])('refuses %s with file, line and column', (_, rows, expected) => {
  const back = read(rows)
  expect(back.ok ? [] : back.problems).toMatchObject([{ file: 'loading/loaded.csv', ...expected }])
})

describe('what stayed', () => {
  const stayed = (rows: readonly string[]) => {
    const back = read(rows)
    if (!back.ok) throw new Error(back.problems[0]?.expected)
    return stayedBehind(back.value, load)
  }

  it('counts single pieces by number and cartons by what is in them', () => {
    const several = load.pieces.find((p) => p.id.endsWith('/1') && p.contents === undefined)
    const line = several?.lines[0] ?? ''
    const count = load.pieces.filter((p) => p.lines[0] === line && p.contents === undefined).length
    if (several !== undefined) {
      expect(stayed([`${several.id},,stays,`]).loadedShare.get(line)).toBeCloseTo((count - 1) / count, 9)
    }
    const carton = load.cartons[0]
    const [content] = carton?.contents ?? []
    const share = stayed([`${carton?.number},,stays,`]).loadedShare.get(content?.line ?? '')
    expect(share).toBeCloseTo(1 - (content?.share ?? 0), 9)
  })

  it('leaves the lists and can no longer be claimed', async () => {
    const whole = load.pieces.find((p) => p.contents === undefined && p.id === p.lines[0])
    const carton = load.cartons[0]?.number ?? ''
    const left = stayed([`${whole?.id},,stays,`, `${carton},,stays,`])
    const list = conditionList(move, plan, left)
    expect(list.some((thing) => thing.line === whole?.id || thing.carton === carton)).toBe(false)
    expect(conditionList(move, plan).some((thing) => thing.line === whole?.id)).toBe(true)
    const head = 'line,carton,pieces,what,seen,found_on,noted,cause,repair,worth_left,currency,note'
    const line = load.cartons[0]?.contents[0]?.line ?? ''
    const claims = readClaims(
      {
        file: 'arrival/claims.csv',
        text: `${head}\n${whole?.id},,,lost,at the door,2027-04-25,yes,theft,,,,\n${line},${carton},0.01,lost,at the door,2027-04-25,yes,theft,,,,\n`,
      },
      plan,
      ['theft'],
      load.cartons.map((c) => c.number),
      left,
    )
    expect(claims.ok ? [] : claims.problems.map((p) => [p.line, p.column])).toEqual([
      [2, 'line'],
      [3, 'carton'],
    ])
  })

  it('is off the customs list, which says so; a wrong mark is refused', async () => {
    const whole = load.pieces.find((p) => p.contents === undefined && p.id === p.lines[0])
    mkdirSync(join(folder, 'loading'), { recursive: true })
    const customs = (rows: readonly string[]) => {
      writeFileSync(join(folder, 'loading/loaded.csv'), `mark,what,container,note\n${rows.join('\n')}\n`)
      return run('customs', folder, '--out', join(folder, 'out'))
    }
    const { code, out } = await customs([`${whole?.id},,stays,`])
    expect(code).toBe(0)
    expect(out).toContain('1 pieces or cartons stayed')
    const csv = readFileSync(join(folder, 'out/customs-list.csv'), 'utf8')
    expect(csv).not.toContain(whole?.label ?? '?')
    const refused = await customs(['Z-99,,stays,'])
    expect(refused.code).not.toBe(0)
    expect(refused.err).toContain('loading/loaded.csv:2: mark: found "Z-99"')
  })
})
