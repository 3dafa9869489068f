// The browser of the tests, where the machine has one.
import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

/** Chromium as Debian and others install it; undefined where there is none. */
export const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
  existsSync,
)

/** Says on the console that tests are left out for want of a browser, if they are. */
export function tellWithoutChromium(what: string): void {
  if (CHROMIUM === undefined) console.warn(`SKIPPED: no Chromium found (Debian: chromium); ${what}`)
}

export const startChromium = (): Promise<Browser> =>
  chromium.launch({
    ...(CHROMIUM === undefined ? {} : { executablePath: CHROMIUM }),
    args: ['--no-sandbox', '--disable-gpu'],
  })
