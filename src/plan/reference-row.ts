import type { Problem } from '../tables/problem.js'
import { REFERENCE_TABLES, type Reference } from '../tables/reference.js'
import type { MissingRow } from './refusal.js'

/** Inputs that come from a row of a reference table, by the start of their ids. */
const TABLES: readonly (readonly [RegExp, string])[] = [
  [/^container\.([^.]+)\./, 'containers.csv'],
  [/^carton\.([^.]+)\./, 'cartons.csv'],
  [/^item\.([^.]+)\./, 'items.csv'],
  [/^cover\.([^.]+)\./, 'covers.csv'],
  [/^price\.freight\.([^.]+)$/, 'freight.csv'],
  [/^price\.((?:demurrage|detention)\..+)$/, 'port-charges.csv'],
  [/^price\.(.+?)(?:\.groupage|\.minimum)?$/, 'services.csv'],
  [/^(?!line\.|vehicle\.|quote\.|exchange\.|cost\.)([a-z].*\..*)$/, 'figures.csv'],
]

/**
 * The row of a reference table that an input of the plan would come from, for the message where it is missing: somebody
 * who keeps tables of their own has taken the row away or renamed it.
 */
export function referenceRow(input: string): { readonly file: string; readonly row: string } | undefined {
  for (const [pattern, file] of TABLES) {
    const row = pattern.exec(input)?.[1]
    if (row !== undefined) return { file, row }
  }
  return undefined
}

/** The same as a problem of that table: in the line after its last row, where the missing one can be typed. */
export function missingRowProblem({ input, file, row }: MissingRow, reference: Reference): Problem {
  const name = (Object.keys(REFERENCE_TABLES) as (keyof Reference)[]).find(
    (key) => REFERENCE_TABLES[key].file === file,
  )
  const places = (name ? reference[name] : []).map(({ place }) => place)
  return {
    file: places[0]?.file ?? `reference/${file}`,
    line: Math.max(1, ...places.map(({ line }) => line)) + 1,
    column: 'id',
    found: `no row ${row}`,
    expected: `the row ${row}, which gives the input ${input}`,
    fix: 'Put it back, from the tables of the package if need be.',
  }
}
