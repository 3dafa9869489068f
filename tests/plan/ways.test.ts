import { describe, expect, it, test } from 'vitest'
import { recordedSheet } from '../../src/plan/index.js'
import { openDemo, plansOf, planWith } from './households.js'

const demos = [
  ['leeuwarden-nanaimo', await openDemo('leeuwarden-nanaimo')],
  ['valparaiso-gdynia', await openDemo('valparaiso-gdynia')],
  ['student-tromso-wellington', await openDemo('student-tromso-wellington')],
] as const

// A choice left open is every stated choice side by side, so each stated plan must be found inside the open one.
describe('a carriage left open', () => {
  test.each(demos)('holds every stated one, figure by figure: %s', (_name, move) => {
    const open = planWith(move, { transport: 'cheapest' })
    const { carriages, cells } = open.sheet
    for (const { option } of carriages) {
      const stated = planWith(move, { transport: option })
      for (const [id, cell] of stated.sheet.cells) {
        // Asked once, of the carriage taken.
        if (id === 'duty.without-relief' || id === 'duty.relief-saves' || id.startsWith('quotes.')) continue
        const inOpen = cells.get(`with.${option}.${id}`) ?? cells.get(id)
        expect(inOpen?.value.toString(), `${option}: ${id}`).toBe(cell.value.toString())
      }
    }
  })

  test.each(demos)('takes the cheapest whole move of those that fit: %s', (_name, move) => {
    const { cells, carriages, choices } = planWith(move, { transport: 'cheapest' }).sheet
    const of = (id: string) => cells.get(id)?.value.toNumber() ?? Number.NaN
    const able = carriages.filter(({ option }) => of(`options.${option}.fits`) === 1)
    const least = able.reduce((best, next) =>
      of(`with.${next.option}.cost.total`) < of(`with.${best.option}.cost.total`) ? next : best,
    )
    expect(choices.get('transport')).toBe(least.option)
    expect(of('cost.total')).toBe(of(`with.${least.option}.cost.total`))
  })

  it('keeps its formulas in every arithmetic', () => {
    for (const [, move] of demos) {
      for (const plan of plansOf(move)) {
        const recorded = recordedSheet(move, plan)
        expect([...recorded.cells.keys()]).toEqual([...plan.sheet.cells.keys()])
      }
    }
  })
})
