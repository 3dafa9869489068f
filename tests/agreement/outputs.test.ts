// One run of every command on one household, with and without changes: each question is read out of each output.
import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { main } from '../../src/cli/main.js'
import type { PageData } from '../../src/explore/index.js'
import { Calculator } from '../../src/explore/index.js'
import { carriageOf } from '../../src/explore/words.js'
import { packageRoot } from '../../src/plan/open.js'
import { dayNumber } from '../../src/time/day-number.js'
import { CELL_SHEETS } from '../../src/workbook/layout.js'
import { recalculatedByEngine, valuesById } from '../workbook/oracles.js'
import { readBook } from '../workbook/read-book.js'
import { ASKED } from './questions.js'

const folder = mkdtempSync(join(tmpdir(), 'quaybook-outputs-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

async function run(...words: string[]): Promise<string> {
  const out: string[] = []
  const err: string[] = []
  const code = await main(words, { out: (text) => out.push(text), err: (text) => err.push(text) })
  if (code !== 0) throw new Error(`${words.join(' ')}\n${err.join('\n')}`)
  return out.join('\n')
}

interface BriefScenario {
  readonly name: string
  readonly choices: Readonly<Record<string, string>>
  readonly cells: readonly { readonly id: string; readonly unit: string; readonly value: string }[]
}

const cases: readonly (readonly [household: string, set: readonly string[]])[] = [
  ['student-tromso-wellington', []],
  ['student-tromso-wellington', ['line.R-10.value=20000', 'import-on=2027-05-20', 'take.R-03=leave']],
  ['student-tromso-wellington', ['transport=22G1', 'cover=all-risks', 'service-level=full']],
  ['valparaiso-gdynia', []],
  ['leeuwarden-nanaimo', []],
  ['valparaiso-gdynia', ['take.V-01=leave', 'delay.days=20', 'cost.origin.wage=9000']],
]

describe.each(cases)('%s %j', (household, set) => {
  const home = join(folder, household)
  const out = join(
    folder,
    `out-${cases.findIndex(([name, changes]) => name === household && changes === set)}`,
  )
  const changes = set.flatMap((change) => ['--set', change])

  it('has one answer to each question in every output', async () => {
    cpSync(join(packageRoot, 'data', 'households', household), home, { recursive: true })
    const compared = JSON.parse(await run('compare', home, '--json', ...changes))
    await run('brief', home, '--out', out, ...changes)
    await run('explore', home, '--out', out, ...changes)
    await run('workbook', home, '--out', join(out, 'plan.xlsx'), ...changes)
    const simulated = JSON.parse(await run('simulate', home, '--json', '--draws', '1000', ...changes))
    const brief = JSON.parse(readFileSync(join(out, 'brief.json'), 'utf8'))
    const html = readFileSync(join(out, 'explore.html'), 'utf8')
    const embedded = /<script type="application\/json" id="page-data">([\s\S]*?)<\/script>/.exec(html)?.[1]
    const page: PageData = JSON.parse(embedded ?? '')
    const figures = new Calculator(page).figures(new Map())
    const book = valuesById(
      recalculatedByEngine(readBook(new Uint8Array(readFileSync(join(out, 'plan.xlsx'))))),
      CELL_SHEETS,
      simulated.scenarios.length,
    )

    // Which scenario, which cover, and in which words.
    const { sentence } = compared.recommendation
    expect(brief.recommendation.sentence).toBe(sentence)
    expect(simulated.recommendation.sentence).toBe(sentence)
    expect(page.recommendation.sentence).toBe(sentence)
    expect(readFileSync(join(out, 'brief.html'), 'utf8')).toContain(
      Math.round(Number(compared.recommendation.total)).toLocaleString('en'),
    )

    // Scenarios that the household states stand in every output; the recommended plan may come beside them.
    for (const [s, stated] of simulated.scenarios.entries()) {
      const { scenario: name } = stated
      const inBrief: BriefScenario = brief.scenarios.find((one: BriefScenario) => one.name === name)
      const inCompare = compared.scenarios.find((one: { name: string }) => one.name === name)
      const onPage = page.scenarios.findIndex((one) => one.name === name)
      const pageScenario = page.scenarios[onPage]
      const pageFigures = figures[onPage]
      if (!pageScenario || !pageFigures) throw new Error(`the page of trade-offs lacks ${name}`)
      expect(inBrief.choices.transport).toBe(inCompare.choices.transport)
      expect(carriageOf(pageScenario, pageFigures)).toBe(inCompare.choices.transport)
      expect(inBrief.choices.cover).toBe(inCompare.choices.cover)
      for (const id of ASKED) {
        const cell = inBrief.cells.find((one) => one.id === id)
        if (!cell) continue
        const value = cell.unit === 'date' ? dayNumber(cell.value) : Number(cell.value)
        expect(Number(book.get(id)?.[s]), `${name}: workbook ${id}`).toBeCloseTo(value, 6)
        const shown = pageFigures.get(id)
        if (shown !== undefined) expect(shown, `${name}: explore ${id}`).toBeCloseTo(value, 6)
        if (id === 'cost.total') {
          const total = compared.rows.find((row: { id: string }) => row.id === id)
          const at = compared.scenarios.indexOf(inCompare)
          expect(Number(total.values[at]), `${name}: compare`).toBe(value)
          expect(stated.planned, `${name}: simulate`).toBeCloseTo(value, 2)
        }
      }
    }
  })

  it('loads the container that the plan books, and says so where the packer leaves something out', async () => {
    const compared = JSON.parse(await run('compare', home, '--json', ...changes))
    const { scenario } = compared.recommendation
    const plan = compared.scenarios.find((one: { name: string }) => one.name === scenario)
    const [container, share] = plan.choices.transport.split('+')
    const packed = plan.choices[`packed.${container}`]
    if (container === 'groupage') return
    const load = JSON.parse(
      await run(
        'load',
        home,
        '--json',
        '--scenario',
        scenario,
        '--container',
        container,
        '--work',
        '120000',
        ...changes,
      ),
    )
    expect(load.containers[0].container).toBe(container)
    if (packed === 'everything') expect(load.complete).toBe(true)
    // What does not go in travels in a share of another container.
    if (!load.complete) expect(share).toBe('groupage')
  })
})
