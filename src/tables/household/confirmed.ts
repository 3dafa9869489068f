import { z } from 'zod'
import { csvCell } from '../as-data.js'
import type { Row } from '../csv.js'
import { mark, optional, text } from '../fields.js'
import { isUnlikely, type Problem } from '../problem.js'
import { isPlainNumber } from '../written.js'

/** confirmed.csv: what the household has looked at again and means, so that nobody asks twice. */
export const confirmedColumns = z.object({
  file: mark({ description: 'the file the cell stands in', example: 'inventory.csv' }),
  row: optional(mark({ description: 'the mark of its row: line, person, vehicle or id', example: 'K-03' })),
  column: mark({ description: 'its column', example: 'mass_kg' }),
  found: text({
    description: 'what stands there and is meant; another value is asked about anew',
    example: '640',
  }),
  note: optional(text({ description: 'anything else', example: 'weighed on 3 November' })),
})

const base = (file: string): string => file.split('/').at(-1) ?? file
/** A spreadsheet program may write 640.0 as 640: numbers are compared as numbers. */
const plain = (value: string): string => (isPlainNumber(value) ? String(Number(value)) : value)
const key = (file: string, row: string, column: string, found: string): string =>
  JSON.stringify([base(file), row, column, plain(found)])

/** The row of confirmed.csv that would confirm a questioned cell. */
export const confirmingRow = (p: Problem): string =>
  [base(p.file), p.row ?? '', p.column, p.found].map(csvCell).join(',')

/** Problems without the questioned cells that confirmed.csv names; the rest say how to confirm them. */
export function withoutConfirmed(
  problems: readonly Problem[],
  confirmed: readonly Row<typeof confirmedColumns>[],
): readonly Problem[] {
  const meant = new Set(confirmed.map((c) => key(c.file, c.row ?? '', c.column, c.found)))
  return problems.flatMap((p) => {
    if (!isUnlikely(p)) return [p]
    if (meant.has(key(p.file, p.row ?? '', p.column, p.found))) return []
    return [{ ...p, fix: `${p.fix} If it is meant, add to confirmed.csv: ${confirmingRow(p)}` }]
  })
}
