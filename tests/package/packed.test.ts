// The package as `npm pack` makes it, with production packages alone beside it, works outside this repository.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'

const root = fileURLToPath(new URL('../../', import.meta.url))
const home = mkdtempSync(join(tmpdir(), 'quaybook-packed-'))
const packages = join(home, 'node_modules')
const own = join(packages, 'quaybook')
afterAll(() => rmSync(home, { recursive: true, force: true }))

const run = (command: string, ...words: string[]) =>
  spawnSync(command, words, { cwd: home, encoding: 'utf8', shell: process.platform === 'win32' })

interface Locked {
  readonly dev?: boolean
  readonly link?: boolean
}

beforeAll(() => {
  expect(existsSync(join(root, 'dist', 'index.js')), 'npm test builds the package first').toBe(true)
  const packed = run('npm', 'pack', root, '--pack-destination', home, '--silent')
  expect(packed.stderr).toBe('')
  mkdirSync(own, { recursive: true })
  expect(run('tar', '-xzf', packed.stdout.trim(), '-C', own, '--strip-components=1').status).toBe(0)
  const lock: { readonly packages: Readonly<Record<string, Locked>> } = JSON.parse(
    readFileSync(join(root, 'package-lock.json'), 'utf8'),
  )
  // Links to those at the top: each finds its own in the repository, ours finds no other than these.
  for (const [path, { dev, link }] of Object.entries(lock.packages)) {
    const there = join(root, path)
    if (!path || dev || link || path.split('node_modules/').length > 2 || !existsSync(there)) continue
    mkdirSync(dirname(join(home, path)), { recursive: true })
    symlinkSync(there, join(home, path), 'junction')
  }
})

describe('the packed package', () => {
  it('holds what it needs and nothing that is for its makers', () => {
    expect(readdirSync(own).toSorted()).toEqual(
      [
        'CHANGELOG.md',
        'LICENSE',
        'README.md',
        'data',
        'dist',
        'docs',
        'notebooks',
        'package.json',
        'shared',
      ].toSorted(),
    )
    const names = readdirSync(own, { recursive: true, encoding: 'utf8' })
    expect(names.filter((name) => /\.packed\.json$|\.map$|\.test\.|\.ipynb_checkpoints/.test(name))).toEqual(
      [],
    )
  })

  it('checks its own demo household', () => {
    const bin = join(own, 'dist/cli/bin.js')
    const checked = run(process.execPath, bin, 'check')
    expect(checked.stderr).toBe('')
    expect(checked.stdout).toMatch(/\b0 wrong, 0 unlikely, \d+ cells fine\./)
    expect(checked.status).toBe(0)
  })

  it('can be imported by each of its names', () => {
    const { exports }: { exports: Record<string, unknown> } = JSON.parse(
      readFileSync(join(own, 'package.json'), 'utf8'),
    )
    const names = Object.keys(exports).filter((name) => !name.endsWith('.json'))
    expect(names.length).toBeGreaterThan(10)
    const imports = names.map((name) => `await import('quaybook${name.slice(1)}')`).join('\n')
    const ran = run(process.execPath, '--input-type=module', '--eval', imports)
    expect(ran.stderr).toBe('')
    expect(ran.status).toBe(0)
  })
})
