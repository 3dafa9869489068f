// What a user gets with this package may be used and passed on without their own work falling under its licence.
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it, test } from 'vitest'

const root = fileURLToPath(new URL('../../', import.meta.url))

/** Identifiers of the SPDX licence list; what each asks for: from memory. */
const PERMISSIVE = [
  '0BSD',
  'Apache-2.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'BSL-1.0',
  'ISC',
  'MIT',
  'Python-2.0',
  'Unlicense',
]
/** Weak copyleft, file by file: changes to those very files stay under it, what uses them does not. */
const WEAK_COPYLEFT = ['MPL-2.0']
const allowed = new Set([...PERMISSIVE, ...WEAK_COPYLEFT])

/** Whether an SPDX licence expression can be met with allowed licences alone. WITH and anything unknown cannot. */
function isAllowed(expression: string): boolean {
  const words = expression.match(/[()]|[^\s()]+/g) ?? []
  let at = 0
  const one = (): boolean => {
    const word = words[at++]
    if (word !== '(') return word !== undefined && allowed.has(word)
    const inside = either()
    return words[at++] === ')' && inside
  }
  const both = (): boolean => {
    let met = one()
    while (words[at] === 'AND') {
      at += 1
      met = one() && met
    }
    return met
  }
  const either = (): boolean => {
    let met = both()
    while (words[at] === 'OR') {
      at += 1
      met = both() || met
    }
    return met
  }
  const met = either()
  return met && at === words.length
}

interface Locked {
  readonly version?: string
  readonly dev?: boolean
  readonly link?: boolean
  readonly license?: string
}
const lock: { readonly packages: Readonly<Record<string, Locked>> } = JSON.parse(
  readFileSync(join(root, 'package-lock.json'), 'utf8'),
)
/** What `npm ci --omit=dev` installs, on one machine or another. */
const production = Object.entries(lock.packages).filter(
  ([path, { dev, link }]) => path !== '' && !dev && !link,
)

interface Manifest {
  readonly license?: string | { readonly type?: string }
  readonly licenses?: readonly { readonly type?: string }[]
}

/** What the package itself says; of one for another machine, what the lock file keeps of it. */
function licenceOf(path: string, locked: Locked): string {
  const file = join(root, path, 'package.json')
  if (!existsSync(file)) return locked.license ?? ''
  const { license, licenses }: Manifest = JSON.parse(readFileSync(file, 'utf8'))
  if (typeof license === 'string') return license
  return license?.type ?? (licenses ?? []).map(({ type }) => type ?? '').join(' AND ')
}

describe('licences of what is installed with the package', () => {
  test.each([
    ['MIT', true],
    ['(MPL-2.0 OR GPL-3.0-only)', true],
    ['Apache-2.0 AND BSL-1.0', true],
    ['GPL-3.0-only', false],
    ['AGPL-3.0-or-later', false],
    ['MIT AND (ISC AND GPL-2.0-only)', false],
    ['MIT WITH Some-exception', false],
    ['SEE LICENSE IN LICENSE.txt', false],
    ['UNLICENSED', false],
    ['', false],
  ])('"%s" may be among them: %s', (expression, may) => expect(isAllowed(expression)).toBe(may))

  it('are permissive, or weak copyleft at most', () => {
    expect(production.length).toBeGreaterThan(100)
    const refused = production
      .map(([path, locked]) => `${path.replace(/^node_modules\//, '')}: ${licenceOf(path, locked)}`)
      .filter((line) => !isAllowed(line.slice(line.indexOf(': ') + 2)))
    expect(refused).toEqual([])
  })

  it('are weak copyleft in these packages only', () => {
    const weak = production
      .filter(([path, locked]) => WEAK_COPYLEFT.some((id) => licenceOf(path, locked).includes(id)))
      .map(([path]) => path.replace(/^node_modules\//, ''))
    // dompurify may be had under Apache-2.0; zeromq brings the library libzmq in binary form.
    expect(weak).toEqual(['dompurify', 'zeromq'])
  })
})

it('the bill of materials names each package that is installed, with its version', () => {
  const made = spawnSync('npm', ['run', '--silent', 'sbom'], {
    cwd: root,
    encoding: 'utf8',
    maxBuffer: 100_000_000,
    shell: process.platform === 'win32',
  })
  expect(made.stderr).toBe('')
  const bill: {
    readonly bomFormat: string
    readonly components: readonly { readonly name: string; readonly version: string }[]
  } = JSON.parse(made.stdout)
  expect(bill.bomFormat).toBe('CycloneDX')
  const named = new Set(bill.components.map(({ name, version }) => `${name} ${version}`))
  const missing = production
    .map(([path, { version }]) => `${path.replace(/^.*node_modules\//, '')} ${version}`)
    .filter((line) => !named.has(line))
  expect(missing).toEqual([])
  // What only the makers need is no part of it.
  expect([...named].filter((line) => /^(vitest|typescript|esbuild|hyperformula) /.test(line))).toEqual([])
  expect(new Set(bill.components.map(({ name }) => name)).has('quaybook')).toBe(false)
})
