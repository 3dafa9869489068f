// The page in a real browser: entered, decided, saved; by keyboard; for those who listen; against hostile words.
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest'
import { recommend } from '../../src/analysis/recommend.js'
import { readPackedRooms } from '../../src/load/packed-rooms-file.js'
import { openMove, openPlansOf } from '../../src/plan/open.js'
import { CHROMIUM, startChromium, tellWithoutChromium } from '../chromium.js'
import { run } from '../command.js'
import { faultsOf, opened, PATIENCE, packed, part, settled, type Told, totalsOf } from './in-browser.js'
import { demoCopy } from './served.js'

tellWithoutChromium('the page of an open household was not tried in one')

let browser: Browser
beforeAll(async () => {
  if (CHROMIUM !== undefined) browser = await startChromium()
})
afterAll(() => browser?.close())

/** The totals that the program states for the files of a folder, by scenario. */
async function statedTotals(folder: string): Promise<Record<string, number | undefined>> {
  const plans = await openPlansOf(folder, await openMove(folder), [])
  return Object.fromEntries(
    plans.map(({ name, sheet }) => [name, sheet.cells.get('cost.total')?.value.toNumber()]),
  )
}

/** Forty lines as a household types them: number and a few letters of the name. */
const LINES: Readonly<Record<string, readonly string[]>> = {
  'Living room': [
    'sofa, three',
    '2 armchair small',
    'coffee table',
    '2 bookcase tall',
    'tv stand',
    'floor lamp',
    'rug large',
    '3 picture small',
    'hi-fi',
  ],
  Kitchen: ['fridge', '4 bar stool', 'microwave', 'coffee machine', 'dishwasher', 'serving table'],
  Bedroom: ['double bed', '2 bedside', 'wardrobe large', 'chest of drawers', 'mirror', 'dressing'],
  'Dining room': ['dining table', '6 dining chair', 'china cabinet', 'sideboard'],
  Study: ['desk large', 'office chair', 'filing cabinet two', 'computer', 'printer', 'shelf unit'],
  Store: [
    '3 suitcase',
    '6 plastic',
    'tool box',
    'ladder',
    '2 bicycle',
    'tent',
    'vacuum',
    'ironing',
    'sewing',
  ],
}

describe.skipIf(CHROMIUM === undefined)('the page', () => {
  it(
    'takes a household of 40 things from nothing, and its totals are those of the saved folder to the cent',
    PATIENCE,
    async () => {
      const folder = join(await mkdtemp(join(tmpdir(), 'quaybook-new-')), 'home')
      const one = await opened(browser, folder)
      const { page } = one
      let keys = 0
      await part(page, 'Home and people')
      await page.getByRole('button', { name: 'Begin a household here' }).click()
      for (const [label, value] of [
        ['What to call your household', 'The Quay Lane household'],
        ['From which country', 'NO'],
        ['From which town', 'Bergen'],
        ['To which country', 'PT'],
        ['To which town', 'Lisbon'],
        ['Totals in which currency', 'EUR'],
      ] as const) {
        await page.getByLabel(label, { exact: true }).fill(value)
        await page.keyboard.press('Tab')
      }
      const open = async (summary: string): Promise<void> => {
        const details = page.locator('details.part', { has: page.locator('summary', { hasText: summary }) })
        if ((await details.getAttribute('open')) === null) await details.locator('summary').first().click()
      }
      await open('People who move')
      await page.getByLabel('abroad since, person 1').fill('2019-08-01')
      await page.keyboard.press('Tab')
      await open('Exchange rates')
      for (const [n, currency, rate] of [
        [1, 'USD', '0,92'],
        [2, 'NOK', '0.0861'],
        [3, 'GBP', '1.16'],
      ] as const) {
        await page.getByRole('button', { name: 'Add rate' }).click()
        await page.getByLabel(`from, rate ${n}`, { exact: true }).fill(currency)
        await page.getByLabel(`rate, rate ${n}`, { exact: true }).fill(rate)
        await page.keyboard.press('Tab')
      }
      await part(page, 'Things')
      for (const [room, lines] of Object.entries(LINES)) {
        await page.getByLabel('Name of a new room').fill(room)
        await page.keyboard.press('Enter')
        const add = page.getByLabel(`Add to ${room}: for example 4 dining chair`)
        for (const line of lines) {
          await add.fill(line)
          await page.keyboard.press('Enter')
          keys += line.length + 1
        }
      }
      await settled(page)
      expect(await page.locator('.c-item input').count()).toBe(40)
      expect(keys / 40).toBeLessThan(14)
      await part(page, 'Choices')
      await page.getByRole('button', { name: 'Add a scenario' }).click()
      await page.getByLabel(/^Who does the work.*, Another way$/).selectOption('full')
      await settled(page)
      expect(await page.locator('.notice:not(.asked)').allTextContents()).toEqual([])
      await packed(page)
      const totals = await totalsOf(page)
      expect(await page.locator('#answers .advice').textContent()).toMatch(/^Recommended: “/)
      await page.getByRole('button', { name: 'Save' }).click()
      await page.waitForFunction(() =>
        document.querySelector('.standing')?.textContent?.includes('Everything is saved'),
      )
      expect(one.complaints).toEqual([])
      await one.close()

      const check = await run('check', folder)
      expect(check, check.err).toMatchObject({ code: 0 })
      const stated = await statedTotals(folder)
      expect(Object.keys(totals).length).toBeGreaterThanOrEqual(1)
      expect(Object.keys(totals)).toEqual(Object.keys(stated))
      for (const [name, total] of Object.entries(totals))
        expect(total.toFixed(2)).toBe(stated[name]?.toFixed(2))
      await rm(dirname(folder), { recursive: true, force: true })
    },
  )

  it(
    'packs the containers in the background, keeps what was found, and shows the totals that compare prints',
    PATIENCE,
    async () => {
      const folder = await demoCopy('student-tromso-wellington')
      await rm(join(folder, '.packed.json'), { force: true })
      const one = await opened(browser, folder)
      const { page } = one
      await packed(page)
      const count = page.getByLabel('How many', { exact: true }).first()
      await count.fill('3')
      await page.keyboard.press('Tab')
      await packed(page)
      const totals = await totalsOf(page)
      expect(await page.locator('#answers').textContent()).toContain('packed piece by piece')
      const advice = await page.locator('#answers .advice').textContent()
      await page.keyboard.press('Control+S')
      await page.waitForFunction(() =>
        document.querySelector('.standing')?.textContent?.includes('Everything is saved'),
      )
      expect(one.complaints).toEqual([])
      await one.close()

      const kept = await readPackedRooms(folder)
      expect(kept.size).toBeGreaterThanOrEqual(1)
      // Packed anew by the program itself, not with what the page kept; and it asks what the page asked.
      await rm(join(folder, '.packed.json'))
      const move = await openMove(folder)
      const plans = await openPlansOf(folder, move, [])
      for (const { name, sheet } of plans)
        expect(totals[name]?.toFixed(2)).toBe(sheet.cells.get('cost.total')?.value.toFixed(2))
      for (const [key, room] of await readPackedRooms(folder)) expect(kept.get(key)).toEqual(room)
      expect(advice).toBe(`Recommended: ${recommend(move, plans).sentence}`)
      await rm(dirname(folder), { recursive: true, force: true })
    },
  )

  test.each(['light', 'dark'] as const)(
    'has nothing that axe finds fault with, in the %s',
    PATIENCE,
    async (colorScheme) => {
      const folder = await demoCopy()
      const one = await opened(browser, folder, { colorScheme })
      const { page } = one
      await settled(page)
      const all: string[] = []
      for (const name of ['Things', 'Home and people', 'Choices', 'Papers']) {
        await part(page, name)
        await page.waitForTimeout(300)
        if (name === 'Things')
          await page
            .getByRole('button', { name: /^More about/ })
            .first()
            .click()
        all.push(...(await faultsOf(page, name)))
      }
      await part(page, 'Notebooks')
      await page.getByRole('button', { name: /^5 / }).click()
      await page.waitForSelector('.cell')
      await page.waitForTimeout(1_500)
      all.push(...(await faultsOf(page, 'Notebooks')))
      await page
        .getByRole('button', { name: /^The whole move, / })
        .first()
        .click()
      await page.waitForSelector('dialog .formula')
      all.push(...(await faultsOf(page, 'Explanation')))
      expect(all).toEqual([])
      await one.close()
      await rm(dirname(folder), { recursive: true, force: true })
    },
  )

  it(
    'goes by keyboard alone, shows what it understood, refuses what it does not, and undoes to the first bytes',
    PATIENCE,
    async () => {
      const folder = await demoCopy('student-tromso-wellington')
      const before = await readFile(join(folder, 'inventory.csv'), 'utf8')
      const one = await opened(browser, folder)
      const { page } = one
      await settled(page)
      const focused = (): Promise<string> =>
        page.evaluate(
          () =>
            document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent ?? '',
        )
      const tabTo = async (label: RegExp): Promise<void> => {
        for (let i = 0; i < 400; i++) {
          if (label.test(await focused())) return
          await page.keyboard.press('Tab')
        }
        throw new Error(`no Tab leads to ${label}`)
      }
      await page.evaluate(() => document.body.focus())
      await tabTo(/^Things$/)
      await page.keyboard.press('Enter')
      await tabTo(/^Worth today, each$/)
      const typed = async (text: string): Promise<string> => {
        await page.keyboard.press('Control+A')
        await page.keyboard.type(text)
        await page.keyboard.press('Tab')
        await page.keyboard.press('Shift+Tab')
        await page.waitForTimeout(250)
        return page.evaluate(() => {
          const input = document.activeElement as HTMLInputElement
          const word = document.getElementById(input.getAttribute('aria-describedby') ?? '')
          return `${input.value}|${input.getAttribute('aria-invalid') ?? ''}|${word?.hidden ? '' : word?.textContent}`
        })
      }
      const note = /\| *$|understood|Unlikely/
      expect(await typed('2,5')).toMatch(/^2\.5( [A-Z]{3})?\|\|/)
      expect(await typed('1.200,50')).toMatch(/^1200\.50( [A-Z]{3})?\|\|/)
      expect(await typed('1e3')).toMatch(/^1000( [A-Z]{3})?\|\|/)
      expect(await typed('1.200')).toMatch(/^1\.200\|true\|That may be 1.2 or 1200/)
      expect(await typed('lots')).toMatch(/^lots\|true\|Write a number alone/)
      await page.keyboard.press('Escape')
      expect(await typed('40')).toMatch(note)
      await settled(page)
      await page.keyboard.press('Control+S')
      await page.waitForFunction(() =>
        document.querySelector('.standing')?.textContent?.includes('Everything is saved'),
      )
      const changed = (await readFile(join(folder, 'inventory.csv'), 'utf8')).split('\n')
      expect(changed.filter((line, i) => line !== before.split('\n')[i])).toHaveLength(1)
      for (
        let i = 0;
        i < 10 && (await page.getByRole('button', { name: 'Undo', exact: true }).isEnabled());
        i++
      ) {
        await page.getByRole('button', { name: 'Undo', exact: true }).press('Enter')
        await page.waitForTimeout(200)
      }
      await page.keyboard.press('Control+S')
      await page.waitForFunction(() =>
        document.querySelector('.standing')?.textContent?.includes('Everything is saved'),
      )
      expect(await readFile(join(folder, 'inventory.csv'), 'utf8')).toBe(before)
      expect(one.complaints).toEqual([])
      await one.close()
      await rm(dirname(folder), { recursive: true, force: true })
    },
  )

  it(
    'uses every kind of control by keyboard alone: fields, selects, sliders, buttons, notebooks',
    PATIENCE,
    async () => {
      const folder = await demoCopy('student-tromso-wellington')
      const one = await opened(browser, folder)
      const { page } = one
      await settled(page)
      const tabTo = async (label: RegExp): Promise<void> => {
        for (let i = 0; i < 900; i++) {
          const [name, editing] = await page.evaluate(() => {
            const at = document.activeElement
            return [
              at?.getAttribute('aria-label') ?? at?.textContent ?? '',
              at?.closest('.cm-editor') !== null && at !== document.body,
            ] as const
          })
          if (label.test(name)) return
          // As the editor's name says: Tab alone indents there.
          if (editing) await page.keyboard.press('Escape')
          await page.keyboard.press('Tab')
        }
        throw new Error(`no Tab leads to ${label}`)
      }
      const value = (): Promise<string> =>
        page.evaluate(() => (document.activeElement as HTMLInputElement | HTMLSelectElement).value)
      /** What is shown for the whole move once an act by keyboard has been taken and planned. */
      const change = async (act: () => Promise<void>): Promise<void> => {
        const before = JSON.stringify(await totalsOf(page))
        await act()
        await page.waitForFunction(
          (old) => JSON.stringify((window as unknown as Told).quaybook.totals()) !== old,
          before,
        )
        await settled(page)
      }

      // A select and a field of the grid.
      await tabTo(/^What becomes of it/)
      const became = await value()
      await change(() => page.keyboard.press(became === 'ship' ? 'ArrowDown' : 'ArrowUp'))
      expect(await value()).not.toBe(became)
      await tabTo(/^How many$/)
      await change(async () => {
        await page.keyboard.press('Control+A')
        await page.keyboard.type('4')
        await page.keyboard.press('Enter')
      })

      // A scenario more, decided by select, switch and slider, named, dropped.
      await tabTo(/^Choices$/)
      await page.keyboard.press('Enter')
      await tabTo(/^Add a scenario$/)
      await change(() => page.keyboard.press('Enter'))
      await tabTo(/^Who does the work.*, Another way$/)
      await change(() => page.keyboard.press('ArrowDown'))
      expect(await value()).not.toBe('')
      await tabTo(/^Goods on pallets, Another way$/)
      await page.keyboard.type('yes')
      await settled(page)
      expect(await value()).toBe('yes')
      await tabTo(/^Find another input by its name$/)
      await page.keyboard.type('own.hours-a-day')
      await page.keyboard.press('Enter')
      await settled(page)
      await tabTo(/^Hours a day .*, Another way, from 2 to 8$/)
      await page.keyboard.press('End')
      await settled(page)
      await page.keyboard.press('Shift+Tab')
      expect(await value()).toBe('8')
      await tabTo(/^Name of the scenario Another way$/)
      await change(async () => {
        await page.keyboard.press('Control+A')
        await page.keyboard.type('By keyboard')
        await page.keyboard.press('Enter')
      })
      expect(Object.keys(await totalsOf(page))).toContain('By keyboard')
      await tabTo(/^Drop By keyboard$/)
      await change(() => page.keyboard.press('Space'))
      await tabTo(/^Undo$/)
      await change(() => page.keyboard.press('Enter'))
      expect(Object.keys(await totalsOf(page))).toContain('By keyboard')

      // A figure tells where it comes from, in a box that Escape closes.
      await tabTo(/^The whole move, /)
      await page.keyboard.press('Enter')
      await page.waitForSelector('dialog[open] .formula')
      await page.keyboard.press('Escape')
      await page.waitForFunction(() => document.querySelector('dialog[open]') === null)

      // A notebook is opened and a cell of it run, from its button and from within.
      await tabTo(/^Notebooks$/)
      await page.keyboard.press('Enter')
      await page.waitForSelector('#notebooks .row button')
      await tabTo(/^5 /)
      await page.keyboard.press('Enter')
      await page.waitForSelector('.cell.code')
      await tabTo(/^Run$/)
      await page.keyboard.press('Enter')
      const ran = (times: number): Promise<unknown> =>
        page.waitForFunction(
          (n) =>
            [...document.querySelectorAll('.cell.code .acts .fine')].filter(({ textContent }) =>
              /^run [1-9]/.test(textContent ?? ''),
            ).length >= n,
          times,
        )
      await ran(1)
      await tabTo(/^Add code$/)
      await page.keyboard.press('Enter')
      await page.waitForFunction(() => document.activeElement?.closest('.cm-editor') !== null)
      await page.keyboard.type('6 * 7')
      await page.keyboard.press('Shift+Enter')
      await page.waitForFunction(() =>
        [...document.querySelectorAll('.output')].some(({ textContent }) => textContent?.trim() === '42'),
      )
      await tabTo(/^Delete$/)
      expect(one.complaints).toEqual([])
      await one.close()
      await rm(dirname(folder), { recursive: true, force: true })
    },
  )

  it('runs nothing that a household writes, and asks for nothing beyond this machine', PATIENCE, async () => {
    const folder = await demoCopy('student-tromso-wellington')
    const evil = '</script><img src=x onerror=alert(1)><svg onload=alert(2)>${alert(3)}'
    const path = join(folder, 'inventory.csv')
    const text = await readFile(path, 'utf8')
    await writeFile(
      path,
      text
        .replace(/^((?:[^,]*,){2})("[^"]*"|[^,]*)/m, (m) => m)
        .replace(/\n([^,\n]+),([^,\n]+),(?:"[^"\n]*"|[^,\n]+),/, `\n$1,${evil},${evil},`),
    )
    const scenarios = join(folder, 'scenarios.csv')
    await writeFile(scenarios, (await readFile(scenarios, 'utf8')).replace(/^id,[^,\n]+/, `id,${evil}`))
    const one = await opened(browser, folder)
    const { page } = one
    await settled(page)
    expect(Object.keys(await totalsOf(page))).toContain(evil)
    for (const name of ['Home and people', 'Choices', 'Papers', 'Things']) await part(page, name)
    const add = page.getByLabel(/^Add to /).first()
    await add.fill(evil)
    await page.keyboard.press('Enter')
    await page.getByLabel('What it is').first().fill('=HYPERLINK("http://evil.example")')
    await page.keyboard.press('Tab')
    await page.waitForTimeout(500)
    expect(await page.locator('.word.wrong').first().textContent()).toContain('formula')
    expect(await page.locator('img, svg, iframe').count()).toBe(0)
    expect(one.complaints).toEqual([])
    const own = `http://127.0.0.1:${one.server.port}/`
    expect(
      one.asked.filter(
        (url) => !url.startsWith(own) && !url.startsWith('data:') && !url.startsWith('ws://127.0.0.1'),
      ),
    ).toEqual([])
    await one.close()
    await rm(dirname(folder), { recursive: true, force: true })
  })

  it('opens a folder with errors and shows them; two pages see each other’s edits', PATIENCE, async () => {
    const folder = await demoCopy('student-tromso-wellington')
    const path = join(folder, 'inventory.csv')
    const text = await readFile(path, 'utf8')
    await writeFile(path, text.replace(/,ship,/, ',sail,'))
    const one = await opened(browser, folder)
    await one.page.waitForSelector('.notice')
    expect(await one.page.locator('.notice').first().textContent()).toContain('found "sail"')
    const other = await one.context.newPage()
    await other.goto(`http://127.0.0.1:${one.server.port}/`)
    await other.waitForSelector('.notice')
    await one.page
      .locator('tr', { has: one.page.locator('.word.wrong') })
      .locator('select')
      .selectOption('ship')
    for (const page of [one.page, other]) {
      await page.waitForFunction(() => Object.keys((window as unknown as Told).quaybook.totals()).length > 0)
      expect(await page.locator('.notice:not(.asked)').count()).toBe(0)
    }
    await one.close()
    await rm(dirname(folder), { recursive: true, force: true })
  })
})
