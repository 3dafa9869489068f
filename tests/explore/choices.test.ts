import { cp, mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import {
  type Chosen,
  chosenFrom,
  hashOfChosen,
  type PageChoice,
  type PageData,
} from '../../src/explore/index.js'
import { rowText } from '../../src/explore/words.js'
import { packageRoot } from '../../src/plan/open.js'
import { CHROMIUM, startChromium, tellWithoutChromium } from '../chromium.js'
import { run } from '../command.js'

tellWithoutChromium('choices on the page of trade-offs were not made in one')

let folder: string
let home: string
let file: string
let data: PageData
let html: string

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'quaybook-choices-'))
  home = join(folder, 'home')
  await cp(join(packageRoot, 'data', 'households', 'valparaiso-gdynia'), home, { recursive: true })
  file = (await run('explore', home, '--out', folder)).out.trimEnd()
  html = await readFile(file, 'utf8')
  data = pageDataOf(html)
})
afterAll(() => rm(folder, { recursive: true, force: true }))

const pageDataOf = (page: string): PageData =>
  JSON.parse(/<script type="application\/json" id="page-data">([\s\S]*?)<\/script>/.exec(page)?.[1] ?? '')

const choices = () => {
  if (!data.choices) throw new Error('the page has no choices')
  return data.choices
}

describe('the file', () => {
  it('holds choices of every kind that a household makes', () => {
    const kinds = new Set(choices().list.map(({ id }) => id.replace(/^(take|deck|provider)\..*/, '$1')))
    for (const kind of [
      'transport',
      'service-level',
      'cover',
      'crew',
      'take',
      'deck',
      'load-on',
      'import-on',
    ])
      expect([...kinds], kind).toContain(kind)
    for (const kind of ['provider', 'origin.street', 'destination.permit', 'pallets'])
      expect([...kinds], kind).toContain(kind)
  })

  it('allows a worker made from its own text and nothing more, and is small enough to mail', () => {
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(html)?.[1] ?? ''
    expect(policy).toMatch(
      /^default-src 'none'; script-src 'sha256-[^' ]+'; style-src 'sha256-[^' ]+'; img-src data:; worker-src blob:; base-uri 'none'; form-action 'none'$/,
    )
    // The formulas of three scenarios, the planner and the reference tables: with 1.2 MB a phone has it at once.
    expect(html.length).toBeLessThan(1_200_000)
  })

  it('leaves the lists out where asked to, and has then no choices', async () => {
    const without = (
      await run('explore', home, '--without-lists', '--out', join(folder, 'without'))
    ).out.trimEnd()
    const text = await readFile(without, 'utf8')
    expect(text.includes('id="pack-')).toBe(false)
    expect(text.includes('worker-src')).toBe(false)
    expect(pageDataOf(text).choices).toBeUndefined()
  })
})

describe('the address', () => {
  it('brings back what was chosen and leaves out what the page does not know', () => {
    const chosen: Chosen = choices().scenarios.map((_, s) =>
      s === 1
        ? new Map([
            ['cover', 'total-loss'],
            ['load-on', '2027-03-02'],
          ])
        : new Map(),
    )
    expect(chosenFrom(choices(), `#delay.days=4&${hashOfChosen(choices(), chosen)}`)).toEqual(chosen)
    for (const hash of ['#1:cover=gold', '#9:cover=all-risks', '#0:load-on=2027-13-40', '#0:__proto__=x'])
      expect(
        chosenFrom(choices(), hash).every((one) => one.size === 0),
        hash,
      ).toBe(true)
    // What a scenario states is nothing chosen.
    expect(chosenFrom(choices(), '#1:cover=advised')[1]?.size).toBe(0)
  })
})

/** A generator with a fixed start: the same choices at every run. */
function draws(seed: number): (below: number) => number {
  let state = seed
  return (below) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return Math.floor((state / 2 ** 32) * below)
  }
}

/** Each takes some four seconds; 30 are made with QUAYBOOK_CHOICES=30. */
const CHOICES = Number(process.env.QUAYBOOK_CHOICES ?? 16)

/** Choices of every kind in turn, each with a word that some scenario does not state. */
function someChoices(count: number): (readonly [PageChoice, string])[] {
  const draw = draws(11)
  const kinds = new Map<string, PageChoice[]>()
  for (const choice of choices().list) {
    const kind = choice.group === 'first' || choice.group === 'days' ? choice.id : choice.group
    kinds.set(kind, [...(kinds.get(kind) ?? []), choice])
  }
  const rings = [...kinds.values()]
  expect(rings.length).toBeLessThanOrEqual(count)
  return Array.from({ length: count }, (_, k) => {
    const ring = rings[k % rings.length] ?? []
    const choice = ring[draw(ring.length)] as PageChoice
    if (choice.kind === 'date') {
      const day = new Date(Date.parse(choice.planned[0] ?? '') + (1 + draw(20)) * 86_400_000)
      return [choice, day.toISOString().slice(0, 10)] as const
    }
    const words = choice.allowed.filter((word) => choice.planned.some((planned) => planned !== word))
    return [choice, words[draw(words.length)] ?? ''] as const
  })
}

describe.skipIf(CHROMIUM === undefined)('in a browser', () => {
  let browser: Browser
  beforeAll(async () => {
    browser = await startChromium()
  })
  afterAll(() => browser.close())

  async function opened(hash = ''): Promise<{ page: Page; complaints: string[] }> {
    const page = await browser.newPage({ viewport: { width: 1280, height: 900 } })
    const complaints: string[] = []
    page.on('console', (message) => complaints.push(message.text()))
    page.on('pageerror', (error) => complaints.push(error.message))
    page.on('request', (made) => {
      if (!/^(file|blob):/.test(made.url())) complaints.push(made.url())
    })
    await page.goto(`${pathToFileURL(file)}${hash}`)
    return { page, complaints }
  }

  /** Says what each scenario chooses, all at once, and waits for the plans. */
  async function choose(page: Page, id: string, words: readonly string[]): Promise<string> {
    await page.evaluate(
      `((id, words) => {
        for (const control of document.querySelectorAll('[data-choice="' + id + '"]')) {
          const word = words[Number(control.dataset.of)]
          if (control.value === word) continue
          control.value = word
          control.dispatchEvent(new Event('change', { bubbles: true }))
        }
      })(${JSON.stringify(id)}, ${JSON.stringify(words)})`,
    )
    const said = page.locator('#planning')
    await expect.poll(() => said.textContent(), { timeout: 60_000, interval: 50 }).not.toMatch(/\u2026$/)
    return (await said.textContent()) ?? ''
  }

  const shown = (page: Page): Promise<Record<string, string>> =>
    page.evaluate(`Object.fromEntries([...document.querySelectorAll('[data-cell]')].map((cell) => {
      const names = [...document.querySelectorAll('thead th')].map((th) => th.textContent)
      const [at, id] = cell.dataset.cell.split(' ')
      return [names[Number(at)] + ': ' + id, cell.textContent]
    }))`)

  /** What \`compare\` prints with the same change, as the page writes it. */
  async function compared(...set: string[]): Promise<Record<string, string> | string> {
    const rows = [...data.phases, ...data.rows]
    const ids = rows.map(({ id }) => id).join(',')
    const { code, out, err } = await run('compare', home, '--json', '--cells', ids, ...set)
    if (code !== 0) return err.trimEnd()
    const json = JSON.parse(out) as {
      scenarios: { name: string }[]
      rows: { id: string; values: (string | null)[] }[]
    }
    return Object.fromEntries(
      json.scenarios.flatMap(({ name }, s) =>
        rows.map((row) => {
          const value = json.rows.find(({ id }) => id === row.id)?.values[s]
          return [
            `${name}: ${row.id}`,
            rowText(row, value === null || value === undefined ? undefined : Number(value)),
          ] as const
        }),
      ),
    )
  }

  it(`shows for ${CHOICES} choices, every kind among them, what compare --set prints, in every cell`, async () => {
    const { page, complaints } = await opened()
    const as: string[] = []
    for (const [choice, word] of someChoices(CHOICES)) {
      const planned = choice.planned
      const said = await choose(
        page,
        choice.id,
        planned.map(() => word),
      )
      const expected = await compared('--set', `${choice.id}=${word}`)
      const title = `${choice.id}=${word}`
      if (typeof expected === 'string') {
        // Refused there because no figure reads it, or because it cannot be planned: said here.
        const idle = await page.locator(`[data-row="${choice.id}"] small`).allTextContents()
        const why =
          said.startsWith('That cannot be planned') ||
          idle.every((text) => text.startsWith('Changes nothing'))
        expect(why, `${title}: ${expected}`).toBe(true)
        as.push('refused')
      } else {
        expect(said, title).toBe('Planned again with all that is chosen and moved.')
        expect(await shown(page), title).toEqual(expected)
        as.push('planned')
      }
      await choose(page, choice.id, planned)
    }
    expect(as.filter((one) => one === 'planned').length).toBeGreaterThan((CHOICES * 2) / 3)
    expect(complaints).toEqual([])
    await page.close()
  }, 600_000)

  it('keeps choices and numbers together in the address and in the command, a scenario alone as rows', async () => {
    const { page, complaints } = await opened()
    const every = choices().scenarios.map(() => 'all-risks')
    await page.locator('[id="n-delay.days"]').fill('9')
    await choose(page, 'cover', every)
    const expected = await compared('--set', 'cover=all-risks', '--set', 'delay.days=9')
    expect(await shown(page)).toEqual(expected)
    expect(await page.locator('#set-text').inputValue()).toContain('--set delay.days=9 --set cover=all-risks')
    expect(await page.locator('#rows').isVisible()).toBe(false)
    const address = new URL(page.url()).hash
    const other = await opened(address)
    await expect.poll(() => shown(other.page), { timeout: 30_000 }).toEqual(expected)

    // One scenario alone: its own column follows, the others stay as the files have them.
    await page.locator('#reset-all').click()
    const stated = (await compared()) as Record<string, string>
    await expect.poll(() => shown(page)).toEqual(stated)
    const name = choices().scenarios[2]?.name ?? ''
    await choose(
      page,
      'transport',
      choices().scenarios.map((_, s) => (s === 2 ? 'groupage' : 'cheapest')),
    )
    const alone = (await compared('--set', 'transport=groupage')) as Record<string, string>
    const now = await shown(page)
    for (const [key, text] of Object.entries(now))
      if (key.startsWith(`${name}: `)) expect(text, key).toBe(alone[key])
    expect(now[`${name}: cost.total`]).not.toBe(stated[`${name}: cost.total`])
    for (const key of Object.keys(stated))
      if (now[key] !== undefined && !key.startsWith(name)) expect(now[key], key).toBe(stated[key])
    expect(await page.locator('#rows-text').inputValue()).toBe(
      `id,${choices()
        .scenarios.map((one) => one.name)
        .join(',')}\ntransport,cheapest,cheapest,groupage`,
    )
    expect([...complaints, ...other.complaints]).toEqual([])
    await page.close()
    await other.page.close()
  }, 120_000)

  it('says what cannot be planned, and goes on', async () => {
    const { page } = await opened()
    const early = choices().scenarios.map(() => '2026-12-20')
    const said = await choose(page, 'import-on', early)
    const expected = await compared('--set', 'import-on=2026-12-20')
    if (typeof expected === 'string') expect(said).toMatch(/^That cannot be planned/)
    else expect(await shown(page)).toEqual(expected)
    await page.locator('#reset-all').click()
    expect(await page.locator('#planning').textContent()).toBe('')
    await page.close()
  }, 60_000)

  it('axe finds nothing among the choices, and nothing sticks out at 390 and 320 px', async () => {
    for (const width of [1280, 390, 320]) {
      const { page } = await opened('#1:cover=total-loss')
      await page.setViewportSize({ width, height: 800 })
      await page.evaluate(`for (const one of document.querySelectorAll('details')) one.open = true`)
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
      await page.evaluate(
        await readFile(new URL('../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8'),
      )
      const found = (await page.evaluate(
        'axe.run().then((result) => result.violations.map((one) => [one.impact, one.id, one.nodes[0].html].join(" ")))',
      )) as string[]
      expect(found).toEqual([])
      await page.close()
    }
  }, 60_000)
})
