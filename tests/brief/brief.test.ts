import { existsSync } from 'node:fs'
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { beforeAll, describe, expect, it, test } from 'vitest'
import { annexNames, type BriefOptions, briefFiles, writeBrief } from '../../src/brief/index.js'
import { dayText } from '../../src/paper/format.js'
import type { Move, Plan } from '../../src/plan/index.js'
import { exact } from '../../src/quantity/exact.js'
import { isDay } from '../../src/tables/fields.js'
import { moveOf, plansOf } from './household.js'

const CHROMIUM = '/usr/bin/chromium'
const hostile = '<script>alert("x")</script>'

/** The analyst's copy with every annex in it, and the figures as JSON. */
async function papers(of: Move, from: readonly Plan[], options: BriefOptions = {}) {
  const files = await briefFiles(of, from, { copy: 'analyst', annexes: annexNames, ...options })
  return { html: String(files.get('brief.html')), json: String(files.get('brief.json')) }
}

let move: Move
let plans: readonly Plan[]
let html: string
let json: string

beforeAll(async () => {
  move = await moveOf('valparaiso-gdynia')
  plans = plansOf(move)
  ;({ html, json } = await papers(move, plans))
})

interface JsonCell {
  readonly id: string
  readonly unit: string
  readonly value: string
  readonly low: string
  readonly high: string
}

/** Cells of brief.json by scenario and id. */
function cellsOf(text: string): Map<string, Map<string, JsonCell>> {
  const { scenarios } = JSON.parse(text) as { scenarios: { name: string; cells: JsonCell[] }[] }
  return new Map(scenarios.map((s) => [s.name, new Map(s.cells.map((c) => [c.id, c]))]))
}

const unescaped = (text: string) =>
  text.replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code)))

/** The figures of a brief: attributes and shown text of each data element. */
const figuresOf = (page: string) =>
  [...page.matchAll(/<data ([^>]*)>([^<]*)<\/data>/g)].map(([, attributes = '', shown = '']) => {
    const of = (name: string) => {
      const found = new RegExp(`(?:^| )${name}="([^"]*)"`).exec(attributes)?.[1]
      return found === undefined ? undefined : unescaped(found)
    }
    return {
      value: of('value') ?? '',
      cells: (of('data-cells') ?? '').split(' '),
      scenario: of('data-scenario') ?? '',
      against: of('data-against'),
      apart: of('data-apart'),
      end: of('data-end') as 'low' | 'high' | undefined,
      how: of('data-how'),
      shown: unescaped(shown),
    }
  })

describe('every figure of the brief', () => {
  it('is the sum of the cells it names, less those of the scenario it is set against', () => {
    const scenarios = cellsOf(json)
    const figures = figuresOf(html)
    expect(figures.length).toBeGreaterThan(300)
    // Percentiles and effects of inputs are no values of cells.
    for (const figure of figures.filter(({ how, value }) => how === undefined && !isDay(value))) {
      const sum = (scenario: string) =>
        exact.sum(
          figure.cells.map((id) => {
            const cell = scenarios.get(scenario)?.get(id)
            if (!cell) throw new Error(`${figure.shown}: no cell ${id} in ${scenario}`)
            return exact.of(cell[figure.end ?? 'value'])
          }),
        )
      const mine = sum(figure.scenario)
      const other = figure.against ?? figure.apart
      const value = other === undefined ? mine : mine.minus(sum(other))
      const told = figure.apart === undefined ? value : value.abs()
      expect(exact.of(figure.value).toString(), figure.shown).toBe(told.toString())
    }
  })

  it('shows its value, rounded', () => {
    for (const { value, shown, cells, scenario } of figuresOf(html)) {
      if (isDay(value)) {
        expect(shown).toBe(dayText(value))
        continue
      }
      const unit = cellsOf(json)
        .get(scenario)
        ?.get(cells[0] ?? '')?.unit
      const digits = shown
        .replace(/[^\d.\u2212]/g, '')
        .replace('\u2212', '-')
        .replace(/(?<=m)[³3]/, '')
      const decimals = digits.split('.')[1]?.length ?? 0
      const scaled = unit === '1' && shown.includes('%') ? exact.of(value).times(100) : exact.of(value)
      expect(exact.of(digits).toString(), shown).toBe(exact.round(scaled, decimals).toString())
    }
  })

  it('stands in a data element: no amount of money is written outside one, but in warnings, which name their cells', () => {
    const { currency } = move.household.facts
    const outside = html
      .replace(/<style>[\s\S]*?<\/style>/, '')
      .replace(/<data [^>]*>[^<]*<\/data>/g, '')
      .replace(/<img [^>]*>/g, '')
    const amount = new RegExp(`${currency}\u00a0[\\d,]+`)
    const rest = outside.replace(/<ul class="warnings">[\s\S]*?<\/ul>/g, '')
    expect(rest).not.toMatch(amount)
    const items = [...outside.matchAll(/<li class="(?:stop|care|note)">[\s\S]*?<\/li>/g)].map(
      ([item]) => item,
    )
    expect(items.length).toBeGreaterThan(3)
    for (const item of items.filter((text) => amount.test(text))) {
      expect(item).toMatch(/<small>[^<]*\b(value|cover|time|door|cost|work)\.[a-z]/)
    }
  })
})

describe('the file', () => {
  it('loads nothing: no script, no address outside itself', () => {
    expect(html.replace(/<img [^>]*>/g, '')).not.toMatch(
      /<script|<link|<iframe|@import|url\(|srcset|javascript:/i,
    )
    const addresses = [...html.matchAll(/(?:src|href|action)="([^"]*)"/g)].map(([, address = '']) => address)
    expect(addresses.every((a) => a.startsWith('data:image/svg+xml,') || a.startsWith('#'))).toBe(true)
    expect(html).toContain("default-src 'none'")
    // Names of SVG and chart namespaces are no addresses to load; nothing else may look like one.
    const urls = [
      ...decodeURIComponent(html.replace(/%(?![0-9A-F]{2})/g, '%25')).matchAll(/https?:\/\/[^\s"'<>)]+/g),
    ]
    expect(
      [...new Set(urls.map(([url]) => url))].filter((url) => !url.startsWith('http://www.w3.org/')),
    ).toEqual([])
  })

  it('is the same for the same move', async () => {
    expect((await papers(move, plans)).html === html).toBe(true)
  })

  it('has text for every picture, with figures in it', () => {
    const alts = [...html.matchAll(/<img [^>]*alt="([^"]*)"/g)].map(([, alt = '']) => alt)
    expect(alts.length).toBeGreaterThanOrEqual(8)
    for (const alt of alts) expect(alt).toMatch(/\d/)
  })

  it('treats text from a CSV file as data, in the page and in the pictures', async () => {
    const odd = await moveOf('student-tromso-wellington', (file) => ({
      ...file,
      text: /(^|\/)(inventory|household)\.csv$/.test(file.file)
        ? file.text
            .replace(/,(Room|Bedroom|Desk|Kitchen|Cellar)[^,]*,/g, `,"${hostile.replaceAll('"', '""')}",`)
            .replace('The harbour-view room', '"<b onclick=""x()"">home</b>"')
        : file.text,
    }))
    const rooms = new Set(odd.household.inventory.map((line) => line.room))
    expect(rooms.has(hostile)).toBe(true)
    const page = (await papers(odd, plansOf(odd))).html
    expect(page).not.toMatch(/<script/i)
    expect(page).not.toContain('<b onclick')
    expect(page).toContain('&#60;script&#62;')
    const pictures = [...page.matchAll(/src="data:image\/svg\+xml,([^"]*)"/g)].map(([, address = '']) =>
      decodeURIComponent(address.replace(/%(?![0-9A-F]{2})/g, '%25')),
    )
    for (const svg of pictures) expect(svg).not.toMatch(/<script/i)
    expect(pictures.some((svg) => svg.includes('&lt;script&gt;'))).toBe(true)
  })
})

describe('writing', () => {
  it('leaves the two files and nothing beside them, and replaces old ones', async () => {
    const dir = await mkdtemp(join(tmpdir(), 'brief-'))
    try {
      await writeFile(join(dir, 'brief.html'), 'old')
      const small = await moveOf('student-tromso-wellington')
      const paths = await writeBrief(dir, small, plansOf(small))
      expect((await readdir(dir)).sort()).toEqual(['annexes.html', 'brief.html', 'brief.json'])
      expect(await readFile(paths[0] ?? '', 'utf8')).toContain('The harbour-view room')
    } finally {
      await rm(dir, { recursive: true })
    }
  })

  it('writes nothing where the recommended scenario is none of the plans', async () => {
    const dir = await mkdtemp(join(tmpdir(), 'brief-'))
    try {
      await expect(writeBrief(dir, move, plans, { recommend: 'Nobody' })).rejects.toThrow('unknown scenario')
      expect(await readdir(dir)).toEqual([])
    } finally {
      await rm(dir, { recursive: true })
    }
  })
})

const browser = existsSync(CHROMIUM)
if (!browser)
  console.warn(`SKIPPED: no ${CHROMIUM}; the brief was not checked for accessibility in a browser`)

test.skipIf(!browser).each([
  ['a wide screen', 1200],
  ['a phone', 390],
])(
  'axe finds nothing serious on %s, nothing is asked of the network, and no table is clipped',
  async (_, width) => {
    const { chromium } = await import('playwright-core')
    const dir = await mkdtemp(join(tmpdir(), 'brief-'))
    const running = await chromium.launch({
      executablePath: CHROMIUM,
      args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
    })
    try {
      await writeFile(join(dir, 'brief.html'), html)
      const page = await running.newPage({ viewport: { width, height: 900 }, bypassCSP: true })
      const asked: string[] = []
      page.on('request', (request) => asked.push(request.url().slice(0, 20)))
      await page.goto(pathToFileURL(join(dir, 'brief.html')).href)
      const axe = await readFile(new URL('../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8')
      await page.evaluate(axe)
      const found = (await page.evaluate('axe.run(document)')) as {
        violations: { id: string; impact: string; nodes: { html: string }[] }[]
      }
      const grave = found.violations
        .filter(({ impact }) => impact === 'serious' || impact === 'critical')
        .map(({ id, nodes }) => `${id}: ${nodes[0]?.html.slice(0, 160)}`)
      expect(grave).toEqual([])
      expect(asked.filter((url) => !url.startsWith('file:') && !url.startsWith('data:'))).toEqual([])
      const sideways = await page.evaluate('document.documentElement.scrollWidth - window.innerWidth')
      expect(sideways).toBeLessThanOrEqual(0)
    } finally {
      await running.close()
      await rm(dir, { recursive: true })
    }
  },
)
