import { slipOf } from './nearest.js'
import type { Problem } from './problem.js'

/**
 * What is wrong with the names of a folder's files: a table under a name nobody reads would be left out in silence.
 *
 * @param names all names in the folder
 * @param known the names its tables have; none: nothing is expected of the names
 */
export function nameProblems(names: readonly string[], known: readonly string[]): readonly Problem[] {
  if (known.length === 0) return []
  const there = new Set(names)
  const at = (file: string) => ({ file, line: 1, column: 'file' })
  return names.flatMap((name): readonly Problem[] => {
    if (there.has(name) && known.includes(name)) return []
    const kind = /\.(csv|txt|xlsx?|xlsm|ods|numbers)$/i.exec(name)?.[1]?.toLowerCase()
    if (kind === undefined || name.startsWith('.')) return []
    const stem = name
      .slice(0, -kind.length - 1)
      .toLowerCase()
      .trim()
      // What programs add to a name that is taken: "(1)", "- copy", "2"; and what people do: "my", "final".
      .replace(/ ?\(\d+\)$|[ -]+(copy|kopie|copie|copia|kopi|final|new|old)$|[ _-]*\d+$/, '')
      .replace(/^(copy of|kopie van|kopie von|copie de|copia de|my) /, '')
      .replace(/\.csv$/, '')
    const meant = known.includes(`${stem}.csv`) ? `${stem}.csv` : slipOf(`${stem}.csv`, known)
    if (meant === undefined || (kind !== 'csv' && meant !== `${stem}.csv`)) {
      if (kind !== 'csv') return []
      const fix = 'Name it as one of the files that are read, or take it away.'
      return [{ ...at(name), row: '', found: name, expected: 'a file that is read', fix, kind: 'unlikely' }]
    }
    const both = there.has(meant)
    if (kind === 'csv' || kind === 'txt') {
      const expected = both ? `one file ${meant}` : `the name ${meant}`
      const fix = both ? `Keep the one that holds, as ${meant}.` : `Rename it to ${meant}.`
      return [{ ...at(name), found: name, expected, fix }]
    }
    // A workbook kept beside the table that was saved from it is how many people work.
    if (both) return []
    const fix = `Open it and save the sheet as ${meant}, of the type CSV UTF-8.`
    return [{ ...at(name), found: name, expected: `the file ${meant}`, fix }]
  })
}
