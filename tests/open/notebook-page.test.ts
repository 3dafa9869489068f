// Notebooks on the page of an open household, in a real browser with a real kernel.
import { readFile, rm, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Notebook, notebookToHtml } from '../../src/notebook/index.js'
import { CHROMIUM, startChromium, tellWithoutChromium } from '../chromium.js'
import { faultsOf, opened, part, settled, totalsOf } from './in-browser.js'
import { demoCopy } from './served.js'

tellWithoutChromium('notebooks on the page of an open household were not tried in one')

let browser: Browser
beforeAll(async () => {
  if (CHROMIUM !== undefined) browser = await startChromium()
})
afterAll(() => browser?.close())

describe.skipIf(CHROMIUM === undefined)('notebooks on the page', () => {
  it('runs notebooks: an endless loop is stopped, much output is cut, an ended kernel is told', {
    timeout: 600_000,
  }, async () => {
    const folder = await demoCopy()
    const one = await opened(browser, folder)
    const { page } = one
    await part(page, 'Notebooks')
    await page.getByLabel('Title of a new notebook').fill('Mine')
    await page.getByRole('button', { name: 'Begin', exact: true }).click()
    await page.waitForSelector('.cell.code')
    await page.getByRole('button', { name: 'Run all' }).click()
    await page.locator('.output table').first().waitFor()
    const shown = await page.locator('.output table').first().textContent()
    for (const name of Object.keys(await totalsOf(page))) expect(shown).toContain(name)
    // Not the same totals as the page: openHousehold asks the packer, the page chooses the container by volume.
    // A change of the household makes the cells that hang on it out of date.
    await part(page, 'Things')
    await page.getByLabel('How many', { exact: true }).first().fill('2')
    await page.keyboard.press('Tab')
    await settled(page)
    await part(page, 'Notebooks')
    expect(await page.locator('.cell.stale').count()).toBeGreaterThanOrEqual(2)
    await page.getByRole('button', { name: /^Run the \d+ out of date again/ }).click()
    await page.waitForFunction(() => document.querySelectorAll('.cell.stale').length === 0)
    await page.waitForTimeout(500)
    const cell = page.locator('.cell.code').last()
    const state = cell.locator('.acts .fine')
    const type = async (code: string): Promise<void> => {
      await cell.locator('.cm-content').click()
      await page.keyboard.press('Control+A')
      await page.keyboard.insertText(code)
      await page.keyboard.press('Shift+Enter')
    }
    await page.waitForFunction(
      () => !/waiting|running/.test(document.querySelector('.cells')?.textContent ?? ''),
    )
    // What is typed is read by the compiler before it runs.
    await cell.locator('.cm-content').click()
    await page.keyboard.press('Control+A')
    await page.keyboard.insertText('const wrong: number = plans')
    await cell.locator('.checks li').waitFor()
    expect(await cell.locator('.checks').textContent()).toMatch(/^Line 1: Type .* is not assignable/)
    await type('while (true) {}')
    await page.waitForFunction(() =>
      [...document.querySelectorAll('.cell .fine')].at(-1)?.textContent?.includes('running'),
    )
    await page.getByRole('button', { name: 'Interrupt' }).click()
    await page.waitForFunction(() =>
      [...document.querySelectorAll('.cell .fine')].at(-1)?.textContent?.includes('ended with an error'),
    )
    await type("for (let i = 0; i < 200000; i++) console.log('line ' + i)")
    await page.waitForFunction(
      () => document.querySelector('.cells')?.textContent?.includes('more characters are left out'),
      null,
      { timeout: 120_000 },
    )
    expect((await page.locator('.output pre').last().textContent())?.length).toBeLessThan(500_000)
    await type('process.exit(3)')
    await page.waitForFunction(() =>
      /ended by itself with code 3/.test(document.querySelector('.cells')?.textContent ?? ''),
    )
    expect(await state.textContent()).toContain('error')
    await page.waitForTimeout(1_500)
    const saved = JSON.parse(await readFile(join(folder, 'notebooks', 'mine.ipynb'), 'utf8')) as {
      nbformat_minor: number
      cells: unknown[]
    }
    expect(saved.nbformat_minor).toBe(5)
    expect(one.complaints).toEqual([])
    await one.close()
    await rm(dirname(folder), { recursive: true, force: true })
  })

  it('shows inputs as fields of the sheet where this page’s kernel made them, and as a table to read elsewhere', {
    timeout: 600_000,
  }, async () => {
    const folder = await demoCopy('student-tromso-wellington')
    const hostile = '<img src=x onerror=alert(1)>'
    const inventory = join(folder, 'inventory.csv')
    const lines = await readFile(inventory, 'utf8')
    await writeFile(inventory, lines.replace('"Desk, folding, birch"', hostile))
    const scenarios = await readFile(join(folder, 'scenarios.csv'), 'utf8')
    const one = await opened(browser, folder)
    const { page } = one
    await settled(page)
    await part(page, 'Notebooks')
    await page.getByLabel('Title of a new notebook').fill('Mine')
    await page.getByRole('button', { name: 'Begin', exact: true }).click()
    await page.waitForSelector('.cell.code')
    const type = async (cell: number, code: string): Promise<void> => {
      await page.locator('.cell.code').nth(cell).locator('.cm-content').click()
      await page.keyboard.press('Control+A')
      await page.keyboard.insertText(code)
    }
    await type(
      1,
      "import { openHousehold, showInputs } from 'quaybook'\nconst { move, plans } = await openHousehold(household, set)\nundefined",
    )
    await type(
      2,
      "showInputs(move, plans, ['cost.origin.wage', 'delay.days', 'service-level', 'line.R-02.quantity'])",
    )
    await page.getByRole('button', { name: 'Run all' }).click()
    const table = page.locator('.cell.code').nth(2).locator('.outputs table')
    await table.locator('input').first().waitFor()
    const text = (file: string): string | undefined => one.server.desk.texts[file]
    const field = (name: string) => table.getByLabel(name, { exact: true })
    const scenario = 'Shared, packed for me'
    const wage = field(`Hourly wage of 2022, movers, Norway, ${scenario}`)
    const days = field(`Days that the release is late: examination, congestion, papers, ${scenario}`)

    // Named, in the order of reading, and led through by Tab.
    expect(await faultsOf(page, 'Notebook with inputs')).toEqual([])
    await wage.focus()
    await page.keyboard.press('Tab')
    const label = (): Promise<string | null | undefined> =>
      page.evaluate(() => document.activeElement?.getAttribute('aria-label'))
    expect(await label()).toMatch(
      /^Hourly wage of 2022, movers, Norway, Shared, packed for me, from 185.5 to 235$/,
    )

    // What is not understood is refused beside the field, and nothing is edited.
    for (const [typed, word] of [
      ['1.200', /^That may be 1.2 or 1200/],
      ['-1', /^Write 0 or more/],
      ['much', /^Write a number alone/],
    ] as const) {
      await wage.fill(typed)
      await page.keyboard.press('Enter')
      await page.keyboard.press('Tab')
      expect(await table.locator('.word.wrong').first().textContent()).toMatch(word)
      expect(text('scenarios.csv')).toBe(scenarios)
    }

    // What is understood is an edit of the sheet: totals follow, and every cell that hangs on it is out of date.
    const before = await totalsOf(page)
    await wage.fill('1.300,5')
    await page.keyboard.press('Tab')
    await settled(page)
    expect(text('scenarios.csv')).toContain('cost.origin.wage,,1300.5,')
    expect((await totalsOf(page))[scenario]).not.toBe(before[scenario])
    expect(await wage.inputValue()).toBe('1300.5')
    const stale = page.locator('.cell.stale')
    expect(await stale.count()).toBe(3)
    await table.getByLabel(`Who does the work, ${scenario}`, { exact: true }).selectOption('diy')
    await days.fill('4')
    await page.keyboard.press('Tab')
    await settled(page)
    await part(page, 'Choices')
    expect(
      await page
        .locator('#choices')
        .getByLabel(/^Hourly wage of 2022, movers, Norway, Shared, packed for me$/)
        .inputValue(),
    ).toBe('1300.5')
    expect(
      await page
        .locator('#choices')
        .getByLabel(/^Days that the release is late.*, Shared, packed for me$/)
        .inputValue(),
    ).toBe('4')

    // Taken back like any edit; the table shows it without being run again.
    await part(page, 'Notebooks')
    for (let i = 0; i < 3; i++) {
      await page.getByRole('button', { name: 'Undo', exact: true }).click()
      await settled(page)
    }
    expect(text('scenarios.csv')).toBe(scenarios)
    expect(await wage.inputValue()).toBe('')
    expect(await totalsOf(page)).toEqual(before)

    // Words of the household stay words; what belongs to one line is read here and typed under Things.
    expect(await table.textContent()).toContain(hostile)
    expect(await page.locator('.outputs img').count()).toBe(0)
    expect(await table.locator('tbody tr').last().locator('input, select').count()).toBe(0)

    // The file holds a table to read; so does the page where it shows the file and not the kernel's own output.
    await page.waitForTimeout(1_500)
    const saved = JSON.parse(await readFile(join(folder, 'notebooks', 'mine.ipynb'), 'utf8')) as Notebook
    const output = saved.cells.flatMap((cell) => (cell.cell_type === 'code' ? cell.outputs : [])).at(-1)
    const html = output?.output_type === 'display_data' ? String(output.data['text/html']) : ''
    expect(html).toContain('<caption>Inputs, as each scenario has them')
    expect(html).not.toMatch(/<(input|select|img|script)/)
    expect(notebookToHtml(saved)).toContain('Inputs, as each scenario has them')
    await page.reload()
    await page.getByRole('button', { name: 'Mine (yours)' }).click()
    await table.waitFor()
    expect(await table.textContent()).toContain(hostile)
    expect(await table.locator('input, select').count()).toBe(0)
    expect(one.complaints).toEqual([])
    await one.close()
    await rm(dirname(folder), { recursive: true, force: true })
  })
})
