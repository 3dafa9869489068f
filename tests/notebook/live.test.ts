import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { chromium } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { notebookToHtml, parseNotebook } from '../../src/notebook/index.js'
import { packageRoot } from '../../src/plan/open.js'

const browser = '/usr/bin/chromium'
let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'quaybook-live-'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const notebook = parseNotebook(
  readFileSync(join(packageRoot, 'notebooks', '02-container-and-cost.ipynb'), 'utf8'),
)

it('charts of an exported page answer to the pointer, under a policy of hashes, with the picture kept for paper', async () => {
  if (!existsSync(browser)) {
    console.warn('SKIPPED: /usr/bin/chromium is not installed')
    return
  }
  const script = readFileSync(join(packageRoot, 'dist', 'notebook', 'live.bundle.js'), 'utf8').trim()
  const path = join(folder, 'page.html')
  writeFileSync(path, notebookToHtml(notebook, { live: script }))
  const chrome = await chromium.launch({
    executablePath: browser,
    args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
  })
  try {
    const page = await chrome.newPage({ viewport: { width: 1000, height: 900 } })
    const complaints: string[] = []
    page.on(
      'console',
      (message) => ['error', 'warning'].includes(message.type()) && complaints.push(message.text()),
    )
    page.on('pageerror', (error) => complaints.push(String(error)))
    await page.goto(pathToFileURL(path).href)
    const bar = page.locator('.chart.shown path[aria-roledescription="bar"]').first()
    await bar.scrollIntoViewIfNeeded({ timeout: 60_000 })
    await bar.hover()
    await expect
      .poll(() => page.locator('#vg-tooltip-element').textContent(), { timeout: 20_000 })
      .toMatch(/\d/)
    expect(await page.locator('.chart .live[aria-label]').count()).toBe(await page.locator('.chart').count())
    await page.emulateMedia({ media: 'print' })
    expect(await page.locator('.chart img').first().isVisible()).toBe(true)
    expect(await page.locator('.chart .live').first().isVisible()).toBe(false)
    expect(complaints).toEqual([])
  } finally {
    await chrome.close()
  }
})

it('a page without the script holds no script and no specification', () => {
  expect(notebookToHtml(notebook)).not.toContain('<script')
})
