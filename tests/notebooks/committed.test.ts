import { spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest'
import {
  failureText,
  parseNotebook,
  runNotebook,
  runNotebooks,
  writeKernelspec,
} from '../../src/notebook/index.js'

const folder = fileURLToPath(new URL('../../notebooks/', import.meta.url))
const names = readdirSync(folder)
  .filter((name) => name.endsWith('.ipynb'))
  .sort()
const minutes = 60_000

let out: string
beforeAll(() => {
  out = mkdtempSync(join(tmpdir(), 'quaybook-notebooks-'))
})
afterAll(() => rmSync(out, { recursive: true, force: true }))

const outputsOf = (text: string) =>
  parseNotebook(text).cells.flatMap((cell) => (cell.cell_type === 'code' ? [cell.outputs] : []))

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b)

describe('the committed notebooks', () => {
  it(
    'come out byte for byte as they are committed when run again',
    async () => {
      const runs = await runNotebooks(
        names.map((name) => ({ input: join(folder, name), output: join(out, name) })),
      )
      for (const run of runs) expect(run.ok, run.failure && failureText(run)).toBe(true)
      for (const name of names) {
        expect(readFileSync(join(out, name), 'utf8') === readFileSync(join(folder, name), 'utf8'), name).toBe(
          true,
        )
      }
    },
    8 * minutes,
  )

  it(
    'give the same outputs under jupyter nbconvert --execute',
    async () => {
      if (spawnSync('jupyter', ['nbconvert', '--version']).status !== 0) {
        console.warn('SKIPPED: jupyter nbconvert is not installed (Debian: jupyter-nbconvert)')
        return
      }
      await writeKernelspec(join(out, 'kernel'))
      for (const name of names) {
        const jupyter = spawnSync(
          'jupyter',
          [
            'nbconvert',
            '--to',
            'notebook',
            '--execute',
            '--output-dir',
            join(out, 'jupyter'),
            join(folder, name),
          ],
          { env: { ...process.env, JUPYTER_PATH: join(out, 'kernel') }, encoding: 'utf8' },
        )
        expect(jupyter.status, jupyter.stderr).toBe(0)
        const theirs = outputsOf(readFileSync(join(out, 'jupyter', name), 'utf8'))
        // A picture in a failure's difference would bury the sentence that matters.
        expect(same(theirs, outputsOf(readFileSync(join(folder, name), 'utf8'))), name).toBe(true)
      }
    },
    8 * minutes,
  )

  test.each([
    ['another household', { household: 'student-tromso-wellington' }],
    ['a change', { set: ['cost.origin.wage=9000'] }],
  ])(
    'take %s through their parameters',
    async (_what, parameters) => {
      const name = '05-covers-and-break-even.ipynb'
      const run = await runNotebook({
        input: join(folder, name),
        output: join(out, 'changed.ipynb'),
        parameters,
      })
      expect(run.ok, run.failure && failureText(run)).toBe(true)
      const theirs = outputsOf(readFileSync(join(out, 'changed.ipynb'), 'utf8'))
      expect(same(theirs, outputsOf(readFileSync(join(folder, name), 'utf8')))).toBe(false)
    },
    2 * minutes,
  )
})
