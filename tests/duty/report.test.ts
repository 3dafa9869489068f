import { Decimal } from 'decimal.js'
import { describe, expect, it } from 'vitest'
import { chartTheme, reliefMatrixChart } from '../../src/charts/index.js'
import { chartSvg } from '../../src/charts/render.js'
import {
  CUSTOMS_CAUTION,
  customsOutcome,
  customsReport,
  reliefMatrix,
  VEHICLE_CAUTION,
} from '../../src/duty/index.js'
import { move, person, shippedRules, thing } from './rules.js'

const tables = shippedRules()
const zero = new Decimal(0)
const carriage = { freight: zero, insurance: zero, inland: zero, exchange: new Decimal(1) }

function reportOf(there: ReturnType<typeof move>, on = '2026-01-01') {
  const { best } = customsOutcome(tables, there, carriage)
  const { importer, assessments, undetermined } = best
  return customsReport(tables, { move: there, importer, assessments, undetermined }, on)
}

describe('customs in words', () => {
  const lines = [
    thing({ id: 'table' }),
    thing({ id: 'chairs' }),
    thing({ id: 'desk', label: 'desk', acquiredOn: '2026-02-01' }),
    thing({ id: 'wine', label: 'wine', class: 'alcohol' }),
    thing({ id: 'car', label: 'car', kind: 'car', class: 'car' }),
  ]
  const report = reportOf(move({ lines }))

  it('gathers the lines of a rule and says what each charged one fails', () => {
    expect(report.summary).toBe(
      'European Union, imported by A: 3 lines should be free, 2 lines would be charged. Ask the customs authority of the member state.',
    )
    expect(report.verdicts.map(({ what, verdict }) => [what, verdict])).toEqual([
      ['3 lines', 'qualifies'],
      ['2 lines', 'refused'],
    ])
    expect(report.dutiable.map(({ item }) => item)).toEqual(['desk', 'wine'])
    expect(report.dutiable[1]?.reason).toBe('Goods of the class alcohol are left out of this relief.')
    expect(report.verdicts[0]?.source).toContain('Regulation (EC) 1186/2009')
  })

  it('tells restricted goods, papers and deadlines with what to do', () => {
    expect(report.restricted.map(({ item }) => item)).toContain('wine')
    expect(report.deadlines.find(({ what }) => what.startsWith('last day'))?.on).toBe('2027-03-05')
    expect(reportOf(move(), '2027-06-01').deadlines.every(({ note }) => note.startsWith('missed'))).toBe(true)
  })

  it('says that the rate of drink is not in the tables', () => {
    expect(report.notDetermined.join()).toContain('no rate for the class alcohol')
  })

  it('always bears the caution, and that on vehicles where one goes', () => {
    expect(report.cautions).toContain(CUSTOMS_CAUTION)
    expect(report.cautions).toContain(VEHICLE_CAUTION)
    expect(reportOf(move()).cautions).not.toContain(VEHICLE_CAUTION)
  })

  it('a move inside one territory has no papers for import', () => {
    const inside = reportOf(move({ origin: 'FR' }))
    expect(inside.summary).toBe('A move inside the customs territory of European Union: there is no import.')
    expect(inside.documents).toEqual([])
  })

  it('a country without rules names whom to ask', () => {
    expect(reportOf(move({ destination: 'XX' })).summary).toContain('Ask the customs authority of XX')
  })
})

describe('the picture of relief at a glance', () => {
  const cells = reliefMatrix(
    tables,
    move({ people: [person(), person({ person: 'B', status: 'returning' })] }),
  ).map(({ label, person: who, shareOfValue, verdict }) => ({
    place: label,
    person: who,
    share: shareOfValue,
    verdict,
  }))
  it('draws a row for each place and says the same in words', async () => {
    const chart = reliefMatrixChart(cells, chartTheme())
    expect(chart.alt).toMatch(/everything is free in .*Hong Kong/)
    expect(chart.alt).toContain('It cannot be told for United Arab Emirates and Qatar.')
    const svg = await chartSvg(chart.spec)
    for (const place of ['European Union', 'Japan', 'Kenya']) expect(svg).toContain(place)
  })
})
