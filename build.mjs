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
// The scripts of load.html, explore.html and of the notebooks' pages are each one file with all it needs inside, because a page loads nothing.
const scripts = [
  ['src/load/view/main.ts', 'dist/load/view.bundle.js'],
  ['src/explore/browser/main.ts', 'dist/explore/page.bundle.js'],
  ['src/notebook/live/main.ts', 'dist/notebook/live.bundle.js'],
]
for (const [from, to] of scripts) {
  buildSync({
    entryPoints: [join(root, from)],
    outfile: join(root, to),
    bundle: true,
    minify: true,
    format: 'iife',
    target: 'es2020',
    charset: 'ascii',
    legalComments: 'inline',
  })
}
// The page of an open household: a first piece that shows the household, further ones loaded when asked for.
buildSync({
  entryPoints: {
    main: join(root, 'src/open/page/main.ts'),
    plan: join(root, 'src/open/page/plan-worker.ts'),
    study: join(root, 'src/open/page/study-worker.ts'),
    math: join(root, 'node_modules/katex/dist/katex.min.css'),
  },
  outdir: join(root, 'dist/open/bundle'),
  bundle: true,
  splitting: true,
  minify: true,
  format: 'esm',
  target: 'es2022',
  charset: 'ascii',
  legalComments: 'inline',
  // The browser's own build of the reader: the other one asks for Node's Buffer.
  alias: { 'csv-parse/sync': 'csv-parse/browser/esm/sync' },
  loader: { '.woff2': 'file', '.woff': 'empty', '.ttf': 'empty' },
})
writeFileSync(join(root, 'dist', '.built'), '')
