import { createHash } from 'node:crypto'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest'
import { recommend } from '../../src/analysis/index.js'
import { exploreData } from '../../src/explore/data.js'
import { exploreAssets, explorePage, writeExplore } from '../../src/explore/index.js'
import { Calculator } from '../../src/explore/state.js'
import { carriageOf, rowText } from '../../src/explore/words.js'
import { type Move, type Plan, planOf } from '../../src/plan/index.js'
import { moveOf, plansOf } from '../brief/household.js'
import { CHROMIUM, startChromium, tellWithoutChromium } from '../chromium.js'

tellWithoutChromium('the page of trade-offs was not tried in one')

let move: Move
let plans: readonly Plan[]
let html: string
let folder: string
let file: string

beforeAll(async () => {
  move = await moveOf('valparaiso-gdynia')
  plans = plansOf(move)
  folder = await mkdtemp(join(tmpdir(), 'quaybook-explore-'))
  file = await writeExplore(join(folder, 'explore.html'), move, plans, { folder: 'valparaiso-gdynia' })
  html = await readFile(file, 'utf8')
})
afterAll(() => rm(folder, { recursive: true, force: true }))

const hashOf = (text: string): string => `'sha256-${createHash('sha256').update(text).digest('base64')}'`

describe('the file', () => {
  it('allows one script and one style sheet, each by its hash, and nothing else', () => {
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(html)?.[1] ?? ''
    const style = /<style>([\s\S]*?)<\/style>/.exec(html)?.[1] ?? ''
    const scripts = [...html.matchAll(/<script>([\s\S]*?)<\/script>/g)].map((match) => match[1] ?? '')
    expect(scripts).toHaveLength(1)
    expect(policy.split('; ')).toEqual([
      "default-src 'none'",
      `script-src ${hashOf(scripts[0] ?? '')}`,
      `style-src ${hashOf(style)}`,
      'img-src data:',
      "base-uri 'none'",
      "form-action 'none'",
    ])
    expect(scripts[0]).not.toMatch(/\beval\(|new Function\(|<\/script/)
    // The script's own text is minified and may hold anything; what is markup may not.
    const markup = html.replace(scripts[0] ?? '', '')
    expect(/ style="| on[a-z]+="|<a |https?:\/\//.exec(markup)?.[0]).toBeUndefined()
  })

  it('is the same text twice and small enough to mail', () => {
    expect(explorePage(move, plans, { folder: 'valparaiso-gdynia', assets: exploreAssets() })).toBe(html)
    // Every carriage is worked out side by side, in formulas that the page carries.
    expect(html.length).toBeLessThan(900_000)
  })

  it('holds the totals and every input with its source to be read without script', () => {
    for (const plan of plans) {
      const total = plan.sheet.cells.get('cost.total')?.value.toNumber() ?? 0
      expect(html).toContain(`>${rowText({ id: '', label: '', unit: 'EUR', decimals: 2 }, total)}</td>`)
    }
    expect(html).toContain('<noscript>')
    expect(html).toContain('no advice')
  })

  it('keeps text of the household from becoming markup or ending the script', async () => {
    const hostile = '</script><script>alert(1)</script><b title="x">\u2028'
    const odd = await moveOf('valparaiso-gdynia', (csv) =>
      csv.file.endsWith('scenarios.csv')
        ? { ...csv, text: csv.text.replace('Share the work', '</script><script>alert(1)</script><b>') }
        : csv.file.endsWith('household.csv')
          ? {
              ...csv,
              text: csv.text.replace('The Cerro house household', '</script><script>alert(1)</script><b>'),
            }
          : csv,
    )
    const page = explorePage(odd, plansOf(odd), { folder: hostile, assets: exploreAssets() })
    expect(page).not.toContain('<script>alert')
    expect(page).not.toContain('<b>')
    expect(page.match(/<\/script/g)).toHaveLength(2)
  })

  it('refuses an input that is not there and names the nearest', () => {
    expect(() =>
      explorePage(move, plans, { inputs: ['price.fuel-surcharg'], assets: exploreAssets() }),
    ).toThrow('unknown input "price.fuel-surcharg"; nearest: price.fuel-surcharge')
  })
})

describe.skipIf(CHROMIUM === undefined)('in a browser', () => {
  let browser: Browser
  beforeAll(async () => {
    browser = await startChromium()
  })
  afterAll(() => browser.close())

  async function opened(
    hash = '',
    options: Parameters<Browser['newPage']>[0] = {},
  ): Promise<{ page: Page; complaints: string[] }> {
    const page = await browser.newPage({ viewport: { width: 1280, height: 900 }, ...options })
    const complaints: string[] = []
    page.on('console', (message) => complaints.push(message.text()))
    page.on('pageerror', (error) => complaints.push(error.message))
    page.on('request', (made) => {
      if (!made.url().startsWith('file:')) complaints.push(made.url())
    })
    await page.goto(`${pathToFileURL(file)}${hash}`)
    return { page, complaints }
  }

  it('follows the keyboard on a slider, to the cent of the exact plan, and keeps it in the address', async () => {
    const { page, complaints } = await opened()
    await page.locator('[id="r-own.people"]').focus()
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('ArrowRight')
    await page.locator('[id="n-delay.days"]').fill('9')
    await expect.poll(() => new URL(page.url()).hash).toBe('#delay.days=9&own.people=4')
    for (const [s, plan] of plans.entries()) {
      const again = planOf(move, plan.name, [
        ...plan.changes,
        { id: 'delay.days', value: '9' },
        { id: 'own.people', value: '4' },
      ])
      if (!again.ok) throw new Error('not planned')
      const total = again.value.sheet.cells.get('cost.total')?.value.toNumber() ?? 0
      expect(await page.locator(`[data-cell="${s} cost.total"]`).textContent()).toBe(
        rowText({ id: '', label: '', unit: 'EUR', decimals: 2 }, total),
      )
    }
    expect(await page.locator('#spoken').textContent()).toMatch(/^At these inputs/)
    expect(await page.locator('#set-text').inputValue()).toBe(
      'npm run -s quaybook -- explore valparaiso-gdynia --set delay.days=9 --set own.people=4',
    )
    const before = await page.locator('tbody').textContent()
    const link = page.url()
    await page.locator('#reset-all').click()
    await expect.poll(() => new URL(page.url()).hash).toBe('')
    expect(await page.locator('tbody').textContent()).not.toBe(before)
    const other = await opened(new URL(link).hash)
    expect(await other.page.locator('tbody').textContent()).toBe(before)
    expect([...complaints, ...other.complaints]).toEqual([])
    await page.close()
    await other.page.close()
  })

  it('says what is wrong with a number it does not take, and goes on with the last good one', async () => {
    const { page } = await opened()
    const field = page.locator('[id="n-delay.days"]')
    await field.fill('99')
    expect(await field.getAttribute('aria-invalid')).toBe('true')
    expect(await page.locator('[id="w-delay.days"]').isVisible()).toBe(true)
    await field.blur()
    // The field shows the recommended scenario's value, which is the last one taken.
    const shown = recommend(move, plans).plan.inputs.numbers.get('delay.days')?.likely.toString()
    expect(await field.inputValue()).toBe(shown)
    expect(await field.getAttribute('aria-invalid')).toBeNull()
    await page.close()
  })

  it('says which carriage is the cheapest whole move where moved inputs change it', async () => {
    const data = exploreData(move, plans)
    const calculator = new Calculator(data)
    const carriages = (moved: ReadonlyMap<string, string>) =>
      calculator.figures(moved).map((of, s) => {
        const scenario = data.scenarios[s]
        return scenario && carriageOf(scenario, of)
      })
    const planned = carriages(new Map()).join()
    const change = data.inputs
      .flatMap(({ id, min, max }) => [min, max].map((value) => [id, value] as const))
      .find(([id, value]) => carriages(new Map([[id, value]])).join() !== planned)
    if (!change) throw new Error('no input of this page changes a carriage')
    const { page } = await opened(`#${change[0]}=${change[1]}`)
    expect(await page.locator('#notes li').allTextContents()).toContainEqual(
      expect.stringContaining('is the cheapest whole move, instead of'),
    )
    await page.close()
  })

  test.each([
    ['desktop', 1280, ''],
    ['desktop, moved', 1280, '#volume.carton-fill=0.75&delay.days=12'],
    ['phone', 390, '#volume.carton-fill=0.75'],
    ['narrow phone', 320, '#volume.carton-fill=0.75'],
  ])('axe finds nothing and nothing sticks out: %s', async (_name, width, hash) => {
    const { page, complaints } = await opened(hash, { viewport: { width, height: 800 } })
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
    await page.evaluate(
      await readFile(new URL('../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8'),
    )
    const found = (await page.evaluate(
      'axe.run().then((result) => result.violations.map((one) => [one.impact, one.id, one.nodes[0].html].join(" ")))',
    )) as string[]
    expect(found).toEqual([])
    expect(complaints).toEqual([])
    await page.close()
  })

  it('reads without script: totals, table and inputs, none of which pretends to move', async () => {
    const { page } = await opened('', { javaScriptEnabled: false })
    expect(await page.locator('noscript').textContent()).toContain('switched off')
    expect(await page.locator('[id="r-delay.days"]').isDisabled()).toBe(true)
    expect(await page.locator('[data-cell="0 cost.total"]').textContent()).toMatch(/^[\d,]+\.\d\d$/)
    await page.close()
  })

  it('ends after a thousand quick movements where a page opened at that place begins', async () => {
    const { page } = await opened()
    const ends = (await page.evaluate(`(() => {
      const ranges = [...document.querySelectorAll('input[type=range]')]
      for (let k = 0; k < 1000; k++) {
        const range = ranges[k % ranges.length]
        range.value = String(Number(range.min) + (Number(range.max) - Number(range.min)) * ((k * 37) % 101) / 100)
        range.dispatchEvent(new Event('input', { bubbles: true }))
      }
      return ranges.map((range) => range.id.slice(2) + '=' + range.value)
    })()`)) as string[]
    expect(ends.length).toBeGreaterThan(10)
    const ended = await page.locator('tbody').textContent()
    const { page: other } = await opened(`#${ends.join('&')}`)
    await expect.poll(() => other.locator('tbody').textContent()).toBe(ended)
    await page.close()
    await other.close()
  })
})
