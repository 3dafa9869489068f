import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { customsAdvice } from '../../src/analysis/customs-advice.js'
import { planScenarios, readMove } from '../../src/plan/move.js'
import type { CsvFile } from '../../src/tables/csv.js'
import { problemText } from '../../src/tables/problem.js'

const filesOf = (folder: string): CsvFile[] =>
  readdirSync(folder)
    .filter((file) => file.endsWith('.csv'))
    .map((file) => ({ file, text: readFileSync(`${folder}/${file}`, 'utf8') }))

const reference = filesOf('data/reference')
const customs = filesOf('data/reference/customs')
const household = filesOf('data/households/student-tromso-wellington').filter(
  ({ file }) => file !== 'scenarios.csv',
)

/** The student's household bound for another country, with more rates of its own. */
const boundFor = (country: string, rates = '') =>
  household.map((csv) => {
    if (csv.file === 'household.csv')
      return { ...csv, text: csv.text.replace(/^destination_country,NZ/m, `destination_country,${country}`) }
    return csv.file === 'rates.csv' ? { ...csv, text: `${csv.text.trimEnd()}\n${rates}` } : csv
  })
const wage = 'cost.destination.wage,60,80,100,NOK,an agent in the town\n'

// Kazakhstan has neither customs rows nor a wage in the tables; Lebanon has customs rows alone.
describe('a country without customs rows', () => {
  it('asks for the wage by name where the tables have none', () => {
    const move = readMove(boundFor('KZ'), reference, customs)
    const told = move.ok ? '' : move.problems.map(problemText).join('\n')
    expect(told).toContain('KZ')
    expect(told).toContain('cost.destination.wage')
  })

  it('has volume, cost, cover and dates with a stated wage, and says that customs is not determined', () => {
    const move = readMove(boundFor('KZ', wage), reference, customs)
    if (!move.ok) throw new Error(move.problems.map(problemText).join('\n'))
    const plans = planScenarios(move.value)
    if (!plans.ok) throw new Error(plans.problems.map(problemText).join('\n'))
    const [plan] = plans.value
    if (!plan) throw new Error('no plan')
    const { cells, customs: found } = plan.sheet
    for (const id of ['volume.net', 'cost.total', 'cost.cover.premium'])
      expect(cells.get(id)?.value.gt(0), id).toBe(true)
    expect(found.undetermined.map(({ what }) => what)).toContain('all charges')
    for (const gap of found.undetermined) expect(gap.ask).toBe('the customs authority of KZ')
    expect(cells.has('cost.customs.total')).toBe(false)
    const advice = customsAdvice(move.value, plan)
    expect(advice.whatIf).toBeUndefined()
    expect(advice.documents.length).toBeGreaterThan(5)
  })

  it('one with customs rows and no wage needs the wage alone', () => {
    const move = readMove(boundFor('LB', wage), reference, customs)
    if (!move.ok) throw new Error(move.problems.map(problemText).join('\n'))
    const plans = planScenarios(move.value)
    expect(plans.ok).toBe(true)
  })
})

describe('customs.csv of a household', () => {
  const own = (row: string): CsvFile => ({
    file: 'customs.csv',
    text: `table,row,column,value,confirmed_by,confirmed_on\n${row}\n`,
  })
  it('reaches the plan', () => {
    const files = [...boundFor('NZ'), own('import-tax,NZ,rate,0.20,New Zealand Customs,2026-11-24')]
    const move = readMove(files, reference, customs)
    if (!move.ok) throw new Error(move.problems.map(problemText).join('\n'))
    expect(move.value.reference.customs.importTax.get('NZ')?.[0]?.rate?.toString()).toBe('0.2')
  })
  it('is refused with its place where it names no row', () => {
    const files = [...boundFor('NZ'), own('import-tax,XX,rate,0.20,New Zealand Customs,2026-11-24')]
    const move = readMove(files, reference, customs)
    expect(move.ok ? '' : move.problems.map(problemText).join('\n')).toMatch(
      /^customs\.csv:2: row: found "XX"/,
    )
  })
})

describe('a second consignment', () => {
  const inventory = household.find(({ file }) => file === 'inventory.csv')?.text ?? ''
  const [header = '', ...rows] = inventory.trimEnd().split('\n')
  /** Every line of the inventory declared on a day of its own, or with the rest. */
  const declaredOn = (day: string, marks: readonly string[]) =>
    boundFor('NO').map((csv) => {
      if (csv.file === 'household.csv')
        return { ...csv, text: csv.text.replace(/^origin_country,NO/m, 'origin_country,NZ') }
      if (csv.file !== 'inventory.csv') return csv
      const dated = rows.map((row) => `${row},${marks.includes(row.split(',')[0] ?? '') ? day : ''}`)
      return { ...csv, text: [`${header},import_on`, ...dated].join('\n') }
    })
  const planned = (files: readonly CsvFile[]) => {
    const move = readMove(files, reference, customs)
    if (!move.ok) throw new Error(move.problems.map(problemText).join('\n'))
    const plans = planScenarios(move.value)
    if (!plans.ok) throw new Error(plans.problems.map(problemText).join('\n'))
    const [plan] = plans.value
    if (!plan) throw new Error('no plan')
    return plan.sheet
  }
  const first = rows.find((row) => row.includes(',ship,'))?.split(',')[0] ?? ''

  it('has its own day: a thing that comes two years later is out of the window, the rest is not', () => {
    const { customs: found } = planned(declaredOn('2029-06-01', [first]))
    const late = found.assessments.find(({ line }) => line.id === first)
    const window = late?.routes.flatMap(({ tests }) => tests).find(({ test }) => test === 'window')
    expect(window?.to).toBe('2029-06-01')
    expect(window?.outcome).not.toBe('pass')
  })

  it('on the day of the rest changes nothing', () => {
    const together = planned(declaredOn('', []))
    const apart = planned(declaredOn(together.customs.move.importOn, [first]))
    for (const id of ['cost.customs.total', 'duty.customs-value'])
      expect(apart.cells.get(id)?.value.toString(), id).toBe(together.cells.get(id)?.value.toString())
  })
})
