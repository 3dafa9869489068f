import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { describe, expect, it } from 'vitest'
import { summaryCells } from '../../src/analysis/index.js'
import { recordedSheet } from '../../src/plan/index.js'
import { containerDoors, workbook } from '../../src/workbook/index.js'
import { DEMOS, openDemo, plansOf } from '../plan/households.js'
import { OFFICE, officeInstalled } from './oracles.js'

if (!officeInstalled)
  console.warn('SKIPPED: LibreOffice is not installed; how the workbook prints is not proven here')

/** Sizes of the pages of a PDF, in points, as its page objects give them. */
const pageSizes = (pdf: string): [number, number][] =>
  [...pdf.matchAll(/\/Type\s*\/Page\b[^s][\s\S]*?\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/g)].map(
    ([, width, height]) => [Number(width), Number(height)],
  )

describe('the workbook on paper', () => {
  it.runIf(officeInstalled).each(DEMOS)(
    'of %s is under 15 pages of A4',
    async (household) => {
      const move = await openDemo(household)
      const bytes = workbook(
        plansOf(move).map((plan) => ({ name: plan.name, sheet: recordedSheet(move, plan) })),
        { numbers: containerDoors(move.reference.containers), totals: summaryCells(plansOf(move)) },
      )
      const folder = await mkdtemp(join(tmpdir(), 'workbook-paper-'))
      try {
        await writeFile(join(folder, 'book.xlsx'), bytes)
        await promisify(execFile)(
          OFFICE ?? '',
          [
            `-env:UserInstallation=file://${folder}/profile`,
            '--headless',
            ...['--convert-to', 'pdf', '--outdir', folder, join(folder, 'book.xlsx')],
          ],
          { timeout: 150_000 },
        )
        const sizes = pageSizes(await readFile(join(folder, 'book.pdf'), 'latin1'))
        expect(sizes.length).toBeGreaterThan(5)
        expect(sizes.length).toBeLessThan(15)
        // ISO 216: A4 is 210 mm by 297 mm, 595.3 by 841.9 points.
        for (const size of sizes) {
          const [short = 0, long = 0] = [...size].sort((a, b) => a - b)
          expect(short).toBeCloseTo(595.3, -0.5)
          expect(long).toBeCloseTo(841.9, -0.5)
        }
      } finally {
        await rm(folder, { recursive: true, force: true })
      }
    },
    180_000,
  )
})
