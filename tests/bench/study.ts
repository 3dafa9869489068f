// A study: twenty origin countries × five volumes × two scenarios, and how cost and memory grow with the rows.
// Options: `rows=N` goes up to N rows (10,000,000 takes minutes); seconds are processor time of all threads.
import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'

// The command is measured as it is built.
execFileSync(process.execPath, ['setup.mjs'], { stdio: 'ignore' })
const bin = resolve('dist/cli/bin.js')
const most = Number(
  process.argv
    .slice(2)
    .find((o) => o.startsWith('rows='))
    ?.slice(5) ?? 1_000_000,
)
const folder = mkdtempSync(join(tmpdir(), 'bench-study-'))

/** Time by the clock, processor time of the process with its threads, and the most memory it took. */
function measured(lines: readonly string[], ...words: readonly string[]): string {
  writeFileSync(join(folder, 's.csv'), ['vary,values', ...lines].join('\n'))
  const report = `process.on('exit', () => { const u = process.resourceUsage(); console.error('USED', (u.userCPUTime + u.systemCPUTime) / 1e6, Math.round(u.maxRSS / 1024)) })`
  const start = Date.now()
  const hook = `data:text/javascript,${encodeURIComponent(report)}`
  const done = execFileSync(
    'sh',
    ['-c', 'exec "$0" "$@" 2>&1', process.execPath, '--import', hook, bin, 'study', 's.csv', ...words],
    { cwd: folder, encoding: 'utf8' },
  )
  const [, seconds, megabytes] = /USED ([\d.]+) (\d+)\s*$/.exec(done.trim()) ?? []
  return `${((Date.now() - start) / 1000).toFixed(1)} s by the clock, ${Number(seconds).toFixed(1)} s of processor time, ${megabytes} MB at most`
}

const twenty = [
  'household,valparaiso-gdynia',
  'scenario,Share the work|Movers do it all',
  'origin_country,CL|US|GB|DE|FR|NL|BE|LU|AT|IE|IT|ES|PT|GR|HR|BG|FI|EE|LT|LV',
  'volume_factor,0.8..1.2:5',
]
console.log(`200 rows, 20 countries, by volume: ${measured(twenty, '--by-volume', '--out', 'a.csv')}`)
console.log(`200 rows, 20 countries, packed:    ${measured(twenty, '--out', 'b.csv')}`)
for (let rows = 10_000; rows <= most; rows *= 10) {
  const lines = [
    'household,valparaiso-gdynia',
    'scenario,Movers do it all',
    `volume_factor,lhs 0.8..1.2:${rows}`,
    `cost.origin.wage,lhs 3..40:${rows}`,
    `delay.days,lhs 0..20:${rows}`,
  ]
  for (const form of ['csv', 'parquet'])
    console.log(`${rows} rows, ${form}: ${measured(lines, '--by-volume', '--out', `g.${form}`)}`)
}
rmSync(folder, { recursive: true, force: true })
