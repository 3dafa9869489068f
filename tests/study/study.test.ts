import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { Journal } from '../../src/cli/study-journal.js'
import { type PackedRooms, planPacked } from '../../src/load/packed-plans.js'
import { readReferences } from '../../src/plan/index.js'
import { packageRoot } from '../../src/plan/open.js'
import {
  type HouseholdFiles,
  headLine,
  piecesOf,
  pieceWriter,
  type ReadyStudy,
  readStudy,
  readyStudy,
} from '../../src/study/index.js'
import { readFolder } from '../../src/tables/disk.js'
import { problemText, type Read } from '../../src/tables/problem.js'
import { splitRows } from '../../src/tables/split.js'

const must = <T>(read: Read<T>): T => {
  if (read.ok) return read.value
  throw new Error(read.problems.map(problemText).join('\n'))
}
const name = 'student-tromso-wellington'
const rooms: PackedRooms = new Map()
let home: HouseholdFiles[]
let folder: string

beforeAll(async () => {
  const data = join(packageRoot, 'data')
  const tables = must(await readFolder(join(data, 'reference'), 'reference'))
  const customs = must(await readFolder(join(data, 'reference', 'customs'), 'reference/customs'))
  const files = must(await readFolder(join(data, 'households', name)))
  home = [{ name, files, reference: must(readReferences(tables, customs)), ofFolder: [] }]
  folder = await mkdtemp(join(tmpdir(), 'study-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

const text = (...rows: string[]): string => ['vary,values', `household,${name}`, ...rows].join('\n')
const ready = (csv: string): ReadyStudy => {
  const study = must(readStudy({ file: 'study.csv', text: csv }))
  return must(readyStudy(study, home))
}
const problems = (csv: string): string[] => {
  const study = readStudy({ file: 'study.csv', text: csv })
  if (!study.ok) return study.problems.map(problemText)
  const read = readyStudy(study.value, home)
  return read.ok ? [] : read.problems.map(problemText)
}
function table(study: ReadyStudy, index = 1, of = 1): string {
  const { pieces, from, until } = piecesOf(study, { index, of })
  const write = pieceWriter(study, { rooms: () => rooms })
  return (index === 1 ? headLine(study) : '') + pieces.map((piece) => write(piece, from, until)).join('')
}

describe('a study', () => {
  it('comes at every point to what the scenario planned by itself with these inputs comes to', () => {
    const study = ready(
      text(
        'origin_country,NO|DE',
        'cover,advised|total-loss',
        'volume_factor,lhs 0.5..1.6:6',
        'delay.days,lhs 0..40:6',
        'cost.destination.wage,lhs 10..90:6',
        'seed,7',
      ),
    )
    const [head, ...rows] = splitRows(table(study), ',', 1).rows.map(({ cells }) => cells)
    expect(rows.length).toBe(2 * 3 * 2 * 6)
    const cases = new Map(study.pieces.map(({ of }) => [of.origin, study.open(of)]))
    for (const row of rows.filter((_, k) => k % 5 === 0)) {
      const at = (column: string): string => row[head?.indexOf(column) ?? -1] ?? ''
      const move = cases.get(at('origin_country'))
      if (!move) throw new Error('no such case')
      const factors = [...move.inputs.numbers.keys()].filter((id) => id.startsWith('survey.room.'))
      const set = [
        ...factors.map((id) => ({ id, value: at('volume_factor') })),
        ...['cover', 'delay.days', 'cost.destination.wage'].map((id) => ({ id, value: at(id) })),
      ]
      const plan = planPacked(move, rooms, set).find((p) => p.name === at('scenario'))
      const cell = (id: string): number => plan?.sheet.cells.get(id)?.value.toNumber() ?? Number.NaN
      expect(Number(at('total'))).toBe(cell('cost.total'))
      expect(Number(at('own_hours'))).toBeCloseTo(cell('work.own.hours'), 8)
      expect(Number(at('days'))).toBeCloseTo(cell('time.door-to-door'), 8)
      expect(at('container_taken')).toBe(plan?.sheet.choices.get('transport'))
      expect(at('cover_taken')).toBe(plan?.sheet.choices.get('cover'))
      const open = (plan?.sheet.customs.undetermined.length ?? 0) > 0
      const charged = plan?.sheet.cells.has('cost.customs.total')
      expect(at('customs')).toBe(charged ? (open ? 'partly determined' : 'determined') : 'not determined')
    }
  }, 120_000)

  it('decides the cover by itself at every point where losses and tolerance vary', () => {
    const ids = ['loss.tolerance', 'insurance.claim-probability', 'loss.chance']
    const study = ready(
      text(
        'cover,advised',
        'scenario,A small container alone',
        `${ids[0]},lhs 100..9000:24`,
        `${ids[1]},lhs 0.05..0.9:24`,
        `${ids[2]},lhs 0.001..0.4:24`,
      ),
    )
    const [head, ...rows] = splitRows(table(study), ',', 1).rows.map(({ cells }) => cells)
    const [first] = study.pieces
    if (!first) throw new Error('no piece')
    const move = study.open(first.of)
    const covers = rows.map((row) => {
      const at = (column: string): string => row[head?.indexOf(column) ?? -1] ?? ''
      const set = ['cover', ...ids].map((id) => ({ id, value: at(id) }))
      const plan = planPacked(move, rooms, set).find((p) => p.name === at('scenario'))
      expect(at('cover_taken')).toBe(plan?.sheet.choices.get('cover'))
      expect(Number(at('total'))).toBe(plan?.sheet.cells.get('cost.total')?.value.toNumber())
      return at('cover_taken')
    })
    expect(new Set(covers).size).toBeGreaterThan(1)
  }, 120_000)

  it('in parts is the whole byte for byte, also where a part begins inside a group of rows', () => {
    const study = ready(text('delay.days,0|9', 'volume_factor,lhs 0.7..1.4:1500'))
    const whole = table(study)
    const parts = [1, 2, 3, 4, 5, 6, 7].map((index) => table(study, index, 7))
    expect(parts.join('')).toBe(whole)
    expect(whole.split('\n').length).toBe(1 + 3 * 2 * 1500 + 1)
  }, 120_000)

  it('in parts is the whole with a Sobol sample, which no part draws from its beginning', () => {
    const study = ready(text('delay.days,sobol 0..40:1500', 'volume_factor,sobol 0.7..1.4:1500'))
    const parts = [1, 2, 3, 4, 5].map((index) => table(study, index, 5))
    expect(parts.join('')).toBe(table(study))
    const [head, ...rows] = splitRows(parts.join(''), ',', 1).rows.map(({ cells }) => cells)
    const days = rows.slice(0, 1024).map((row) => Number(row[head?.indexOf('delay.days') ?? -1]))
    // Of 1,024 points one lies in each 1,024th of the range.
    expect(new Set(days.map((day) => Math.floor((day / 40) * 1024))).size).toBe(1024)
  }, 120_000)

  it('goes on after a kill from the pieces that were whole, and begins anew over other files', async () => {
    const out = join(folder, 'r.csv')
    const first = await Journal.open(out, 'key')
    await first.add('head\n', 0)
    await first.add('one\n', 1)
    await first.close()
    // What a killed run leaves: bytes that no state tells of.
    await writeFile(`${out}.unfinished`, 'head\none\ntw')
    const second = await Journal.open(out, 'key')
    expect(second.done).toBe(1)
    await second.add('two\n', 2)
    await second.finish()
    expect(await readFile(out, 'utf8')).toBe('head\none\ntwo\n')
    const third = await Journal.open(out, 'key')
    await third.add('head\nold\n', 1)
    await third.close()
    const other = await Journal.open(out, 'another key')
    expect(other.done).toBe(0)
    await other.close()
    expect(await readFile(out, 'utf8')).toBe('head\none\ntwo\n')
  })
})

it('refuses more inputs with sobol than the table of the sequence has dimensions', () => {
  const ids = Array.from({ length: 22 }, (_, k) => `x.${k},sobol 0..1:8`)
  const read = readStudy({ file: 'study.csv', text: text(...ids) })
  expect(read.ok ? [] : read.problems.map(problemText)).toEqual([
    expect.stringMatching(/^study\.csv:24: values: found "22 inputs with sobol", expected at most 21.*lhs/),
  ])
})

describe('what is wrong in a study', () => {
  it.each([
    ['volume_factr,1|2', 'study.csv:3: vary: found "volume_factr"', 'volume_factor'],
    ['volume_factor,2..1:5', 'study.csv:3: values: found "2..1:5"', 'Write for example 0.8..1.2:5.'],
    ['volume_factor,lhs 1..2', 'study.csv:3: values: found "lhs 1..2"', 'lhs 0.8..1.2:100'],
    ['delay.days,3||4', 'study.csv:3: values: found "3||4"', 'Write a|b|c.'],
    ['delay.days,3|x', 'study.csv:3: values: found "x"', 'Write the number alone'],
    ['cover,lhs 1..2:5', 'study.csv:3: values: found "lhs 1..2:5"', 'Write a|b|c.'],
    ['scenario,Alone', 'study.csv:3: values: found "Alone"', 'A small container alone'],
    ['origin_country,XX', 'household.csv:5: origin_country: found "XX"', 'countries.csv'],
    ['seed,one', 'study.csv:3: values: found "one"', 'Write for example 1.'],
    ['delay.days,1|2\ndelay.days,3', 'study.csv:4: vary: found "delay.days"', 'into line 3'],
    ['delay.days,sobol 1..2', 'study.csv:3: values: found "sobol 1..2"', 'sobol 0.8..1.2:128'],
    ['volume_factor,lhs 1..2:8\ndelay.days,sobol 1..2:8', 'study.csv:4: values: found "sobol', 'Write lhs'],
    ['volume_factor,lhs 1..2:5\ndelay.days,lhs 1..2:6', 'study.csv:4: values', 'Write :5 at the end.'],
  ])('%s is told with its place and what to type', (row, place, fix) => {
    const [first = ''] = problems(text(row))
    expect(first).toContain(place)
    expect(first).toContain(fix)
  })
})
