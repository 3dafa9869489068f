import { z } from 'zod'
import { csvCell } from '../tables/as-data.js'
import { type CsvFile, type Row, readTable } from '../tables/csv.js'
import { code, mark, optional, text } from '../tables/fields.js'
import { suggestion } from '../tables/nearest.js'
import type { Problem, Read } from '../tables/problem.js'
import type { LoadResult } from './load-result.js'
import type { Load } from './pieces-of.js'

/** The folder, inside a household's, that holds what was really loaded. */
export const LOADING_FOLDER = 'loading'
/** Its file: written by `load` as a form, typed back by whoever stood at the door. */
export const LOADED_FILE = 'loaded.csv'

const STAYS = 'stays'

/** loaded.csv: a row a piece or carton; one that is not named went as planned. */
export const loadedColumns = z.object({
  mark: mark({ description: 'the mark of the piece or carton, as on the loading list', example: 'C-014' }),
  what: optional(text({ description: 'what it is; not read', example: 'Book carton' })),
  container: code(/^([1-9]|1\d|20|STAYS)$/, `the number of the container, 1 to 20, or ${STAYS}`, {
    description: `the container it really went into, from 1, or ${STAYS}`,
    example: '1',
  }),
  note: optional(text({ description: 'anything else', example: 'went on top of the deck' })),
})
export type LoadedRow = Row<typeof loadedColumns>

/** loaded.csv as a form: every piece with the container the plan has it in; a booked share counts as one more. */
export function loadedForm({ first, more, pieces, byShare }: LoadResult): string {
  const container = new Map(
    [first, ...more].flatMap(({ plan }, i) => plan.placements.map((at) => [at.pieceId, i + 1] as const)),
  )
  for (const id of byShare) container.set(id, more.length + 2)
  const rows = pieces.map((p) => [p.id, p.label, String(container.get(p.id) ?? STAYS), ''])
  return `${[Object.keys(loadedColumns.shape), ...rows].map((row) => row.map(csvCell).join(',')).join('\n')}\n`
}

/** Reads loaded.csv against the pieces of the plan; every problem of the file at once. */
export function readLoaded(csv: CsvFile, { pieces }: Load): Read<readonly LoadedRow[]> {
  const read = readTable(csv, loadedColumns)
  if (!read.ok) return read
  const known = pieces.map(({ id }) => id)
  const seen = new Set<string>()
  const problems = read.value.flatMap((row): Problem[] => {
    const at = { ...row.place, column: 'mark', found: row.mark }
    if (!known.includes(row.mark))
      return [
        { ...at, expected: 'the mark of a piece or carton of the plan', fix: suggestion(row.mark, known) },
      ]
    if (seen.has(row.mark))
      return [{ ...at, expected: 'each piece once', fix: 'Keep the row of the container it went into.' }]
    seen.add(row.mark)
    return []
  })
  return problems.length > 0 ? { ok: false, problems } : read
}

/** What stayed behind, as lists and claims need it. */
export interface Stayed {
  /** Marks of pieces and cartons that were not loaded. */
  readonly marks: ReadonlySet<string>
  /** Share of each inventory line that was loaded, 0 to 1; a line that is not here went whole. */
  readonly loadedShare: ReadonlyMap<string, number>
}

/** What stayed behind by loaded.csv, line by line. */
export function stayedBehind(rows: readonly LoadedRow[], { pieces }: Load): Stayed {
  const marks = new Set(rows.flatMap((row) => (row.container === STAYS.toUpperCase() ? [row.mark] : [])))
  const all = new Map<string, number>()
  const behind = new Map<string, number>()
  for (const piece of pieces) {
    // Of a carton its contents count by their share, of single pieces each by its mass: those of a line weigh alike.
    const parts = piece.contents ?? piece.lines.map((line) => ({ line, share: piece.massKg }))
    for (const { line, share } of parts) {
      all.set(line, (all.get(line) ?? 0) + share)
      if (marks.has(piece.id)) behind.set(line, (behind.get(line) ?? 0) + share)
    }
  }
  return {
    marks,
    loadedShare: new Map(
      [...behind].map(([line, share]) => {
        const left = 1 - share / (all.get(line) ?? share)
        return [line, left < 1e-9 ? 0 : left] as const
      }),
    ),
  }
}
