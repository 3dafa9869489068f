import { describe, expect, it } from 'vitest'
import { recordedSheet } from '../../src/plan/index.js'
import { containerDoors, workbook } from '../../src/workbook/index.js'
import { DEMOS, openDemo, plansOf } from '../plan/households.js'
import { type FileSheet, readBook } from './read-book.js'

const columnNumber = (letters: string) => [...letters].reduce((n, c) => n * 26 + c.charCodeAt(0) - 64, 0)

/** A formula as it reads from its own column: D7 seen from column C is [1]7, and $D7 stays what it is. */
const relative = (formula: string, column: string) =>
  formula.replace(
    /(?<![A-Za-z0-9_$])([A-Z]{1,2})(\$?\d+)(?![A-Za-z0-9_(])/g,
    (_, letters: string, row: string) => `[${columnNumber(letters) - columnNumber(column)}]${row}`,
  )

/** Rows whose formulas in the scenarios' columns differ. */
function uneven(sheet: FileSheet, columns: readonly string[]): string[] {
  const rows = new Map<string, Set<string>>()
  for (const [at, { formula }] of sheet.cells) {
    const [, column = '', row = ''] = /^([A-Z]+)(\d+)$/.exec(at) ?? []
    if (formula === undefined || !columns.includes(column)) continue
    rows.set(row, (rows.get(row) ?? new Set()).add(relative(formula, column)))
  }
  return [...rows].flatMap(([row, kinds]) =>
    kinds.size > 1 ? [`${sheet.name} row ${row}: ${[...kinds].join(' | ')}`] : [],
  )
}

/** The numbers that may stand in a formula besides 0 and 1, where, and why. */
const ALLOWED: readonly { readonly where: RegExp; readonly why: string }[] = [
  {
    where: /IF\(ABS\([^()]+-TRUNC\([^()]+,0\)\)=0\.5,2\*ROUND\([^()]+\/2,0\),ROUND\([^()]+,0\)\)/g,
    why: 'half to even has a half and an even number in it by definition',
  },
  { where: /,(\d)\)/g, why: 'digits that ROUND keeps, as many as floating point can be trusted with' },
]

/** Numbers in a formula that nobody has given a reason for. */
function literals(formula: string): string[] {
  const bare = formula.replace(/"[^"]*"/g, '')
  const rest = ALLOWED.reduce((text, { where }) => text.replace(where, ')'), bare)
  return [...rest.matchAll(/(?<![A-Za-z0-9_$.!:])(\d+(?:\.\d+)?)(?![A-Za-z0-9_(!.:])/g)]
    .map(([, n = '']) => n)
    .filter((n) => n !== '0' && n !== '1')
}

describe('what the two scans find', () => {
  it.each([
    ['C5*1000', ['1000']],
    ['ROUND(C5,9)*2.54', ['2.54']],
    ['IF(Cost!C5>=12,C1,0)', ['12']],
    ['Inventory!C12+SUM(D4:D99)*kg_per_lb', []],
  ])('the numbers in %s', (formula, found) => {
    expect(literals(formula)).toEqual(found)
  })
  it('tells one formula from another by what it reads', () => {
    expect(relative('C4*Inputs!D5', 'C')).toBe('[0]4*Inputs![1]5')
    expect(relative('D4*Inputs!E5', 'D')).toBe(relative('C4*Inputs!D5', 'C'))
    expect(relative('D4*Inputs!D5', 'D')).not.toBe(relative('C4*Inputs!D5', 'C'))
    expect(relative('$C4+Choices!C$4', 'C')).toBe('$C4+Choices![0]$4')
  })
})

describe.each(DEMOS)('the workbook of %s', async (household) => {
  const move = await openDemo(household)
  const plans = plansOf(move)
  const book = readBook(
    workbook(
      plans.map((plan) => ({ name: plan.name, sheet: recordedSheet(move, plan) })),
      { numbers: containerDoors(move.reference.containers) },
    ),
  )
  const columns = plans.map((_, s) => String.fromCharCode('C'.charCodeAt(0) + s))

  it('has in every row the same formula for every scenario', () => {
    expect(plans.length).toBeGreaterThan(1)
    const sheets = book.sheets.filter(({ name }) => name !== 'Check' && name !== 'Read me')
    expect(sheets.flatMap((sheet) => uneven(sheet, columns))).toEqual([])
  })

  it('has no numbers in its formulas but 0, 1 and those with a reason', () => {
    const found = book.sheets.flatMap(({ name, cells }) =>
      [...cells].flatMap(([at, { formula }]) => {
        const numbers = formula === undefined ? [] : literals(formula)
        return numbers.length > 0 ? [`${name}!${at} ${numbers.join(' ')} in ${formula}`] : []
      }),
    )
    expect(found).toEqual([])
  })

  it('names every number of the rules by what it is, the doors of containers among them', () => {
    const named = [...book.names].filter(([, at]) => at.startsWith('Choices!')).map(([name]) => name)
    expect(named.filter((name) => name.startsWith('number_'))).toEqual([])
    expect(named).toContain('hundredths')
    // A household without a vehicle asks no door.
    if (household === 'valparaiso-gdynia') expect(named).toContain('container_45G1_door_height')
  })
})
