// Compiles src to dist and marks when, so that setup.mjs knows whether it is still fresh.
import { spawnSync } from 'node:child_process'
import { rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { buildSync } from 'esbuild'

const root = dirname(fileURLToPath(import.meta.url))
rmSync(join(root, 'dist'), { recursive: true, force: true })
const done = spawnSync('node', [join(root, 'node_modules/typescript/bin/tsc'), '-p', root], {
  stdio: 'inherit',
})
if (done.status !== 0) process.exit(done.status ?? 1)
// The 3D view of load.html is one script with all it needs inside, because the page loads nothing.
buildSync({
  entryPoints: [join(root, 'src/load/view/main.ts')],
  outfile: join(root, 'dist/load/view.bundle.js'),
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2020',
  charset: 'ascii',
  legalComments: 'inline',
})
writeFileSync(join(root, 'dist', '.built'), '')
