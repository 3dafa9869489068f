// Pages on paper: a Chromium of this machine prints them, where there is one.
import { existsSync } from 'node:fs'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { pathToFileURL } from 'node:url'

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome', 'msedge']
const PLACES = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
]
const PRINT_MS = 90_000

/**
 * The browser that prints: the one that the variable CHROMIUM names, else the first on the search path or in the usual
 * places; undefined where there is none.
 */
export function chromiumPath(environment: NodeJS.ProcessEnv = process.env): string | undefined {
  if (environment.CHROMIUM !== undefined)
    return existsSync(environment.CHROMIUM) ? environment.CHROMIUM : undefined
  const onPath = (environment.PATH ?? '')
    .split(delimiter)
    .filter((folder) => folder !== '')
    .flatMap((folder) => NAMES.map((name) => join(folder, name)))
  return [...onPath, ...PLACES].find((path) => existsSync(path))
}

/** Prints a page to PDF: A4 as its style sheet says, tagged, with bookmarks from its headings. */
export type Print = (html: string) => Promise<Uint8Array>

/**
 * Starts a browser, hands over what prints with it, and ends it. It runs in folders of its own that are removed, and the
 * pages it prints load nothing.
 *
 * Throws where the browser does not start, fails, or takes longer than a minute and a half over a page.
 */
export async function withPrinter<T>(chromium: string, use: (print: Print) => Promise<T>): Promise<T> {
  const { chromium: browsers } = await import('playwright-core')
  const folder = await mkdtemp(join(tmpdir(), 'quaybook-print-'))
  const browser = await browsers.launch({
    executablePath: chromium,
    chromiumSandbox: process.getuid?.() !== 0,
    timeout: PRINT_MS,
  })
  try {
    return await use(async (html) => {
      const file = join(folder, 'page.html')
      await writeFile(file, html)
      const page = await browser.newPage()
      page.setDefaultTimeout(PRINT_MS)
      await page.goto(pathToFileURL(file).href)
      const pdf = await page.pdf({
        printBackground: true,
        preferCSSPageSize: true,
        tagged: true,
        outline: true,
      })
      await page.close()
      return pdf
    })
  } finally {
    await browser.close()
    await rm(folder, { recursive: true, force: true })
  }
}
