import { createHash } from 'node:crypto'
import { beforeAll, describe, expect, it } from 'vitest'
import { recommend } from '../../src/analysis/index.js'
import { annexNames, briefFiles } from '../../src/brief/index.js'
import { type LoadResult, loadPlan } from '../../src/load/index.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { openDemo, plansOf } from '../plan/households.js'

let move: Move
let plans: readonly Plan[]
let load: LoadResult
let html: string

beforeAll(async () => {
  move = await openDemo('student-tromso-wellington')
  plans = plansOf(move)
  load = loadPlan(move, recommend(move, plans).plan, { work: 20_000 })
  html = String((await briefFiles(move, plans, { load, annexes: annexNames })).get('brief.html'))
})

describe('a brief with the load plan in it', () => {
  it('answers whether everything goes in, with a picture a stage', () => {
    const section = /<section id="annex-load"[\s\S]*?<\/section>/.exec(html)?.[0] ?? ''
    expect(section).toContain('Load plan')
    expect(section).toContain('Everything goes into one')
    expect(section.match(/<figure>/g)?.length).toBeGreaterThan(0)
  })

  it('allows its one script by its hash and loads nothing', () => {
    const scripts = [...html.matchAll(/<script>([\s\S]*?)<\/script>/g)].map(([, source]) => source ?? '')
    expect(scripts).toHaveLength(1)
    const hash = createHash('sha256')
      .update(scripts[0] ?? '')
      .digest('base64')
    expect(html).toContain(`script-src 'sha256-${hash}'`)
    expect(html).not.toMatch(/(src|href)="https?:/)
  })

  it('has no script and no such section where no container was packed', async () => {
    const plain = String((await briefFiles(move, plans, { annexes: annexNames })).get('brief.html'))
    expect(plain).not.toContain('<script')
    expect(plain).not.toContain('id="annex-load"')
  })
})
