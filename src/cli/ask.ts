import { existsSync } from 'node:fs'
import { extname, resolve } from 'node:path'
import { csvCell } from '../tables/as-data.js'
import { UsageError } from './args.js'
import type { Command } from './command.js'
import { textTable } from './text-table.js'

/** How DuckDB reads a file, by the end of its name. */
const READERS: Readonly<Record<string, string>> = { '.parquet': 'read_parquet', '.csv': 'read_csv_auto' }

export const askCommand: Command = {
  name: 'ask',
  words: 'FILE.parquet "select ..."',
  says: 'a question in SQL to the table of a study, a sweep or a simulation, which is called results; reads that file and nothing else',
  options: {
    csv: { says: 'print CSV' },
    json: { says: 'print JSON' },
  },
  async run(args, io) {
    const [file, question, ...more] = args.words
    if (file === undefined || question === undefined || more.length > 0)
      throw new UsageError(
        'name a file and a question in quotation marks, as in quaybook ask results.parquet "select scenario, avg(total) from results group by all"',
      )
    const reader = READERS[extname(file)]
    if (reader === undefined || !existsSync(file))
      throw new UsageError(
        existsSync(file)
          ? `${file}: end the name in .parquet or .csv`
          : `${file}: no such file; check the path`,
      )
    const { names, rows } = await answerTo(resolve(file), reader, question)
    if (args.flags.has('json')) {
      const objects = rows.map((row) => Object.fromEntries(row.map((value, k) => [names[k] ?? '', value])))
      io.out(JSON.stringify(objects, null, 2))
    } else if (args.flags.has('csv'))
      io.out([names, ...rows].map((row) => row.map((v) => csvCell(String(v ?? ''))).join(',')).join('\n'))
    else
      io.out(
        textTable(
          names,
          rows.map((row) => row.map((v) => String(v ?? ''))),
        ),
      )
    return 0
  },
}

/** What a cell of an answer is. A whole number that no double holds, and anything that is no number, is a text. */
type Value = string | number | boolean | null

/**
 * Asks one question of one file. DuckDB reads that file alone: everything else outside its memory is shut before the
 * question is read, and only one statement that selects is carried out.
 */
async function answerTo(
  file: string,
  reader: string,
  question: string,
): Promise<{ names: string[]; rows: Value[][] }> {
  const { DuckDBInstance, StatementType } = await duckdb()
  const instance = await DuckDBInstance.create(':memory:')
  try {
    const connection = await instance.connect()
    for (const setting of SHUT) await connection.run(`set ${setting}`)
    await connection.run(`set allowed_paths = ['${quoted(file)}']`)
    await connection.run(`create view results as select * from ${reader}('${quoted(file)}')`)
    await connection.run('set enable_external_access = false')
    await connection.run('set lock_configuration = true')
    try {
      const statements = await connection.extractStatements(question)
      if (statements.count !== 1)
        throw new UsageError(`${statements.count} statements: ask one question at a time`)
      const prepared = await statements.prepare(0)
      if (prepared.statementType !== StatementType.SELECT)
        throw new UsageError('a question begins with select or with; nothing else is carried out')
      const found = await prepared.runAndReadAll()
      return { names: found.deduplicatedColumnNames(), rows: found.getRowsJS().map((row) => row.map(plain)) }
    } finally {
      connection.closeSync()
    }
  } catch (error) {
    if (error instanceof UsageError || !(error instanceof Error)) throw error
    throw new UsageError(error.message)
  } finally {
    instance.closeSync()
  }
}

/** No programs from elsewhere, no files of its own. */
const SHUT = [
  'autoinstall_known_extensions = false',
  'autoload_known_extensions = false',
  "temp_directory = ''",
]

const quoted = (text: string): string => text.replaceAll("'", "''")

function plain(value: unknown): Value {
  if (value === null || value === undefined) return null
  if (typeof value === 'bigint') return Number.isSafeInteger(Number(value)) ? Number(value) : String(value)
  if (typeof value === 'number') return Number.isFinite(value) ? value : null
  if (typeof value === 'string' || typeof value === 'boolean') return value
  if (value instanceof Date) return value.toISOString().slice(0, 10)
  return JSON.stringify(value, (_, part) => (typeof part === 'bigint' ? String(part) : part))
}

/** DuckDB is 70 MB and few need it: it is not installed with the package. */
async function duckdb(): Promise<typeof import('@duckdb/node-api')> {
  try {
    return await import('@duckdb/node-api')
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code !== 'ERR_MODULE_NOT_FOUND' && code !== 'MODULE_NOT_FOUND') throw error
    throw new UsageError(
      'questions in SQL are answered by DuckDB, which is not installed (70 MB). Type npm install @duckdb/node-api, or open the file with any other program that reads Parquet',
    )
  }
}
