// Each TypeScript example of the README is compiled under strict and run against the built package.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, expect, it, test } from 'vitest'

const root = fileURLToPath(new URL('../../', import.meta.url))
const folder = mkdtempSync(join(root, 'tests', 'package', 'run-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const examples = [...readFileSync(join(root, 'README.md'), 'utf8').matchAll(/```ts\n([\s\S]*?)```/g)].map(
  ([, code]) => code ?? '',
)

it('has examples', () => expect(examples.length).toBeGreaterThan(1))

test.each(examples.map((code, i) => [i + 1, code] as const))('example %i compiles and runs', (i, code) => {
  expect(existsSync(join(root, 'dist', 'index.js')), 'npm test builds the package first').toBe(true)
  const file = join(folder, `example-${i}.mts`)
  writeFileSync(file, `${code}\nexport {}\n`)
  const compiled = spawnSync(
    'node',
    [
      join(root, 'node_modules/typescript/bin/tsc'),
      ...['--strict', '--target', 'es2022', '--module', 'nodenext', '--moduleResolution', 'nodenext'],
      ...['--skipLibCheck', '--types', 'node', '--rootDir', folder, '--outDir', folder, file],
    ],
    { encoding: 'utf8', cwd: folder },
  )
  expect(compiled.stdout).toBe('')
  expect(compiled.status).toBe(0)
  const ran = spawnSync('node', [join(folder, `example-${i}.mjs`)], { encoding: 'utf8', cwd: root })
  expect(ran.stderr).toBe('')
  expect(ran.status).toBe(0)
})
