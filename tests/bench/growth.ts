// How commands grow with the lines of the inventory and with the columns of scenarios.csv: the demo household with its
// lines repeated, or with so many scenarios that differ in days and shares. Containers are packed before anything is
// measured. Options: `most=N` goes up to N lines, `columns=N` up to N columns, `commands=check,compare,brief`.
// Seconds are processor time; the exponent is that of the growth since the row above: 1 is linear.
import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'

const option = (name: string, usual: string): string =>
  process.argv
    .slice(2)
    .find((o) => o.startsWith(`${name}=`))
    ?.slice(name.length + 1) ?? usual

// The commands are measured as they are built.
spawnSync(process.execPath, ['setup.mjs'], { stdio: 'ignore' })
const bin = resolve('dist/cli/bin.js')
const demo = resolve('data/households/valparaiso-gdynia')
const commands = option('commands', 'check,compare,brief').split(',')
const folder = mkdtempSync(join(tmpdir(), 'bench-growth-'))
const home = join(folder, 'home')

/** The demo household with some of its files written anew. */
function written(files: Readonly<Record<string, string>>): void {
  rmSync(home, { recursive: true, force: true })
  cpSync(demo, home, { recursive: true })
  for (const [name, text] of Object.entries(files)) writeFileSync(join(home, name), text)
}

/** The inventory with its lines repeated under other names, until there are so many. */
function inventory(lines: number): string {
  const [head = '', ...rows] = readFileSync(join(demo, 'inventory.csv'), 'utf8').trim().split('\n')
  const repeated = Array.from({ length: lines }, (_, k) => {
    const [id = '', ...rest] = (rows[k % rows.length] ?? '').split(',')
    return [k < rows.length ? id : `${id}-${Math.floor(k / rows.length)}`, ...rest].join(',')
  })
  return `${[head, ...repeated].join('\n')}\n`
}

/** So many scenarios, no two alike. */
function scenarios(columns: number): string {
  const all = Array.from({ length: columns }, (_, k) => k)
  return [
    ['id', ...all.map((k) => `Plan ${k + 1}`)],
    ['service-level', ...all.map((k) => ['diy', 'part', 'full'][k % 3])],
    ['delay.days', ...all.map((k) => k % 30)],
    ['storage.months', ...all.map((k) => Math.floor(k / 30) / 10)],
  ]
    .map((cells) => `${cells.join(',')}\n`)
    .join('')
}

interface Used {
  readonly seconds: number
  readonly megabytes: number
}

/** Processor time of the process with its threads and the most memory it took; what it said where it failed. */
function used(command: string): Used | string {
  const report = `process.on('exit', () => { const u = process.resourceUsage(); console.error('USED', (u.userCPUTime + u.systemCPUTime) / 1e6, Math.round(u.maxRSS / 1024)) })`
  const words = command === 'brief' ? ['brief', home, '--out', join(folder, 'out')] : [command, home]
  const hook = `data:text/javascript,${encodeURIComponent(report)}`
  const done = spawnSync(process.execPath, ['--import', hook, bin, ...words], {
    encoding: 'utf8',
    maxBuffer: 1e9,
    timeout: 300_000,
  })
  const [, seconds, megabytes] = /USED ([\d.]+) (\d+)\s*$/.exec(done.stderr.trim()) ?? []
  if (done.status === 0) return { seconds: Number(seconds), megabytes: Number(megabytes) }
  return done.status === null
    ? 'stopped after 300 s'
    : (done.stderr.trim().split('\n')[0] ?? '').slice(0, 150)
}

function table(what: string, sizes: readonly number[], write: (size: number) => void): void {
  let before: { readonly size: number; readonly by: Map<string, Used> } | undefined
  for (const size of sizes) {
    write(size)
    used('compare')
    const by = new Map<string, Used>()
    const told = commands.map((command) => {
      const found = used(command)
      if (typeof found === 'string') return `${command}: ${found}`
      by.set(command, found)
      const last = before?.by.get(command)
      const exponent =
        before && last ? Math.log(found.seconds / last.seconds) / Math.log(size / before.size) : undefined
      const grows = exponent === undefined ? '' : `, exponent ${exponent.toFixed(2)}`
      return `${command} ${found.seconds.toFixed(1)} s, ${found.megabytes} MB${grows}`
    })
    console.log(`${size} ${what}: ${told.join(' | ')}`)
    before = { size, by }
  }
}

const upTo = (sizes: readonly number[], most: number): number[] => sizes.filter((size) => size <= most)
table('lines', upTo([150, 1500, 15_000], Number(option('most', '15000'))), (lines) =>
  written({ 'inventory.csv': inventory(lines) }),
)
table('columns', upTo([3, 30, 300, 1000], Number(option('columns', '300'))), (columns) =>
  written({ 'scenarios.csv': scenarios(columns) }),
)
rmSync(folder, { recursive: true, force: true })
