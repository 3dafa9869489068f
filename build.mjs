// Compiles src to dist and marks when, so that setup.mjs knows whether it is still fresh.
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'esbuild'

const root = dirname(fileURLToPath(import.meta.url))
rmSync(join(root, 'dist'), { recursive: true, force: true })
const done = spawnSync('node', [join(root, 'node_modules/typescript/bin/tsc'), '-p', root], {
  stdio: 'inherit',
})
if (done.status !== 0) process.exit(done.status ?? 1)
writeFileSync(join(root, 'dist', 'types.sha256'), digestOfTypes())
/** The reader of tables brings its messages in fifty languages, half a megabyte that no page shows. */
const oneLanguage = {
  name: 'one-language',
  setup: ({ onLoad }) =>
    onLoad({ filter: /zod\/v4\/locales\/index\.js$/ }, () => ({
      contents: "export { default as en } from './en.js'",
    })),
}
// The browser's own build of the reader: the other one asks for Node's Buffer.
const alias = { 'csv-parse/sync': 'csv-parse/browser/esm/sync' }
// The scripts of load.html, explore.html and of the notebooks' pages are each one file with all it needs inside, because
// a page loads nothing. The planner of explore.html runs in a worker that the page makes.
const scripts = [
  ['src/load/view/main.ts', 'dist/load/view.bundle.js'],
  ['src/explore/browser/main.ts', 'dist/explore/page.bundle.js'],
  ['src/explore/browser/planner.ts', 'dist/explore/planner.bundle.js', 'es2022'],
  ['src/notebook/live/main.ts', 'dist/notebook/live.bundle.js'],
]
for (const [from, to, target = 'es2020'] of scripts) {
  await build({
    entryPoints: [join(root, from)],
    outfile: join(root, to),
    bundle: true,
    minify: true,
    format: 'iife',
    target,
    charset: 'ascii',
    legalComments: 'inline',
    alias,
    plugins: [oneLanguage],
  })
}
// The page of an open household: a first piece that shows the household, further ones loaded when asked for.
await build({
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
  alias,
  plugins: [oneLanguage],
  loader: { '.woff2': 'file', '.woff': 'empty', '.ttf': 'empty' },
})
// The commands: one file with all they need inside, so that a short one starts at once. Threads and notebooks go on
// loading the single files.
const program = await build({
  entryPoints: [join(root, 'src/cli/main.ts')],
  write: false,
  bundle: true,
  minifySyntax: true,
  minifyWhitespace: true,
  format: 'cjs',
  platform: 'node',
  target: 'node20.19',
  legalComments: 'inline',
  plugins: [oneLanguage],
  define: { 'import.meta.url': 'thisFile' },
  banner: { js: "const thisFile = require('node:url').pathToFileURL(__filename).href;" },
  // With binaries, files or a loader of their own; or loaded by few commands and then as modules.
  external: [
    '@duckdb/node-api',
    '@fastify/websocket',
    'fastify',
    'highs',
    'piscina',
    'playwright-core',
    'tslab',
    'vega',
    'vega-lite',
    'zeromq',
  ],
})
// Code that is kept compiled cannot import; the loader does it for these.
writeFileSync(
  join(root, 'dist/cli/program.cjs'),
  program.outputFiles[0].text.replace(/\bimport\((?=["'])/g, 'importModule('),
)
keepCompiled()
writeFileSync(join(root, 'dist', '.built'), '')

/** What cells of notebooks are checked against: the types of this package, and by their versions those of others. */
function digestOfTypes() {
  const types = readdirSync(join(root, 'dist'), { recursive: true }).filter((file) => file.endsWith('.d.ts'))
  const hash = createHash('sha256').update(readFileSync(join(root, 'package-lock.json')))
  for (const file of types.sort()) hash.update(file).update(readFileSync(join(root, 'dist', file)))
  return hash.digest('hex')
}

/** Runs the short commands once on a small household, and keeps the code that the engine compiled for them. */
function keepCompiled() {
  const household = mkdtempSync(join(tmpdir(), 'quaybook-build-'))
  const demo = join(root, 'data/households/valparaiso-gdynia')
  for (const file of readdirSync(demo).filter((name) => name.endsWith('.csv'))) {
    const lines = readFileSync(join(demo, file), 'utf8').split('\n')
    // Few lines, so that their containers are packed in no time.
    writeFileSync(join(household, file), (file === 'inventory.csv' ? lines.slice(0, 12) : lines).join('\n'))
  }
  const script = `
    import { loadProgram } from ${JSON.stringify(pathToFileURL(join(root, 'dist/cli/program.js')).href)}
    const { main, keepCompiled } = loadProgram()
    const io = { out: () => {}, err: () => {} }
    for (const words of [['check'], ['compare'], ['explain', 'cost.total']]) await main([...words, ${JSON.stringify(household)}], io)
    keepCompiled()`
  const done = spawnSync('node', ['--input-type=module', '-e', script], { encoding: 'utf8' })
  rmSync(household, { recursive: true, force: true })
  if (done.status === 0) return
  process.stderr.write(done.stderr)
  process.exit(done.status ?? 1)
}
