// A study's rows as the file that was asked for. What they are worked out into is CSV, which grows and can be cut.
import { createReadStream } from 'node:fs'
import { rename, rm } from 'node:fs/promises'
import { fileWriter, ParquetWriter, schemaFromColumnData } from 'hyparquet-writer'
import { notWritten, replaceFile, replaceFileInPieces } from '../paper/replace-file.js'
import type { StudyColumn } from '../study/index.js'
import { splitRows } from '../tables/split.js'

/** The forms of a study's table, by the end of the file's name. */
export const FORMS = ['.csv', '.parquet', '.arrow'] as const
export type Form = (typeof FORMS)[number]

/** Rows of a Parquet row group, which are in memory together. */
const groupRows = 100_000
/** Cells of an Arrow file, at most: they are in memory together. */
export const mostArrowCells = 20_000_000

/**
 * Writes the table of some parts, one after the other.
 *
 * @param parts CSV files; the first has the head line
 * @param about plain facts to keep with the table where the form has room for them
 *
 * Throws NotWritten, which names the file and says why.
 */
export async function writeTable(
  out: string,
  form: Form,
  parts: readonly string[],
  columns: readonly StudyColumn[],
  about: Readonly<Record<string, string>>,
): Promise<void> {
  if (form === '.csv')
    return replaceFileInPieces(out, async (write) => {
      for (const part of parts) for await (const text of createReadStream(part, 'utf8')) write(text)
    })
  if (form === '.parquet') return parquetFile(out, parts, columns, about)
  const batches: Batch[] = []
  for await (const batch of batchesOf(parts, columns)) batches.push(batch)
  return replaceFile(out, await arrowBytes(batches, columns, about))
}

/** Some rows as columns: texts, or numbers with nothing where a cell is empty. */
type Batch = readonly (string[] | (number | null)[])[]

/** The rows of the parts, `groupRows` at a time. */
async function* batchesOf(parts: readonly string[], columns: readonly StudyColumn[]): AsyncGenerator<Batch> {
  let batch = columns.map((): string[] => [])
  const ready = (): Batch =>
    columns.map(({ kind }, k) => {
      const texts = batch[k] ?? []
      return kind === 'words' ? texts : texts.map((text) => (text === '' ? null : Number(text)))
    })
  let head = true
  for await (const text of wholeLines(parts)) {
    for (const { cells } of splitRows(text, ',', 1).rows) {
      if (head) {
        head = false
        continue
      }
      batch.forEach((column, k) => {
        column.push(cells[k] ?? '')
      })
      if (batch[0]?.length === groupRows) {
        yield ready()
        batch = columns.map(() => [])
      }
    }
  }
  if (batch[0]?.length) yield ready()
}

/** Texts that end where a row ends: a line break inside quotation marks is none. */
async function* wholeLines(parts: readonly string[]): AsyncGenerator<string> {
  let rest = ''
  for (const part of parts) {
    for await (const text of createReadStream(part, { encoding: 'utf8', highWaterMark: 1 << 20 })) {
      rest += text
      let end = rest.lastIndexOf('\n') + 1
      while (end > 0 && quotes(rest.slice(0, end)) % 2 === 1) end = rest.lastIndexOf('\n', end - 2) + 1
      if (end > 0) yield rest.slice(0, end)
      rest = rest.slice(end)
    }
  }
  if (rest !== '') yield rest
}

const quotes = (text: string): number => text.split('"').length - 1

async function parquetFile(
  out: string,
  parts: readonly string[],
  columns: readonly StudyColumn[],
  about: Readonly<Record<string, string>>,
): Promise<void> {
  const beside = `${out}.unfinished.parquet`
  try {
    const sources = (batch: Batch) =>
      columns.map(({ name, kind }, k) => ({
        name,
        data: batch[k] ?? [],
        type: kind === 'words' ? ('STRING' as const) : ('DOUBLE' as const),
        nullable: kind === 'number',
      }))
    const writer = new ParquetWriter({
      writer: fileWriter(beside),
      schema: schemaFromColumnData({ columnData: sources([]) }),
      kvMetadata: Object.entries({ ...about, ...unitsOf(columns) }).map(([key, value]) => ({ key, value })),
    })
    for await (const batch of batchesOf(parts, columns))
      await writer.write({ columnData: sources(batch), rowGroupSize: groupRows })
    await writer.finish()
    await rename(beside, out)
  } catch (error) {
    await rm(beside, { force: true }).catch(() => undefined)
    throw notWritten(out, error)
  }
}

/** `unit.NAME` for each column of numbers. */
const unitsOf = (columns: readonly StudyColumn[]): Readonly<Record<string, string>> =>
  Object.fromEntries(
    columns.flatMap(({ name, unit }) => (unit === undefined ? [] : [[`unit.${name}`, unit]])),
  )

/** An Arrow file, in which each field of the schema has its unit. */
async function arrowBytes(
  batches: readonly Batch[],
  columns: readonly StudyColumn[],
  about: Readonly<Record<string, string>>,
): Promise<Uint8Array> {
  const { columnFromValues, dictionary, float64, tableFromColumns, tableToIPC, utf8 } = await import(
    '@uwdata/flechette'
  )
  const table = tableFromColumns(
    columns.map(({ name, kind }, k) => {
      const values = (visit: (value: unknown) => void): void => {
        for (const batch of batches) for (const value of batch[k] ?? []) visit(value)
      }
      return [name, columnFromValues(values, kind === 'words' ? dictionary(utf8()) : float64())] as const
    }) as Parameters<typeof tableFromColumns>[0],
  )
  const units = new Map(columns.map(({ name, unit }) => [name, unit]))
  for (const field of table.schema.fields) {
    const unit = units.get(field.name)
    if (unit !== undefined) field.metadata = new Map([['unit', unit]])
  }
  table.schema.metadata = new Map(Object.entries(about))
  const bytes = tableToIPC(table, { format: 'file' })
  if (!bytes) throw new Error('no Arrow file came of the table')
  return bytes
}
