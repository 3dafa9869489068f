// Packs the built package, installs it in an empty folder as a user would, says what that takes on the disk, and runs it:
//   npm run packed [-- start]     the command, `check` if left out, on the package's own demo household
import { spawnSync } from 'node:child_process'
import { lstatSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))))
const home = mkdtempSync(join(tmpdir(), 'quaybook-installed-'))

function run(command, args, cwd = home) {
  const done = spawnSync(command, args, {
    cwd,
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
    shell: process.platform === 'win32',
  })
  if (done.status !== 0)
    throw new Error(`${command} ${args.join(' ')} ended with ${done.status ?? done.signal}`)
  return done.stdout
}

/** Bytes on the disk, counted in blocks as `du` does where the system tells them. */
function sizeOf(path) {
  const { blocks, size } = lstatSync(path)
  const own = blocks === undefined ? size : blocks * 512
  if (!lstatSync(path).isDirectory()) return own
  return readdirSync(path).reduce((sum, name) => sum + sizeOf(join(path, name)), own)
}
const megabytes = (bytes) => `${(bytes / 1_048_576).toFixed(1)} MB`

try {
  run('node', ['setup.mjs'], root)
  const [file] = run('npm', ['pack', '--silent', '--pack-destination', home], root).trim().split('\n')
  writeFileSync(join(home, 'package.json'), '{ "private": true }\n')
  run('npm', [
    'install',
    '--omit=dev',
    '--prefer-offline',
    '--no-audit',
    '--no-fund',
    '--silent',
    join(home, file),
  ])
  const packages = join(home, 'node_modules')
  console.log(`installed: ${megabytes(sizeOf(packages))}; the largest:`)
  const names = readdirSync(packages)
    .filter((name) => !name.startsWith('.'))
    .map((name) => ({ name, bytes: sizeOf(join(packages, name)) }))
    .toSorted((a, b) => b.bytes - a.bytes)
  for (const { name, bytes } of names.slice(0, 15)) console.log(`  ${name} ${megabytes(bytes)}`)
  const command = process.argv[2] ?? 'check'
  console.log(`quaybook ${command}:`)
  console.log(run(join(packages, '.bin', 'quaybook'), [command]))
} finally {
  rmSync(home, { recursive: true, force: true })
}
