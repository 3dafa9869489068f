// The page of an open household, in Chromium: node tests/bench/run.mjs open [--edits 60] [--lines 500]
// Time from the command to the first usable page; time from an edit to the totals on the screen; weight; memory.
import { spawn } from 'node:child_process'
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium, type Page } from 'playwright-core'

const option = (name: string, usual: number): number => {
  const at = process.argv.indexOf(`--${name}`)
  return at < 0 ? usual : Number(process.argv[at + 1])
}

interface Told {
  readonly quaybook: {
    waiting(): number
    measured: { usable: number; delays: number[]; sure: number[]; plans: number[]; whole: number[] }
  }
}

/** The median and the 95th of a hundred. */
function spread(values: readonly number[]): string {
  const sorted = values.toSorted((a, b) => a - b)
  const at = (share: number): string =>
    (sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN).toFixed(0)
  return `p50 ${at(0.5)} ms, p95 ${at(0.95)} ms of ${sorted.length}`
}

const memory = (pid: number): string => {
  const line = /^VmRSS:\s+(\d+)/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))
  return `${Math.round(Number(line?.[1] ?? 0) / 1024)} MB`
}

/** Processes that this run started, and those that they did, with such a word in their command. */
function ours(word: string): number[] {
  const own = new Set([process.pid])
  const pids = readdirSync('/proc').map(Number).filter(Number.isInteger)
  const facts = pids
    .toSorted((a, b) => a - b)
    .flatMap((pid) => {
      try {
        const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
        const parent = Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1])
        return [{ pid, parent, command: readFileSync(`/proc/${pid}/cmdline`, 'utf8') }]
      } catch {
        return [] // ended meanwhile
      }
    })
  for (const { pid, parent } of facts) if (own.has(parent)) own.add(pid)
  return facts.flatMap(({ pid, command }) => (own.has(pid) && command.includes(word) ? [pid] : []))
}

/** Runs the cells of a new notebook, which open the household and compare its scenarios. */
async function runNotebook(page: Page): Promise<void> {
  await page.getByRole('navigation').getByRole('button', { name: 'Notebooks', exact: true }).click()
  await page.getByLabel('Title of a new notebook').fill('Bench')
  await page.getByRole('button', { name: 'Begin', exact: true }).click()
  await page.getByRole('button', { name: 'Run all' }).click()
  await page.locator('.output table').first().waitFor()
}

/** The demo household, with its lines repeated until there are so many. */
function household(lines: number): string {
  const folder = join(mkdtempSync(join(tmpdir(), 'quaybook-bench-')), 'valparaiso-gdynia')
  cpSync('data/households/valparaiso-gdynia', folder, { recursive: true })
  const path = join(folder, 'inventory.csv')
  const [head = '', ...rows] = readFileSync(path, 'utf8').trimEnd().split('\n')
  const more = Array.from({ length: Math.max(0, lines - rows.length) }, (_, i) => {
    const row = rows[i % rows.length] ?? ''
    return row.replace(/^[^,]+/, (mark) => `${mark}x${i}`)
  })
  if (more.length > 0) writeFileSync(path, `${[head, ...rows, ...more].join('\n')}\n`)
  return folder
}

async function edits(page: Page, count: number): Promise<number[]> {
  const done = (): Promise<number> =>
    page.evaluate(() => (window as unknown as Told).quaybook.measured.sure.length)
  const after = async (act: () => Promise<unknown>): Promise<void> => {
    const before = await done()
    await act()
    await page.waitForFunction((n) => (window as unknown as Told).quaybook.measured.sure.length > n, before)
  }
  for (let i = 0; i < count; i++) {
    const kind = i % 4
    if (kind === 0) {
      const field = page.getByLabel('How many', { exact: true }).nth(i % 40)
      const [now, next] = [await field.inputValue(), String(2 + (i % 7))]
      await after(async () => {
        // Another number than stands there, or there would be no edit to wait for.
        await field.fill(next === now ? '9' : next)
        await field.press('Tab')
      })
    } else if (kind === 1) {
      const take = page.getByLabel(/^What becomes of it/).nth(i % 40)
      const now = await take.inputValue()
      await after(() => take.selectOption(now === 'ship' ? 'leave' : 'ship'))
    } else if (kind === 2) {
      // Structural: a line more.
      const add = page.getByLabel(/^Add to /).first()
      await after(async () => {
        await add.fill('2 dining chair')
        await add.press('Enter')
      })
    } else await after(() => page.getByRole('button', { name: 'Undo', exact: true }).click())
  }
  return page.evaluate(() => (window as unknown as Told).quaybook.measured.delays)
}

const folder = household(option('lines', 0))
const started = performance.now()
const server = spawn(process.execPath, ['dist/cli/bin.js', 'open', folder, '--no-browser'], {
  stdio: ['ignore', 'pipe', 'inherit'],
})
const browserReady = chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu'],
})
const address = await new Promise<string>((resolve) => {
  server.stdout.on('data', (chunk: Buffer) => {
    const found = /http:\S+/.exec(String(chunk))
    if (found) resolve(found[0])
  })
})
const served = performance.now() - started
const browser = await browserReady
const page = await browser.newPage({ viewport: { width: 1360, height: 900 } })
page.setDefaultTimeout(60_000)
let weight = 0
page.on(
  'response',
  (response) =>
    void response.body().then(
      (body) => (weight += body.length),
      () => undefined,
    ),
)
const asked = performance.now()
await page.goto(address)
await page.waitForFunction(() => (window as unknown as Told).quaybook?.measured.usable > 0)
const usable = performance.now() - asked
await page.waitForTimeout(1_000)
const first = weight
const delays = await edits(page, option('edits', 60))
const { plans, sure, whole } = await page.evaluate(() => (window as unknown as Told).quaybook.measured)
const nodes = await page.evaluate(() => document.querySelectorAll('*').length)
console.log(`command to address          ${served.toFixed(0)} ms`)
console.log(`address to usable page      ${usable.toFixed(0)} ms`)
console.log(`input to totals             ${spread(delays)}`)
console.log(`of it, planning             ${spread(plans)}`)
console.log(`input to sure totals        ${spread(sure)}`)
console.log(`input to dates and cautions ${spread(whole.slice(1))}`)
console.log(`page until usable           ${(first / 1024).toFixed(0)} kB in ${nodes} elements`)
console.log(`server                      ${memory(server.pid ?? 0)} resident`)
console.log(`page with its workers       ${ours('--type=renderer').map(memory).join(', ')} resident`)
await runNotebook(page)
console.log(`kernel of a notebook        ${ours('kernel-main').map(memory).join(', ')} resident`)
await browser.close()
await new Promise((resolve) => {
  server.once('exit', resolve)
  server.kill('SIGINT')
})
rmSync(join(folder, '..'), { recursive: true, force: true })
