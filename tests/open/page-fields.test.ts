// Every field of the page: numbers as people of two places type them, hostile words, narrow and enlarged screens.
import { readFile, rm, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest'
import { CHROMIUM, startChromium, tellWithoutChromium } from '../chromium.js'
import { faultsOf, opened, PATIENCE, part, settled } from './in-browser.js'
import { demoCopy } from './served.js'

tellWithoutChromium('the fields of the page were not tried in one')

let browser: Browser
beforeAll(async () => {
  if (CHROMIUM !== undefined) browser = await startChromium()
})
afterAll(() => browser?.close())

const PARTS = ['Home and people', 'Things', 'Choices', 'Papers'] as const

/** What a field shows once something has been typed into it and left, and the word beside it. */
async function typed(page: Page, label: string, text: string): Promise<string> {
  const field = page.getByLabel(label, { exact: true }).first()
  await field.fill(text)
  await field.press('Tab')
  await settled(page)
  return field.evaluate((node: HTMLInputElement) => {
    const word = document.getElementById(node.getAttribute('aria-describedby') ?? '')
    return [node.value, node.getAttribute('aria-invalid') ?? '', word?.hidden ? '' : word?.textContent].join(
      '|',
    )
  })
}

describe.skipIf(CHROMIUM === undefined)('fields of the page', () => {
  test.each(['de-DE', 'en-US'])(
    'understand numbers in a browser of %s, or refuse them with a word, and change none in silence',
    PATIENCE,
    async (locale) => {
      const folder = await demoCopy('student-tromso-wellington')
      const one = await opened(browser, folder, { locale })
      const { page } = one
      await settled(page)
      await page
        .getByRole('button', { name: /^More about/ })
        .first()
        .click()
      for (const [label, text, shown] of [
        ['Worth today, each', '2,5', /^2\.5\|\|/],
        ['Worth today, each', '2.5', /^2\.5\|\|/],
        ['Worth today, each', '1.200,50', /^1200\.50\|\|understood as 1200\.50/],
        ['Worth today, each', '1,200.50', /^1200\.50\|\|/],
        ['Worth today, each', '1e3', /^1000\|\|understood as 1000/],
        ['Worth today, each', '1.200', /^1\.200\|true\|That may be 1\.2 or 1200/],
        ['Worth today, each', '-1', /^-1\|true\|An amount is 0 or more/],
        ['Mass of one, kg', '2,5', /^2\.5\|\|/],
        ['Mass of one, kg', '9999', /^9999\|true\|A mass is from 0 to 5000 kg; this is 9999/],
        ['How many', '99999', /^99999\|true\|A number of things is from 0 to 10000; this is 99999/],
        ['How many', '999', /^999\|\|/],
      ] as const)
        expect(await typed(page, label, text), `${label}: ${text}`).toMatch(shown)
      await part(page, 'Home and people')
      for (const [text, shown] of [
        ['2,5', /^2\.5\|\|/],
        ['1.200', /^1\.200\|true\|That may be/],
        ['a few', /^a few\|true\|Write a number alone/],
      ] as const)
        expect(await typed(page, 'What an hour of your own work is worth to you', text)).toMatch(shown)
      expect(one.server.desk.texts['household.csv']).toMatch(/own_hour_value,2\.5/)
      expect(one.complaints).toEqual([])
      await one.close()
      await rm(dirname(folder), { recursive: true, force: true })
    },
  )

  it('show days as the file means them, and what a blank cell comes to', PATIENCE, async () => {
    const folder = await demoCopy('student-tromso-wellington')
    const facts = await readFile(`${folder}/household.csv`, 'utf8')
    await writeFile(`${folder}/household.csv`, facts.replace(/^load_on,.*$/m, 'load_on,27/02/2027,'))
    const rows = [
      'line,room,item,quantity,item_code,take',
      'A,Hall,Upright,1,piano-upright,',
      'B,Hall,Bin,1,tote,leave',
    ]
    await writeFile(`${folder}/inventory.csv`, `${rows.join('\n')}\n`)
    const one = await opened(browser, folder)
    const { page } = one
    await part(page, 'Home and people')
    expect(await page.getByLabel('The day the container is loaded').inputValue()).toBe('2027-02-27')
    await part(page, 'Things')
    expect(await page.locator('#things h3').first().textContent()).toBe('Hall 2 lines, 1 not shipped')
    await page.getByRole('button', { name: 'More about Upright' }).click()
    expect(
      await page
        .getByLabel('Kind for customs (goods class)', { exact: true })
        .first()
        .getAttribute('placeholder'),
    ).toBe('pianos, usual')
    await one.close()
    await rm(dirname(folder), { recursive: true, force: true })
  })

  it('take hostile words as words, every one of them', { timeout: 600_000 }, async () => {
    const folder = await demoCopy('student-tromso-wellington')
    const one = await opened(browser, folder)
    const { page } = one
    await settled(page)
    const evil = '"><img src=x onerror=alert(1)><svg onload=alert(2)><script>alert(3)</script>'
    let tried = 0
    for (const name of [...PARTS, 'Notebooks']) {
      await part(page, name)
      await page.waitForTimeout(200)
      for (const more of await page.locator('main details:not([open]) > summary').all())
        if (await more.isVisible()) await more.click()
      if (name === 'Things')
        await page
          .getByRole('button', { name: /^More about/ })
          .first()
          .click()
      // Filled one after another without waiting for answers, as nobody could: the last ones of a long list are alike.
      const fields = await page.locator('main input[type=text]:visible, main textarea:visible').all()
      for (const field of fields.slice(0, 40)) {
        if (!(await field.isVisible().catch(() => false))) continue
        await field.fill(evil, { timeout: 5_000 }).catch(() => undefined)
        await field.press('Enter', { timeout: 5_000 }).catch(() => undefined)
        tried += 1
      }
    }
    await settled(page)
    for (const name of PARTS) await part(page, name)
    expect(tried).toBeGreaterThan(50)
    expect(Object.values(one.server.desk.texts).some((text) => text.includes('onerror=alert(1)'))).toBe(true)
    expect(await page.locator('main img, main svg, main script, main iframe').count()).toBe(0)
    expect(one.complaints).toEqual([])
    await one.close()
    await rm(dirname(folder), { recursive: true, force: true })
  })

  test.each([
    ['a phone, in the dark', { viewport: { width: 390, height: 844 }, colorScheme: 'dark' }],
    ['a phone', { viewport: { width: 390, height: 844 }, hasTouch: true }],
    // Enlarged to 200 %, 1,280 pixels of a screen are 640 of the page.
    ['200 % zoom', { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 }],
  ] as const)(
    'need no sideways scrolling of the page, and nothing that axe finds fault with, on %s',
    PATIENCE,
    async (what, options) => {
      const folder = await demoCopy('student-tromso-wellington')
      const one = await opened(browser, folder, options)
      const { page } = one
      await settled(page)
      const faults: string[] = []
      for (const name of PARTS) {
        await part(page, name)
        await page.waitForTimeout(300)
        const over = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        )
        // The totals are in view wherever one types, not only below.
        const bar = await page.locator('button.totals').boundingBox()
        if (!bar || bar.y + bar.height > options.viewport.height + 1)
          faults.push(`${name}: no totals in view`)
        if (over > 0) faults.push(`${name}: ${over} px wider than the screen`)
        faults.push(...(await faultsOf(page, name)))
        const shots = process.env.QUAYBOOK_SHOTS
        if (shots !== undefined)
          await page.screenshot({ path: `${shots}/${what}-${name}.png`.replaceAll(' ', '-'), fullPage: true })
      }
      expect(faults).toEqual([])
      expect(one.complaints).toEqual([])
      await one.close()
      await rm(dirname(folder), { recursive: true, force: true })
    },
  )
})
