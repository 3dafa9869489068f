// Runs one benchmark: node tests/bench/run.mjs NAME [options]
// Bundles tests/bench/NAME.ts (packages stay outside the bundle) and starts it in a Node of its own,
// so that the figures are those of the code as it stands, with no build step to forget.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'

const here = dirname(fileURLToPath(import.meta.url))
const [name, ...options] = process.argv.slice(2)
const source = join(here, `${name}.ts`)
if (name === undefined || !existsSync(source)) {
  const known = readdirSync(here).filter((file) => file.endsWith('.ts'))
  const names = known.map((file) => file.slice(0, -3)).join(', ')
  console.error(
    `benchmark: found "${name ?? ''}", expected one of: ${names}. Usage: node tests/bench/run.mjs NAME`,
  )
  process.exit(2)
}

const outDir = join(here, '../../node_modules/.cache/bench')
mkdirSync(outDir, { recursive: true })
const outfile = join(outDir, `${name}.mjs`)
await build({
  entryPoints: [source],
  outfile,
  bundle: true,
  packages: 'external',
  platform: 'node',
  target: 'node20',
  format: 'esm',
  sourcemap: 'inline',
  logLevel: 'warning',
})
const done = spawnSync(process.execPath, ['--enable-source-maps', outfile, ...options], { stdio: 'inherit' })
process.exit(done.status ?? 1)
