import type { Decimal } from 'decimal.js'
import { describe, expect, it } from 'vitest'
import { type Cell, type Move, planSheet, recordedSheet, withChanges } from '../../src/plan/index.js'
import { exact } from '../../src/quantity/exact.js'
import { workbook } from '../../src/workbook/index.js'
import { DEMOS, openDemo, plansOf, value } from '../plan/households.js'
import {
  differences,
  officeInstalled,
  type Recalculated,
  recalculatedByEngine,
  recalculatedByOffice,
} from './oracles.js'
import { readBook } from './read-book.js'

if (!officeInstalled)
  console.warn('SKIPPED: LibreOffice is not installed; its recalculation of the workbook is not proven here')

/** The workbook of a household as `quaybook workbook` writes it, and its scenarios by name. */
function demo(move: Move) {
  const plans = plansOf(move)
  const scenarios = plans.map((plan) => ({ name: plan.name, sheet: recordedSheet(move, plan) }))
  const ids = new Set(
    scenarios.flatMap((s) => [...s.sheet.cells.values()].flatMap((c) => (c.kind === 'input' ? [c.id] : []))),
  )
  return { plans, scenarios, ids: [...ids] }
}

/** Another value for an input: whole numbers stay whole, shares stay shares, zero may become something. */
function another(was: Decimal, unit: string, turn: number): Decimal {
  const factors = ['1.25', '0.8', '1.07', '1.5', '0.93']
  const moved = was.times(factors[turn % factors.length] ?? '1')
  if (was.isInteger())
    return was.isZero() ? exact.of(unit === '1' ? 0 : 1) : exact.max(exact.of(1), moved.round())
  // A share stays a share: limits of inputs hold for changes too.
  return was.lte(1) && moved.gt(1) ? exact.of(1) : moved.toSignificantDigits(6)
}

function changesOf(move: Move, ids: readonly string[], every: number): { id: string; value: string }[] {
  return ids.flatMap((id, i) => {
    const row = move.inputs.numbers.get(id)
    if (!row || i % every !== 0) return []
    const changed = another(row.likely, row.unit, i)
    return changed.eq(row.likely) ? [] : [{ id, value: changed.toFixed() }]
  })
}

const rounds: readonly (readonly [title: string, every: number, carriages?: readonly string[]])[] = [
  ['as written', 0],
  ['with every seventh input changed', 7],
  ['with nearly every input changed', 1],
  // More than 40 inputs, and a carriage chosen by its name in every scenario that leaves it open.
  [
    'with every fifth input changed and another carriage chosen from the list',
    5,
    ['45G1', 'groupage', 'L5G1'],
  ],
]

describe.each(DEMOS)('the workbook of %s', async (household) => {
  const move = await openDemo(household)
  const { plans, scenarios, ids } = demo(move)
  const books = rounds.map(([title, every, carriages]) => {
    const changes = every === 0 ? [] : changesOf(move, ids, every)
    const chosen = scenarios.map(({ sheet }, s) =>
      sheet.cells.has('transport.taken') ? carriages?.[s] : undefined,
    )
    // The model decides nothing here: the carriage is stated, as by a scenario or --set.
    const model = plans.map((plan, s): ReadonlyMap<string, Cell<Decimal>> => {
      const id = chosen[s]
      const stated = id === undefined ? [] : [{ id: 'transport', value: id }]
      const inputs = value(withChanges(plan.inputs, [...changes, ...stated]))
      return planSheet(exact, inputs, move.household, move.reference).cells
    })
    const named = chosen.flatMap((id, s) => {
      const label = scenarios[s]?.sheet.cells.get(`with.${id}.cost.total`)?.label.split(': ').at(-1)
      return label === undefined
        ? []
        : [{ id: 'transport.taken', value: label, scenario: scenarios[s]?.name ?? '' }]
    })
    return {
      title,
      changes,
      model,
      named,
      bytes: workbook(scenarios, { inputValues: [...changes, ...named] }),
    }
  })
  const agrees = (grids: Recalculated | undefined, { changes, model }: (typeof books)[number]) => {
    expect(differences(grids ?? new Map(), model)).toEqual([])
    expect(grids?.get('Check')?.[1]?.[2]).toMatch(
      changes.length === 0 ? /^All \d+ figures agree with the model$/ : /^Live: \d+ inputs changed/,
    )
  }

  it.each(books)('$title: every cell of every scenario is the model’s, by a spreadsheet engine', (book) => {
    if (book.changes.length > 0) expect(book.changes.length).toBeGreaterThan(30)
    agrees(recalculatedByEngine(readBook(book.bytes)), book)
  })

  it.runIf(household === 'valparaiso-gdynia')(
    'chooses another container where the changed inputs make another one cheapest',
    () => {
      const left = books.filter(({ named }) => named.length === 0)
      const taken = left.map(({ model }) =>
        model.map((cells) => cells.get('transport.taken')?.value.toString()).join(),
      )
      expect(new Set(taken).size).toBeGreaterThan(1)
    },
  )

  it.runIf(household === 'valparaiso-gdynia')('says of a named carriage that it does not work', () => {
    const left = scenarios.find(({ sheet }) => sheet.cells.has('transport.taken'))
    const wayOf = (id: string) => left?.sheet.cells.get(`with.${id}.cost.total`)?.label.split(': ').at(-1)
    // A car does not go as a share of a container.
    const inputValues = [
      { id: 'transport.taken', value: wayOf('groupage') ?? '', scenario: left?.name ?? '' },
    ]
    const grids = recalculatedByEngine(readBook(workbook(scenarios, { inputValues })))
    const rows = grids.get('Scenarios') ?? []
    const taken = rows.find((row) => row[1] === 'Which is taken')?.slice(2, 2 + scenarios.length) ?? []
    expect(taken[scenarios.findIndex(({ name }) => name === left?.name)]).toBe(
      `${wayOf('groupage')}: does not work`,
    )
    expect(taken.filter((words) => String(words).includes('does not work'))).toHaveLength(1)
  })

  it.runIf(officeInstalled)(
    'all four: every cell is the model’s, by LibreOffice Calc',
    async () => {
      const grids = await recalculatedByOffice(books.map((book) => book.bytes))
      books.forEach((book, i) => {
        agrees(grids[i], book)
      })
    },
    180_000,
  )
})
