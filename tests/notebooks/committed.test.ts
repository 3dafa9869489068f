import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
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
import { householdFolder } from '../../src/plan/open.js'
import { applied, csvSheet, setCell } from '../../src/tables/csv-edit.js'

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

  // A blank currency means the household's: cells that look for blanks alone find nothing where people fill them all.
  it(
    'run on a household whose every line states its currency',
    async () => {
      const household = join(out, 'stated')
      cpSync(householdFolder('student-tromso-wellington'), household, { recursive: true })
      const path = join(household, 'inventory.csv')
      const facts = readFileSync(join(household, 'household.csv'), 'utf8')
      const currency = /^currency,([A-Z]{3})/m.exec(facts)?.[1] ?? ''
      let text = readFileSync(path, 'utf8')
      const blank = () => {
        const sheet = csvSheet(text)
        if (!sheet) throw new Error('no inventory')
        const at = sheet.header.cells.findIndex(({ value }) => value === 'currency')
        return { sheet, row: sheet.rows.find(({ cells }) => (cells[at]?.value ?? '') === '') }
      }
      let filled = 0
      for (let { sheet, row } = blank(); row; { sheet, row } = blank()) {
        text = applied(text, setCell(sheet, row, 'currency', currency))
        filled += 1
      }
      expect(filled).toBeGreaterThan(20)
      writeFileSync(path, text)
      const runs = await runNotebooks(
        names.map((name) => ({
          input: join(folder, name),
          output: join(out, `stated-${name}`),
          parameters: { household },
        })),
      )
      for (const run of runs) expect(run.ok, run.failure && failureText(run)).toBe(true)
    },
    8 * minutes,
  )
})
