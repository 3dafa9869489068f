/** Column letters of a zero-based column: 0 is A, 26 is AA. */
export function columnLetters(column: number): string {
  const before = Math.floor(column / 26) - 1
  return (before >= 0 ? columnLetters(before) : '') + String.fromCharCode(65 + (column % 26))
}

/** Address of a cell; column and row are zero-based. Example: 2 and 4 are `C5`. */
export const address = (column: number, row: number): string => `${columnLetters(column)}${row + 1}`

/** The same, fixed against copying. Example: `$C$5`. */
export const fixedAddress = (column: number, row: number): string => `$${columnLetters(column)}$${row + 1}`

const plainSheetName = /^[A-Za-z_][A-Za-z_]*$/

/** A sheet's name as formulas write it, in quotes where it has to be. */
export const sheetPrefix = (sheet: string): string =>
  plainSheetName.test(sheet) ? `${sheet}!` : `'${sheet.replaceAll("'", "''")}'!`

/**
 * A name a sheet may have: at most 31 characters, none of `[ ] : * ? / \`, no apostrophe at either end, not the
 * reserved word History, and not taken.
 *
 * @param taken names in use, in lower case; the new one is added
 */
export function sheetName(wanted: string, taken: Set<string>): string {
  const clean = wanted
    .replace(/[[\]:*?/\\\p{Cc}]/gu, ' ')
    .replace(/^[\s']+|[\s']+$/g, '')
    .slice(0, 31)
    .replace(/[\s']+$/, '')
  const base = clean === '' || clean.toLowerCase() === 'history' ? 'Sheet' : clean
  return free(base, taken, 31, (n) => ` ${n}`)
}

// A1 and R1C1 addresses, and R and C alone, may not be names.
const looksLikeAddress = /^([a-z]{1,3}\d+|r|c|r\d*c?\d*|rc\d*|true|false)$/i

/**
 * A defined name for an id: letters, digits and underscores, which every spreadsheet program takes; never one that
 * reads as an address. Example: `origin.carry-m` → `origin_carry_m`; `tax1` → `tax1_`.
 *
 * @param taken names in use, in lower case (names do not tell capitals apart); the new one is added
 */
export function definedName(id: string, taken: Set<string>): string {
  const word = id
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/[^A-Za-z0-9]+/g, '_')
    .slice(0, 200)
  const started = /^[A-Za-z_]/.test(word) ? word : `_${word}`
  return free(looksLikeAddress.test(started) ? `${started}_` : started, taken, 240, (n) => `_${n}`)
}

function free(base: string, taken: Set<string>, longest: number, suffix: (n: number) => string): string {
  let name = base
  for (let n = 2; taken.has(name.toLowerCase()); n++)
    name = base.slice(0, longest - suffix(n).length) + suffix(n)
  taken.add(name.toLowerCase())
  return name
}
