import { describe, expect, it } from 'vitest'
import { readCustomsTables, reliedOn, withOwnRows } from '../../src/customs/index.js'
import { problemText } from '../../src/tables/problem.js'
import { assessOne, customsFiles, move, person, shippedRules, thing } from './rules.js'

const head = 'table,row,from,column,value,confirmed_by,confirmed_on,answer,note\n'
const own = (rows: string) => ({ file: 'customs.csv', text: head + rows })
const told = (rows: string) => {
  const read = withOwnRows(customsFiles(), own(rows))
  return read.ok ? [] : read.problems.map(problemText)
}
const rules = (rows: string) => {
  const read = withOwnRows(customsFiles(), own(rows))
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'))
  const tables = readCustomsTables(read.value)
  if (!tables.ok) throw new Error(tables.problems.map(problemText).join('\n'))
  return tables.value
}
const late = { importOn: '2027-06-01' }

describe('what a household had confirmed', () => {
  const answer = 'relief,no.removal,,after,24,"Norwegian Customs, Tromsø",2026-11-20,answers/17.pdf,\n'

  it('changes the row it names, and nothing else', () => {
    expect(assessOne(shippedRules(), 'NO', {}, {}, late).verdict).toBe('discretionary')
    const changed = rules(answer)
    expect(assessOne(changed, 'NO', {}, {}, late).verdict).toBe('qualifies')
    const before = shippedRules()
    for (const [id, rows] of before.relief) {
      if (id !== 'no') expect(changed.relief.get(id)).toEqual(rows)
    }
  })

  it('the row then says who confirmed it, when, and by what answer', () => {
    const row = rules(answer)
      .relief.get('no')
      ?.find(({ id }) => id === 'no.removal')
    expect(row).toMatchObject({
      source: 'Norwegian Customs, Tromsø: answers/17.pdf',
      confirmed: 'looked up',
      still_true_on: '2026-11-20',
    })
    expect(row?.note).toContain('customs.csv of the household')
  })

  it.each([
    ['an unknown row', 'relief,no.removals,,after,24,NC,2026-11-20,,\n', 'Did you mean no.removal?'],
    ['an unknown column', 'relief,no.removal,,aftre,24,NC,2026-11-20,,\n', 'Did you mean after?'],
    ['which of several days', 'import-tax,FI,,rate,0.26,NC,2026-11-20,,\n', 'which of 2 rows FI'],
    ['nobody who confirmed it', 'relief,no.removal,,after,24,,2026-11-20,,\n', 'confirmed_by'],
  ])('%s is told with its place', (_what, row, words) => {
    expect(told(row)[0]).toMatch(/^customs\.csv:2: /)
    expect(told(row).join('\n')).toContain(words)
  })

  it('a value that does not fit is told as in the tables themselves', () => {
    const read = withOwnRows(customsFiles(), own('relief,no.removal,,after,two years,NC,2026-11-20,,\n'))
    const tables = read.ok ? readCustomsTables(read.value) : read
    expect(tables.ok ? '' : tables.problems.map(problemText).join('\n')).toContain('two years')
  })

  it('of several dated rows the first day names one', () => {
    const changed = rules('import-tax,FI,2024-09-01,rate,0.26,Vero,2026-11-20,letter of 20 November,\n')
    expect(changed.importTax.get('FI')?.map((row) => row.rate?.toString())).toEqual(['0.24', '0.26'])
  })
})

describe('the rows a move relies on', () => {
  const there = move({ destination: 'NO', people: [person()], lines: [thing(), thing({ class: 'alcohol' })] })
  const rows = reliedOn(shippedRules(), there, '2026-12-26')

  it('stand with mark, age and whom to ask, the shakiest first', () => {
    const marks = rows.map(({ confirmed }) => confirmed)
    const order = ['from memory', 'common practice', 'secondary', 'looked up']
    expect(marks).toEqual(marks.toSorted((a, b) => order.indexOf(a) - order.indexOf(b)))
    for (const row of rows) expect(row.ask.length).toBeGreaterThan(3)
    expect(rows.find(({ row }) => row === 'no.removal')).toMatchObject({
      ask: 'Norwegian Customs',
      daysOld: 31,
    })
  })

  it('hold the relief, the tax, the duty of each class, the papers, and nothing of elsewhere', () => {
    const names = rows.map(({ table, row }) => `${table} ${row}`)
    expect(names).toContain('import-tax.csv NO')
    expect(names).toContain('duty-rates.csv no home')
    expect(names).toContain('goods-rules.csv no.drink')
    expect(names).toContain('documents.csv no.rd0030')
    expect(names.filter((name) => / (eu|us|za)\./.test(name))).toEqual([])
  })
})
