import { type Move, type Plan, planOf, planScenarios } from '../../src/plan/index.js'
import { householdFolder, openMove } from '../../src/plan/open.js'
import type { Read } from '../../src/tables/problem.js'

/** The package's own households: high wages and a whole home, low wages and a car, one room. */
export const DEMOS = ['leeuwarden-nanaimo', 'valparaiso-gdynia', 'student-tromso-wellington'] as const

/** One of them, read from the repository's data. */
export const openDemo = (name: (typeof DEMOS)[number]): Promise<Move> => openMove(householdFolder(name))

/** The value of a reading that must be good. */
export function value<T>(read: Read<T>): T {
  if (read.ok) return read.value
  throw new Error(JSON.stringify(read.problems, null, 2))
}

export const plansOf = (move: Move): readonly Plan[] => value(planScenarios(move))

/** One plan with changes written `id: value`. */
export const planWith = (move: Move, changes: Readonly<Record<string, string>>): Plan =>
  value(
    planOf(
      move,
      'test',
      Object.entries(changes).map(([id, to]) => ({ id, value: to })),
    ),
  )

export function amount(plan: Plan, id: string): number {
  const cell = plan.sheet.cells.get(id)
  if (!cell) throw new Error(`no cell ${id}`)
  return cell.value.toNumber()
}
