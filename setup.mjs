// What `npm start` and `npm test` do first on a fresh clone: install what the lock file names, build the package.
// Plain Node and nothing else, because nothing is installed yet when it runs.
import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync, statSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(fileURLToPath(import.meta.url))

const [major, minor] = process.versions.node.split('.').map(Number)
if (major < 20 || (major === 20 && minor < 19)) {
  console.error(`Node ${process.versions.node} is too old: Quaybook needs Node 20.19 or newer.`)
  process.exit(1)
}

const changed = (path) => (existsSync(join(root, path)) ? statSync(join(root, path)).mtimeMs : 0)

function newest(folder) {
  let latest = 0
  for (const entry of readdirSync(join(root, folder), { withFileTypes: true })) {
    const path = join(folder, entry.name)
    latest = Math.max(latest, entry.isDirectory() ? newest(path) : changed(path))
  }
  return latest
}

function run(what, command, args) {
  process.stderr.write(`${what} ...\n`)
  const done = spawnSync(command, args, {
    cwd: root,
    stdio: ['ignore', 2, 2],
    shell: process.platform === 'win32',
  })
  if (done.status !== 0) {
    console.error(`${what} failed; nothing else was run.`)
    process.exit(done.status ?? 1)
  }
}

if (changed('node_modules/.package-lock.json') < changed('package-lock.json')) {
  run('Installing packages', 'npm', ['ci', '--no-audit', '--no-fund'])
}
if (
  changed('dist/.built') < Math.max(newest('src'), changed('tsconfig.json'), changed('package-lock.json'))
) {
  run('Building', 'node', ['build.mjs'])
}
