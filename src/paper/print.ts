// Pages on paper: a Chromium of this machine prints them, where there is one.
import { execFile } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { promisify } from 'node:util'

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

/**
 * Prints a page to PDF: A4 as its style sheet says, tagged, with bookmarks from its headings. The browser runs in a
 * folder of its own that is removed, and the page it prints loads nothing.
 *
 * Throws where the browser fails or takes longer than a minute and a half.
 */
export async function printPdf(chromium: string, html: string): Promise<Uint8Array> {
  const folder = await mkdtemp(join(tmpdir(), 'quaybook-print-'))
  try {
    const [page, pdf] = [join(folder, 'page.html'), join(folder, 'page.pdf')]
    await writeFile(page, html)
    const sandbox = process.getuid?.() === 0 ? ['--no-sandbox'] : []
    await promisify(execFile)(
      chromium,
      [
        '--headless',
        ...sandbox,
        '--disable-gpu',
        '--no-first-run',
        '--disable-background-networking',
        `--user-data-dir=${join(folder, 'profile')}`,
        '--no-pdf-header-footer',
        '--generate-pdf-document-outline',
        `--print-to-pdf=${pdf}`,
        pathToFileURL(page).href,
      ],
      { timeout: PRINT_MS },
    )
    return await readFile(pdf)
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}
