import { beforeAll, describe, expect, it } from 'vitest'
import { enquiryFiles } from '../../src/brief/index.js'
import { askedOf, openRules, type Rules, readAnswer } from '../../src/movers/index.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { openDemo, plansOf } from '../plan/households.js'

let move: Move
let plans: readonly Plan[]
let rules: Rules
let files: readonly { readonly html: string; readonly csv: string }[]
const words = (html: string) => html.replace(/<style>[\s\S]*?<\/style>|src="data:[^"]*"/g, '')

beforeAll(async () => {
  move = await openDemo('valparaiso-gdynia')
  plans = plansOf(move)
  rules = openRules('/nowhere')
  files = await Promise.all(plans.map((plan) => enquiryFiles(move, plan, { rules, replyBy: '2026-12-09' })))
})

describe('an enquiry for movers', () => {
  it('tells nothing of what the household expects to pay, nor what its goods are worth', () => {
    for (const { html } of files) {
      const text = words(html)
      expect(text).not.toMatch(/EUR[\s\u00a0]*\d|\d[\d.,]*[\s\u00a0](EUR|CLP)/)
      for (const line of move.household.inventory)
        if (line.value?.gt(999)) expect(text).not.toContain(`>${line.value}<`)
      expect(text).not.toMatch(/data-cells/)
    }
  })

  it('tells nobody’s status and nothing of an employer', () => {
    const statuses = new Set(move.household.people.map(({ status }) => status))
    for (const { html } of files) {
      for (const status of statuses) expect(words(html)).not.toContain(status)
      expect(words(html)).not.toMatch(/employer/i)
    }
  })

  it('asks only for what the scenario wants from a mover, and tells the scope of every line', () => {
    const [diy, , full] = files
    expect(diy?.csv).not.toContain('price.packing')
    expect(full?.csv).toContain('price.packing,')
    expect(full?.html).toContain('Upright piano')
    expect(diy?.html).toContain('we do this ourselves')
  })

  it('lists every piece that travels, with its room, and both doors', () => {
    const html = files[2]?.html ?? ''
    for (const line of move.household.inventory.filter(({ take }) => take === 'ship'))
      expect(html).toContain(`<th scope="row">${line.line}</th>`)
    expect(html).toContain('Carry from truck to door')
    expect(html).toContain('9 December 2026')
  })

  it('sends a form that comes back as it went out: nothing wrong, everything open', () => {
    const [, , plan] = plans
    if (!plan) throw new Error('no scenario')
    const filled = (files[2]?.csv ?? '')
      .replace(/^(mover,[^\n]*?),,,$/m, '$1,Blue Lorry,,')
      .replace(/^(volume_m3,[^\n]*?),,,$/m, '$1,46,,')
    const read = readAnswer({ file: 'a.csv', text: filled }, askedOf(move, plan, rules.questions))
    if (!read.ok) throw new Error(JSON.stringify(read.problems))
    expect(read.value.mover).toBe('Blue Lorry')
    expect(read.value.unanswered).toEqual(rules.questions.map(({ id }) => id))
    expect(read.value.unpriced.length).toBeGreaterThan(15)
  })

  it('loads nothing', () => {
    for (const { html } of files) expect(html).not.toMatch(/(src|href)="https?:/)
  })
})
