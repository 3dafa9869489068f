import type { z } from 'zod'
import { factsOf } from './fields.js'
import type { Grid } from './grid.js'
import type { Problem } from './problem.js'
import { dateReadings, mayBeThousands, numberReadings } from './written.js'

export interface CellReading {
  readonly value: unknown
  readonly problem?: Pick<Problem, 'expected' | 'fix' | 'kind'>
}

export interface Column {
  readonly name: string
  readonly required: boolean
  read(cell: string, written?: Written): CellReading
}

/** What of a file decides how its numbers are read. */
export type Written = Pick<Grid, 'decimalComma' | 'dates' | 'delimiter' | 'commas'>

/** What is wrong with `1.400` in a file whose other numbers have decimal commas. */
export const pointAmongCommas = (cell: string) => ({
  expected: 'the decimal comma that other numbers of the file have',
  fix: `Write ${cell.replace('.', '')} or ${cell.replace('.', ',')}, whichever is meant.`,
})

/** Cells that a column remembers, and the longest of them: beyond that they are read again. */
const MOST_REMEMBERED = 10_000
const LONGEST_REMEMBERED = 200

const known = new WeakMap<z.ZodObject, readonly Column[]>()

/**
 * The columns of a schema, each with a memory of the cells it has read: most columns of a long file repeat a few
 * words, and a word need be understood once.
 */
export function columnReaders(schema: z.ZodObject): readonly Column[] {
  const before = known.get(schema)
  if (before) return before
  const columns = Object.entries(schema.shape).map(([name, field]) => columnReader(name, field as z.ZodType))
  known.set(schema, columns)
  return columns
}

function columnReader(name: string, type: z.ZodType): Column {
  const facts = factsOf(type)
  const stand = (): unknown => {
    const blank = type.safeParse('')
    if (blank.success) return blank.data
    const example = type.safeParse(facts.example)
    return example.success ? example.data : undefined
  }
  const understand = (cell: string, { decimalComma, dates, delimiter, commas }: Written): CellReading => {
    const number = facts.kind === 'number' && cell !== ''
    const readings = number ? numberReadings(cell, decimalComma) : []
    if (readings.length > 1) {
      const expected = 'a number that can be read in one way'
      const fix = `Write ${readings.join(' or ')}, whichever is meant${decimalComma ? '' : ', or put "# decimal: comma" in the first line of the file'}.`
      return { value: stand(), problem: { expected, fix } }
    }
    const days = facts.kind === 'date' ? dateReadings(cell) : []
    if (days.length > 1 && dates === undefined) {
      const expected = 'a date as year-month-day'
      const fix = `Write ${days.join(' or ')}, whichever is meant, or put "# dates: day first" or "# dates: month first" above the first line of the file.`
      return { value: stand(), problem: { expected, fix } }
    }
    const day = days.length > 1 ? days[dates === 'day' ? 0 : 1] : undefined
    const read = type.safeParse(readings[0] ?? day ?? cell)
    if (!read.success) {
      const [issue] = read.error.issues
      const fix = (issue as { params?: { fix?: string } } | undefined)?.params?.fix ?? ''
      return { value: stand(), problem: { expected: issue?.message ?? 'something else', fix } }
    }
    if (number && delimiter === ';' && !decimalComma && mayBeThousands(cell)) {
      if (commas) return { value: stand(), problem: pointAmongCommas(cell) }
      const expected = `${Number(cell)} or ${cell.replace('.', '')}`
      const fix = `It is read as ${Number(cell)}: write the one that is meant.`
      return { value: read.data, problem: { expected, fix, kind: 'unlikely' } }
    }
    return { value: read.data }
  }
  const memories = new Map<string, Map<string, CellReading>>()
  const memoryOf = ({ decimalComma, dates, delimiter, commas }: Written) => {
    const way = `${decimalComma}${dates}${delimiter}${commas}`
    const memory = memories.get(way) ?? new Map<string, CellReading>()
    memories.set(way, memory)
    return memory
  }
  return {
    name,
    required: facts.required === true,
    read(cell, written = AS_PROGRAMS_WRITE) {
      const seen = memoryOf(written)
      const before = seen.get(cell)
      if (before !== undefined) return before
      const reading = understand(cell, written)
      if (seen.size >= MOST_REMEMBERED) seen.clear()
      if (cell.length <= LONGEST_REMEMBERED) seen.set(cell, reading)
      return reading
    },
  }
}

const AS_PROGRAMS_WRITE: Written = { decimalComma: false, delimiter: ',', commas: false }
