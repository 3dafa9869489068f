import { beforeAll, describe, expect, it } from 'vitest'
import { enquiryFiles } from '../../src/brief/index.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { readGrid } from '../../src/tables/csv.js'
import { openDemo, plansOf } from '../plan/households.js'

let move: Move
let plans: readonly Plan[]
let files: readonly { readonly html: string; readonly csv: string }[]

beforeAll(async () => {
  move = await openDemo('valparaiso-gdynia')
  plans = plansOf(move)
  files = await Promise.all(plans.map((plan) => enquiryFiles(move, plan)))
})

describe('an enquiry for movers', () => {
  it('tells nothing of what the household expects to pay', () => {
    for (const { html } of files) {
      const text = html.replace(/src="data:[^"]*"/g, '')
      expect(text).not.toMatch(/EUR[\s\u00a0]*\d/)
      expect(text).not.toMatch(/data-cells="[^"]*(cost|options|quotes|cover)\./)
    }
  })

  it('asks only for what the scenario wants from a mover', () => {
    const [diy, , full] = files
    expect(diy?.csv).not.toContain('packing')
    expect(full?.csv).toContain(',,packing,,EUR,')
    expect(full?.html).toContain('Upright piano')
  })

  it('comes back in the columns of quotes.csv', () => {
    const grid = readGrid({ file: 'quotes.csv', text: files[0]?.csv ?? '' })
    if (!grid.ok) throw new Error('not read')
    expect(grid.value.header).toEqual(['quote', 'volume_m3', 'services', 'price', 'currency', 'note'])
    expect(grid.value.rows.length).toBeGreaterThan(10)
  })

  it('loads nothing', () => {
    for (const { html } of files) expect(html).not.toMatch(/(src|href)="https?:/)
  })
})
