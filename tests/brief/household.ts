import { fileURLToPath } from 'node:url'
import { type Change, type Move, type Plan, planOf, planScenarios, readMove } from '../../src/plan/index.js'
import type { CsvFile } from '../../src/tables/csv.js'
import { readFolder } from '../../src/tables/disk.js'
import { problemText } from '../../src/tables/problem.js'

const at = (path: string) => fileURLToPath(new URL(`../../${path}`, import.meta.url))

async function filesOf(path: string): Promise<readonly CsvFile[]> {
  const read = await readFolder(at(path))
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
  return read.value
}

/** A household of the repository as a move, its files changed first if asked. */
export async function moveOf(name: string, edit: (file: CsvFile) => CsvFile = (file) => file): Promise<Move> {
  const read = readMove(
    (await filesOf(`data/households/${name}`)).map(edit),
    await filesOf('data/reference'),
    await filesOf('data/reference/customs'),
  )
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
  return read.value
}

export function plansOf(move: Move): readonly Plan[] {
  const plans = planScenarios(move)
  if (!plans.ok) throw new Error(plans.problems.map(problemText).join('\n'))
  return plans.value
}

export function planWith(move: Move, changes: readonly Change[]): Plan {
  const plan = planOf(move, 'changed', changes)
  if (!plan.ok) throw new Error(plan.problems.map(problemText).join('\n'))
  return plan.value
}
