// What the tests of the page in a browser share.
import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { openAssets } from '../../src/open/assets.js'
import { type OpenServer, serveFolder } from '../../src/open/server.js'

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js')
export const PATIENCE = { timeout: 240_000 }

/** What the page tells whoever measures it. */
export interface Told {
  readonly quaybook: {
    totals(): Record<string, number>
    waiting(): number
    packed(): boolean
    measured: { usable: number; delays: number[] }
  }
}

export interface Opened {
  readonly page: Page
  readonly context: BrowserContext
  readonly server: OpenServer
  readonly complaints: string[]
  readonly asked: string[]
  close(): Promise<void>
}

/** The page of a folder, with all that it complains of and asks for. */
export async function opened(
  browser: Browser,
  folder: string,
  options: Parameters<Browser['newContext']>[0] = {},
): Promise<Opened> {
  const server = await serveFolder({ folder, assets: await openAssets(), now: '2026-11-25T10:00:00Z' })
  const context = await browser.newContext({ viewport: { width: 1360, height: 900 }, ...options })
  const page = await context.newPage()
  page.setDefaultTimeout(90_000)
  const complaints: string[] = []
  const asked: string[] = []
  page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()))
  page.on('pageerror', (error) => complaints.push(String(error)))
  page.on('dialog', (dialog) => {
    complaints.push(`dialog: ${dialog.message()}`)
    void dialog.dismiss()
  })
  page.on('request', (request) => asked.push(request.url()))
  await page.goto(server.address)
  await page.waitForSelector('main')
  await page.waitForFunction(
    () =>
      document.querySelector('#items option') !== null ||
      document.querySelector('#home .notice, #home input') !== null,
  )
  return {
    page,
    context,
    server,
    complaints,
    asked,
    close: async () => {
      await context.close()
      await server.close()
    },
  }
}

/** What is shown for the whole move, by scenario. */
export const totalsOf = (page: Page): Promise<Record<string, number>> =>
  page.evaluate(() => (window as unknown as Told).quaybook.totals())

/** Waits until everything typed is confirmed and planned. */
export async function settled(page: Page): Promise<void> {
  await page.waitForTimeout(100)
  await page.waitForFunction(() => (window as unknown as Told).quaybook.waiting() === 0)
}

/** Waits until the containers of the household as it stands are packed, and the totals shown are those. */
export async function packed(page: Page): Promise<void> {
  await settled(page)
  await page.waitForFunction(() => (window as unknown as Told).quaybook.packed())
}

/** Goes to a part of the page. */
export const part = (page: Page, name: string) =>
  page.getByRole('navigation').getByRole('button', { name, exact: true }).click()

/** What axe finds fault with. */
export async function faultsOf(page: Page, where: string): Promise<string[]> {
  const hasAxe = await page.evaluate(() => 'axe' in window)
  if (!hasAxe) await page.evaluate(await readFile(AXE, 'utf8'))
  const found = await page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    return (await axe.run()).violations.map(
      ({ id, nodes }) =>
        `${id}: ${nodes
          .slice(0, 2)
          .map(({ html }) => html.slice(0, 160))
          .join(' | ')}`,
    )
  })
  return found.map((text) => `${where}: ${text}`)
}
