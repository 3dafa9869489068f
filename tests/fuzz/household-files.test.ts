import { join } from 'node:path'
import fc from 'fast-check'
import { beforeAll, expect, it } from 'vitest'
import { planScenarios, readMove } from '../../src/plan/index.js'
import { householdFolder, packageRoot } from '../../src/plan/open.js'
import type { CsvFile } from '../../src/tables/csv.js'
import { readFolder } from '../../src/tables/disk.js'
import { value } from '../plan/households.js'

let files: readonly CsvFile[]
let reference: readonly CsvFile[]
let customs: readonly CsvFile[]

beforeAll(async () => {
  files = value(await readFolder(householdFolder('student-tromso-wellington')))
  reference = value(await readFolder(join(packageRoot, 'data', 'reference')))
  customs = value(await readFolder(join(packageRoot, 'data', 'reference', 'customs')))
})

/** What a cell may be damaged with: slips of the hand, other people's number formats, attempts at mischief. */
const slips = [
  '',
  ' ',
  '-1',
  '0',
  '1e9',
  '99999999999999999999',
  '1,5',
  '1.200',
  '1,2m',
  '½',
  'NaN',
  'Infinity',
  'ja',
  'yes ',
  '2026-02-30',
  '31.12.2026',
  '=1+1',
  '"',
  '""',
  "'",
  ';',
  '\t',
  '<script>',
  'Kichen',
  'å',
  '\u202E',
  '\u0000',
  'null',
  '__proto__',
  'EUR',
  'XX',
]

interface Damage {
  readonly file: number
  readonly line: number
  readonly cell: number
  readonly slip: string
}

const damages: fc.Arbitrary<readonly Damage[]> = fc.array(
  fc.record({ file: fc.nat(7), line: fc.nat(60), cell: fc.nat(25), slip: fc.constantFrom(...slips) }),
  { minLength: 1, maxLength: 3 },
)

function damaged(csv: CsvFile, at: Damage): CsvFile {
  const lines = csv.text.split('\n')
  const line = at.line % Math.max(1, lines.length - 1)
  const cells = (lines[line] ?? '').split(',')
  cells[at.cell % cells.length] = at.slip
  lines[line] = cells.join(',')
  return { ...csv, text: lines.join('\n') }
}

it('damaged files give problems that can be acted on, or a plan whose every figure is a number', () => {
  fc.assert(
    fc.property(damages, (list) => {
      const mine = list.reduce(
        (all, at) => all.map((csv, i) => (i === at.file % all.length ? damaged(csv, at) : csv)),
        files,
      )
      const move = readMove(mine, reference, customs)
      const read = move.ok ? plans(move.value) : move
      if (!read.ok) {
        expect(read.problems.length).toBeGreaterThan(0)
        for (const p of read.problems) {
          expect(p.file).not.toBe('')
          expect(p.line).toBeGreaterThan(0)
          expect(p.expected).not.toBe('')
          expect(p.fix).not.toBe('')
        }
        return
      }
      for (const plan of read.value) {
        for (const cell of plan.sheet.cells.values()) expect(cell.value.isFinite(), cell.id).toBe(true)
      }
    }),
    { numRuns: 150, seed: 20261125 },
  )
})

/** A plan may stop with one sentence that names a cell; anything else it throws is a fault. */
function plans(move: Parameters<typeof planScenarios>[0]): ReturnType<typeof planScenarios> {
  try {
    return planScenarios(move)
  } catch (error) {
    const text = error instanceof Error ? error.message : String(error)
    expect(text).toMatch(/^cell "[^"]+" \(.*\) divides by zero; give the inputs/)
    return { ok: true, value: [] }
  }
}
