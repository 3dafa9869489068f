import { pointAmongCommas } from '../cells.js'
import { type CsvFile, gridOf, type Place } from '../csv.js'
import { type Problem, short } from '../problem.js'
import { mayBeThousands, numberReadings } from '../written.js'

/** One column of changes to the plan: input id to the new value, as written. */
export interface Scenario {
  readonly name: string
  readonly changes: readonly { readonly id: string; readonly value: string; readonly place: Place }[]
}

export interface ScenariosReading {
  readonly scenarios: readonly Scenario[]
  readonly problems: readonly Problem[]
  readonly filled: number
}

/** scenarios.csv: first column `id`, then a column a scenario; a blank cell leaves the input as it is. */
export function readScenarios(csv: CsvFile): ScenariosReading {
  const { grid, problems: torn } = gridOf(csv)
  const problems: Problem[] = [...torn]
  if (!grid) return { scenarios: [], problems, filled: 0 }
  const { header, rows, headerLine, decimalComma, delimiter, commas } = grid
  const inHeader = (found: string, expected: string, fix: string) =>
    problems.push({ file: csv.file, line: headerLine, column: 'header', found: short(found), expected, fix })
  const [first = '', ...names] = header
  if (first.toLowerCase() !== 'id' || names.length === 0) {
    const below = rows.find(({ cells }) => cells[0]?.toLowerCase() === 'id')
    inHeader(
      header.join(' ').trim(),
      'id, then a name for each scenario',
      below
        ? `Take away what stands above line ${below.line}, or put # before it.`
        : 'Write id in the first cell of the first line and a name for each scenario after it.',
    )
    return { scenarios: [], problems, filled: 0 }
  }
  const seen = new Map<string, number>()
  for (const [i, name] of names.entries()) {
    if (name === '') inHeader('', `a name for column ${i + 2}`, 'Name the scenario, or take its column away.')
    else if (seen.has(name)) inHeader(name, 'a name of its own for each scenario', 'Rename one.')
    else if (name.length > 80 || /[\p{Cc}]/u.test(name))
      inHeader(name, 'a name of at most 80 characters on one line', 'Shorten it; brief and charts show it.')
    seen.set(name, i)
  }

  let filled = 0
  const ids = new Map<string, number>()
  const changes: Scenario['changes'][number][][] = names.map(() => [])
  let wide: { readonly line: number; readonly found: string } | undefined
  for (const { line, cells } of rows) {
    const [id = ''] = cells
    const place = { file: csv.file, line }
    const earlier = ids.get(id)
    if (earlier !== undefined) {
      const fix = `It stands in line ${earlier} already: keep one row.`
      problems.push({ ...place, column: 'id', found: short(id), expected: 'each input once', fix })
      continue
    }
    ids.set(id, line)
    filled += 1
    const extra = cells
      .slice(header.length)
      .filter((cell) => cell !== '')
      .join(' ')
    if (extra !== '') wide ??= { line, found: short(extra) }
    for (const [i, name] of names.entries()) {
      const value = cells[i + 1] ?? ''
      if (value === '') continue
      filled += 1
      const [one, other] = numberReadings(value, decimalComma)
      const at = { ...place, column: name, found: short(value), row: id }
      if (one !== undefined && other !== undefined) {
        const fix = `Write ${one} or ${other}, whichever is meant.`
        problems.push({ ...at, expected: 'a number that can be read in one way', fix })
        continue
      }
      if (delimiter === ';' && !decimalComma && mayBeThousands(value)) {
        if (commas) {
          problems.push({ ...at, ...pointAmongCommas(value) })
          continue
        }
        const fix = `It is read as ${Number(value)}: write the one that is meant.`
        const expected = `${Number(value)} or ${value.replace('.', '')}`
        problems.push({ ...at, expected, fix, kind: 'unlikely' })
      }
      changes[i]?.push({ id, value: one ?? value, place })
    }
  }
  if (wide) {
    problems.push({
      file: csv.file,
      line: wide.line,
      column: 'line',
      found: wide.found,
      expected: `${header.length} cells, as the header has`,
      fix: 'Take the extra cells away, or name their scenario in the header.',
    })
  }
  return {
    scenarios: names.map((name, i) => ({ name, changes: changes[i] ?? [] })),
    problems: problems.sort((a, b) => a.line - b.line),
    filled,
  }
}
