import { z } from 'zod'
import { columnReaders } from '../cells.js'
import { type CsvFile, cellKey, gridOf, readRows } from '../csv.js'
import { optional, text } from '../fields.js'
import { type HouseholdFacts, householdFacts } from '../household-columns.js'
import { suggestion } from '../nearest.js'
import { type Problem, short } from '../problem.js'

/** household.csv as far as it can be read. */
export interface FactsReading {
  /** Every fact; one that could not be read holds its example. */
  readonly facts: HouseholdFacts
  /** The line each fact stands in. */
  readonly lines: ReadonlyMap<string, number>
  readonly problems: readonly Problem[]
  readonly doubtful: ReadonlySet<string>
  readonly filled: number
}

const factColumns = z.object({
  fact: text({ description: 'the name of the fact', example: 'currency' }),
  value: optional(text({ description: 'what holds', example: 'EUR' })),
  note: optional(text({ description: 'anything else', example: '' })),
})

/** household.csv holds one fact a row: `fact,value,note`. */
export function readFacts(csv: CsvFile): FactsReading {
  const table = readRows(csv, factColumns)
  const grid = gridOf(csv).grid
  const problems: Problem[] = [...table.problems]
  const doubtful = new Set<string>()
  const lines = new Map<string, number>()
  const given = new Map<string, string>()
  const readers = columnReaders(householdFacts)
  const known = readers.map(({ name }) => name)
  const names = new Set(known)
  for (const { fact: written, value, place } of table.rows) {
    const fact = written.toLowerCase().replace(/[ -]+/g, '_')
    const where = { ...place, column: 'fact', found: short(written) }
    const earlier = lines.get(fact)
    if (!names.has(fact)) {
      problems.push({ ...where, expected: 'a fact of this file', fix: suggestion(written, known) })
    } else if (earlier !== undefined) {
      const fix = `It stands in line ${earlier} already.`
      problems.push({ ...where, expected: 'each fact once', fix })
    } else {
      given.set(fact, value ?? '')
      lines.set(fact, place.line)
    }
  }
  const facts = new Map<string, unknown>()
  const missing: string[] = []
  for (const reader of readers) {
    const cell = given.get(reader.name)
    const line = lines.get(reader.name) ?? grid?.headerLine ?? 1
    const read = reader.read(cell ?? '', grid)
    facts.set(reader.name, read.value)
    if (read.problem === undefined) continue
    if (read.problem.kind !== 'unlikely') doubtful.add(cellKey({ file: csv.file, line }, reader.name))
    if (cell === undefined) missing.push(reader.name)
    else {
      problems.push({ file: csv.file, line, column: reader.name, found: short(cell), ...read.problem })
    }
  }
  if (missing.length > 0 && table.whole) {
    problems.push({
      file: csv.file,
      line: grid?.headerLine ?? 1,
      column: 'fact',
      found: '',
      expected: missing.length === 1 ? `a row ${missing[0]}` : `rows ${missing.join(', ')}`,
      fix: 'Add them as the template has them: quaybook new DIR writes one.',
    })
  }
  return {
    facts: Object.fromEntries(facts) as unknown as HouseholdFacts,
    lines,
    problems: problems.sort((a, b) => a.line - b.line),
    doubtful,
    filled: table.filled,
  }
}
