// Runs tests on each line of Node that the package is for, with npm's own `node` package:
//   node tests/matrix.mjs [--node 22,24] [test files or options of vitest]
// Without test files it is `npm test`. The package is built before, with the Node at hand.
import { spawnSync } from 'node:child_process'
import { dirname } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const words = process.argv.slice(2)
const at = words.indexOf('--node')
const lines = at < 0 ? ['20', '22', '24'] : (words.splice(at, 2)[1] ?? '').split(',')
const wrong = lines.find((line) => !/^\d+(\.\d+){0,2}$/.test(line))
if (wrong !== undefined) {
  console.error(`--node: found "${wrong}", expected versions as in 20,22,24`)
  process.exit(2)
}

const run = (command, args) =>
  spawnSync(command, args, { cwd: root, stdio: 'inherit', shell: process.platform === 'win32' }).status === 0

if (!run(process.execPath, ['setup.mjs'])) process.exit(1)
const failed = []
for (const line of lines) {
  console.log(`Node ${line}`)
  // In this shell the first `node` on the path is the one asked for; tests that start another take its own path.
  const packages = ['exec', '--yes', `--package=node@${line}`, '--']
  const known = run('npm', [...packages, 'node', '--version'])
  if (!known || !run('npm', [...packages, 'node', 'node_modules/vitest/vitest.mjs', 'run', ...words]))
    failed.push(line)
}
console.log(
  failed.length === 0 ? `passed on Node ${lines.join(', ')}` : `failed on Node ${failed.join(', ')}`,
)
process.exit(failed.length === 0 ? 0 : 1)
