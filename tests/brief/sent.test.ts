import { beforeAll, describe, expect, it, test } from 'vitest'
import { type BriefFiles, briefFiles } from '../../src/brief/index.js'
import { wordsIn } from '../../src/paper/words-file.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { moveOf, plansOf } from './household.js'

let move: Move
let plans: readonly Plan[]
let files: BriefFiles
const page = (of: BriefFiles, name = 'brief.html') => String(of.get(name))
const text = (html: string) =>
  html.replace(/<style>[\s\S]*?<\/style>|src="[^"]*"/g, '').replace(/<[^>]+>/g, ' ')

beforeAll(async () => {
  move = await moveOf('student-tromso-wellington')
  plans = plansOf(move)
  files = await briefFiles(move, plans)
})

describe('the copy that is sent', () => {
  it('names no cell, not even where a figure is traced in the analyst’s copy', async () => {
    for (const name of ['brief.html', 'annexes.html']) {
      const html = page(files, name)
      expect(html).not.toMatch(/data-cells|data-scenario|title="/)
      for (const id of ['cost.total', 'work.own.hours', 'price.freight', 'options.groupage'])
        expect(text(html).replace(/quaybook explain[^.]*\./, '')).not.toContain(id)
    }
    const analyst = page(await briefFiles(move, plans, { copy: 'analyst' }))
    expect(analyst).toContain('data-cells="cost.total"')
    expect(analyst).toContain('<small>cost.total</small>')
  })

  it('holds decision, scenarios, movers, dates, papers, cautions and where the annexes are', () => {
    const ids = [...page(files).matchAll(/<section id="([^"]+)"/g)].map(([, id]) => id)
    expect(ids).toEqual(['decision', 'scenarios', 'movers', 'dates', 'papers', 'cautions', 'annexes'])
    expect(page(files)).toContain('href="annexes.html#annex-costs"')
    expect(page(files, 'annexes.html')).toContain('<section id="annex-costs"')
  })

  it('takes chosen annexes in, and leaves the others in their file', async () => {
    const some = await briefFiles(move, plans, { annexes: ['costs'] })
    expect(page(some)).toContain('<section id="annex-costs"')
    expect(page(some)).toContain('href="#annex-costs"')
    expect(page(some, 'annexes.html')).not.toContain('<section id="annex-costs"')
  })

  it('shows the sender with closing words before the annexes', async () => {
    const sender = {
      name: 'Harbour <Lane>',
      address: ['1 Quay Row'],
      contact: [],
      closing: 'Call us before you sign.',
    }
    const html = page(await briefFiles(move, plans, { sender, annexes: ['costs'] }))
    expect(html).toContain('<b>Harbour &#60;Lane&#62;</b><br>1 Quay Row')
    expect(html.indexOf('Call us before')).toBeLessThan(html.indexOf('<div class="annex first">'))
  })

  it('says of a scenario that comes to the same that it costs the same', async () => {
    const twin = (plan: Plan): Plan => ({ ...plan, name: 'Its twin' })
    const html = page(await briefFiles(move, [...plans, ...plans.map(twin)]))
    expect(text(html)).toContain('It costs the same as “Its twin”.')
    expect(text(html)).not.toMatch(/it saves\s+EUR\s0\b/)
  })

  it('says how to print where no browser did', () => {
    expect(page(files)).toContain('class="print-hint"')
    expect(files.has('brief.pdf')).toBe(false)
  })
})

test.each([
  ['fr', 'Recommandation', 'Au prix probable de chaque ligne, le total est de'],
  ['es', 'Recomendación', 'Con el precio probable de cada partida, el total es de'],
  ['de', 'Empfehlung', 'Zum wahrscheinlichen Preis jeder Zeile sind es'],
])('in %s the pages that are sent speak that language', async (language, title, pay) => {
  const own = page(await briefFiles(move, plans, { words: await wordsIn(language) }))
  expect(own).toContain(`<html lang="${language}">`)
  expect(own).toContain(title)
  expect(text(own)).toContain(pay)
  const english = await wordsIn('en')
  // What is said in English of the same move, less names of scenarios and things, is nowhere in it.
  for (const id of [
    'scenarios.same-footing',
    'dates.note',
    'cautions.first',
    'papers.authority',
    'decision.rule',
  ])
    expect(own).not.toContain(english.say(id))
})
