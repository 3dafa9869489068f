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
