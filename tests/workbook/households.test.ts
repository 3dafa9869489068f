import type { Decimal } from 'decimal.js'
import { describe, expect, it } from 'vitest'
import { exact } from '../../src/quantity/exact.js'
import { type Cell, type Move, planSheet, recordedSheet, withChanges } from '../../src/scenario/index.js'
import { workbook } from '../../src/workbook/index.js'
import { openDemo, plansOf, value } from '../scenario/households.js'
import { differences, officeInstalled, recalculatedByEngine, recalculatedByOffice } from './oracles.js'
import { readBook } from './read-book.js'

if (!officeInstalled)
  console.warn('NOT PROVEN HERE: LibreOffice is not installed, its recalculation is skipped')

/** The workbook of a household as `quaybook workbook` writes it, and its scenarios by name. */
function demo(move: Move) {
  const plans = plansOf(move)
  const scenarios = plans.map((plan) => ({ name: plan.name, sheet: recordedSheet(move, plan) }))
  const ids = new Set(
    scenarios.flatMap((s) => [...s.sheet.cells.values()].flatMap((c) => (c.kind === 'input' ? [c.id] : []))),
  )
  return { plans, scenarios, ids: [...ids] }
}

/** Another value for an input: whole numbers stay whole, shares stay shares, nought may become something. */
function another(was: Decimal, unit: string, turn: number): Decimal {
  const factors = ['1.25', '0.8', '1.07', '1.5', '0.93']
  const moved = was.times(factors[turn % factors.length] ?? '1')
  if (was.isInteger())
    return was.isZero() ? exact.of(unit === '1' ? 0 : 1) : exact.max(exact.of(1), moved.round())
  return moved.toSignificantDigits(6)
}

function changesOf(move: Move, ids: readonly string[], every: number): { id: string; value: string }[] {
  return ids.flatMap((id, i) => {
    const row = move.inputs.numbers.get(id)
    if (!row || i % every !== 0) return []
    const changed = another(row.likely, row.unit, i)
    return changed.eq(row.likely) ? [] : [{ id, value: changed.toFixed() }]
  })
}

describe.each(['valparaiso-gdynia', 'student-tromso-wellington'] as const)(
  'the workbook of %s',
  (household) => {
    it.each([
      ['as written', 0],
      ['with every seventh input changed', 7],
      ['with nearly every input changed', 1],
    ] as const)('%s: every cell of every scenario is the model’s, by two programs', async (_, every) => {
      const move = await openDemo(household)
      const { plans, scenarios, ids } = demo(move)
      const changes = every === 0 ? [] : changesOf(move, ids, every)
      if (every > 0) expect(changes.length).toBeGreaterThan(30)
      const bytes = workbook(scenarios, { inputValues: changes })
      const model = plans.map(
        (plan): ReadonlyMap<string, Cell<Decimal>> =>
          planSheet(exact, value(withChanges(plan.inputs, changes)), move.household, move.reference).cells,
      )
      const book = readBook(bytes)
      const byEngine = recalculatedByEngine(book)
      expect(differences(byEngine, model)).toEqual([])
      const verdict = every === 0 ? /^All \d+ figures agree with the model$/ : /^Live: \d+ inputs changed/
      expect(byEngine.get('Check')?.[1]?.[2]).toMatch(verdict)
      if (!officeInstalled) return
      const byOffice = await recalculatedByOffice(
        bytes,
        book.sheets.map((s) => s.name),
      )
      expect(differences(byOffice, model)).toEqual([])
      expect(byOffice.get('Check')?.[1]?.[2]).toMatch(verdict)
    })
  },
)
