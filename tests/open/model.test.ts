// What the page calculates, edit after edit, against plans of the same files made from nothing.
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, it } from 'vitest'
import { summaryCells } from '../../src/analysis/index.js'
import { changed, type Texts } from '../../src/open/edits.js'
import {
  addLines,
  addScenario,
  dropScenario,
  type Intent,
  setCells,
  setChoice,
  setFact,
  setText,
} from '../../src/open/page/intents.js'
import { Model } from '../../src/open/page/model.js'
import { planScenarios, readMove } from '../../src/plan/index.js'
import type { CsvFile } from '../../src/tables/csv.js'
import { readFolder } from '../../src/tables/disk.js'

let tables: { readonly reference: readonly CsvFile[]; readonly customs: readonly CsvFile[] }

beforeAll(async () => {
  const reference = await readFolder(join('data', 'reference'), 'reference')
  const customs = await readFolder(join('data', 'reference', 'customs'), 'reference/customs')
  if (!reference.ok || !customs.ok) throw new Error('the reference tables cannot be read')
  tables = { reference: reference.value, customs: customs.value }
})

const folder = join('data', 'households', 'student-tromso-wellington')
const student: Texts = Object.fromEntries(
  readdirSync(folder)
    .filter((file) => file.endsWith('.csv'))
    .map((file) => [file, readFileSync(join(folder, file), 'utf8')]),
)
const edited = (texts: Texts, intent: Intent): Texts => changed(texts, intent(texts))
const desk = { index: 1, key: 'R-02' }

/** Figures of each scenario as the program works them out from these files alone, by volume. */
function stated(texts: Texts): Record<string, Record<string, number>> {
  const files = Object.entries(texts).map(([file, text]) => ({ file, text }))
  const move = readMove(files, tables.reference, tables.customs)
  const plans = move.ok ? planScenarios(move.value) : move
  if (!plans.ok) throw new Error(JSON.stringify(plans.problems))
  return Object.fromEntries(
    plans.value.map(({ name, sheet }) => [
      name,
      Object.fromEntries(
        summaryCells(plans.value).flatMap((id) => {
          const value = sheet.cells.get(id)?.value.toNumber()
          return value === undefined ? [] : [[id, value]]
        }),
      ),
    ]),
  )
}

function shown(model: Model, texts: Texts): Record<string, Record<string, number>> {
  const figures = model.figures(texts)
  if (!figures.ok) throw new Error(JSON.stringify(figures.problems))
  const answers = model.answers(texts)
  // The first word on an edit and the last one are the same figures.
  expect(answers.ok && answers.scenarios.map((one) => one.figures)).toEqual(
    figures.scenarios.map((one) => one.figures),
  )
  return Object.fromEntries(
    figures.scenarios.map(({ name, figures: of }) => [
      name,
      Object.fromEntries(Object.entries(of).map(([id, { value }]) => [id, value])),
    ]),
  )
}

describe('the model of the page', () => {
  it('after any edit says what plans made from nothing say, and so do edits taken back', () => {
    const model = Model.read(tables)
    const edits: readonly Intent[] = [
      setCells('inventory.csv', desk, { quantity: '3' }),
      setCells('inventory.csv', desk, { value: '700', replacement_value: '900' }),
      setCells('inventory.csv', desk, { take: 'leave' }),
      setChoice('Shared, packed for me', 'cover', 'named-narrow'),
      setFact('storage_months', '2'),
      addScenario('Another way', 'A small container alone'),
      setChoice('Another way', 'service-level', 'full'),
      addLines('inventory.csv', [
        {
          line: 'R-90',
          room: 'Attic',
          item: 'Wardrobe',
          quantity: '2',
          volume_m3: '1.4',
          mass_kg: '60',
          class: 'furniture',
          packing: 'wrapped',
          value: '100',
          take: 'ship',
        },
      ]),
      dropScenario('Shared, packed by me'),
    ]
    const states: Texts[] = [student]
    for (const edit of edits) states.push(edited(states.at(-1) ?? student, edit))
    const expected = states.map(stated)
    expect(new Set(expected.map((one) => JSON.stringify(one))).size).toBe(states.length)
    for (const [i, texts] of states.entries()) expect(shown(model, texts)).toEqual(expected[i])
    for (const [i, texts] of [...states.entries()].reverse())
      expect(shown(model, { ...texts })).toEqual(expected[i])
  })

  it('plans anew only what an edit touches, and nothing where it is taken back', () => {
    const model = Model.read(tables)
    const plans = (texts: Texts): number => {
      const before = model.plansMade
      model.answers({ ...texts })
      return model.plansMade - before
    }
    expect(plans(student)).toBe(3)
    const one = edited(student, setChoice('A small container alone', 'delay.days', '5'))
    expect(plans(one)).toBe(1)
    expect(plans(edited(one, setCells('inventory.csv', desk, { quantity: '2' })))).toBe(3)
    expect(plans(one)).toBe(0)
    expect(plans(student)).toBe(0)
  })

  it('says first, over 60 random edits, what it then says to the cent, or that it is not sure yet', () => {
    const home = join('data', 'households', 'valparaiso-gdynia')
    const start: Texts = Object.fromEntries(
      readdirSync(home)
        .filter((file) => file.endsWith('.csv') && file !== 'brief.csv')
        .map((file) => [file, readFileSync(join(home, file), 'utf8')]),
    )
    const model = Model.read(tables)
    let texts = start
    expect(model.quickFigures(texts)).toBeUndefined() // nothing was planned before
    expect(model.figures(texts).ok).toBe(true)
    const marks = (start['inventory.csv'] ?? '').split('\n').flatMap((row) => /^[A-Z]-\d+/.exec(row) ?? [])
    expect(marks.length).toBeGreaterThan(40)
    let state = 7
    const draw = (below: number): number => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0
      return Math.floor((state / 2 ** 32) * below)
    }
    const pick = <T>(of: readonly T[]): T => of[draw(of.length)] as T
    const line = () => ({ index: -1, key: pick(marks) })
    const scenario = () => pick(['Do it ourselves', 'Share the work', 'Movers do it all'])
    const edits: readonly (() => Intent)[] = [
      () => setCells('inventory.csv', line(), { quantity: String(1 + draw(9)) }),
      () => setCells('inventory.csv', line(), { value: String(50 + draw(3000)) }),
      () => setCells('inventory.csv', line(), { take: pick(['ship', 'leave']) }),
      () => setChoice(scenario(), 'delay.days', String(draw(20))),
      () => setChoice(scenario(), 'cover', pick(['advised', 'all-risks', 'named-wide'])),
      () => setChoice(scenario(), 'transport', pick(['cheapest', '45G1', 'groupage'])),
      () => setFact('loss_tolerance', String(1000 + draw(4000))),
      () => setFact('own_people', String(1 + draw(5))),
    ]
    const counts = { same: 0, other: 0, none: 0 }
    for (let turn = 0; turn < 60; turn++) {
      texts = edited(texts, (edits[turn % edits.length] as () => Intent)())
      const quick = model.quickFigures(texts)
      const figures = model.figures(texts)
      if (!figures.ok) throw new Error(JSON.stringify(figures.problems))
      expect(figures.sure).toBe(true)
      const figuresIn = (of: typeof figures) => of.scenarios.map((one) => one.figures)
      const same = quick && JSON.stringify(figuresIn(quick)) === JSON.stringify(figuresIn(figures))
      if (quick && !same) expect(quick.sure).toBe(false)
      counts[quick === undefined ? 'none' : same ? 'same' : 'other'] += 1
    }
    // Few edits change a carriage or a cover, or there would be no point in asking first.
    expect(counts.same).toBeGreaterThan(40)
  })

  it('keeps nothing of a household that has problems', () => {
    const model = Model.read(tables)
    model.answers(student)
    const wrong = model.answers(edited(student, setCells('inventory.csv', desk, { take: 'sail' })))
    expect(wrong.ok ? [] : wrong.problems.map(({ found }) => found)).toEqual(['sail'])
    expect(model.planned).toBeUndefined()
    expect(shown(model, { ...student })).toEqual(stated(student))
  })

  it('takes what customs confirmed to the household, as every command does', () => {
    const head = 'table,row,from,column,value,confirmed_by,confirmed_on,answer,note\n'
    // An invented answer: what counts is that page and program read it alike.
    const told = edited(
      student,
      setText('customs.csv', `${head}import-tax,NZ,,rate,0.30,an invented office,2026-11-20,,\n`),
    )
    const model = Model.read(tables)
    const taxed = edited(told, setCells('inventory.csv', desk, { acquired_on: '2026-11-01', value: '9000' }))
    const untaxed = edited(
      student,
      setCells('inventory.csv', desk, { acquired_on: '2026-11-01', value: '9000' }),
    )
    expect(shown(model, taxed)).toEqual(stated(taxed))
    expect(stated(taxed)).not.toEqual(stated(untaxed))
    expect(shown(model, untaxed)).toEqual(stated(untaxed))
    const wrong = model.answers(
      edited(student, setText('customs.csv', `${head}relief,nz.none,,after,1,x,2026-11-20,,\n`)),
    )
    expect(wrong.ok ? [] : wrong.problems.map(({ file, found }) => `${file}: ${found}`)).toEqual([
      'customs.csv: nz.none',
    ])
  })
})
