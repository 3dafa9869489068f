// The texts of papers, read from the package's tables and, for a language of the reader's own, from one more file.
import { readFile } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import { Refusal } from '../plan/refusal.js'
import type { CsvFile } from '../tables/csv.js'
import { LANGUAGES, readStrings, type Strings, untranslated, Words } from './words.js'

const TABLES = ['brief', 'labels', 'sentences', 'rules'] as const

async function tables(): Promise<Strings> {
  const files = await Promise.all(
    TABLES.map(async (name): Promise<CsvFile> => {
      const path = fileURLToPath(new URL(`../../data/reference/strings/${name}.csv`, import.meta.url))
      return { file: `reference/strings/${name}.csv`, text: await readFile(path, 'utf8') }
    }),
  )
  const read = readStrings(files)
  if (!read.ok) throw new Refusal(read.problems)
  return read.value
}

/**
 * The words of a paper in a language.
 *
 * @param language `en`, `fr`, `es`, `de`, or the tag of the column of `file`
 * @param file path of a CSV with the columns `id` and that language
 *
 * Throws a Refusal with every problem of the file, texts that are missing among them.
 */
export async function wordsIn(language = 'en', file?: string): Promise<Words> {
  const strings = await tables()
  if (file === undefined) {
    if (!(language in LANGUAGES))
      throw new Refusal([
        {
          file: '--language',
          line: 1,
          column: 'language',
          found: language,
          expected: `one of ${Object.keys(LANGUAGES).join(', ')}`,
          fix: 'For another language give its texts with --strings FILE.',
        },
      ])
    return new Words(strings, language)
  }
  const own = readStrings([{ file, text: await readFile(file, 'utf8') }], strings)
  if (!own.ok) throw new Refusal(own.problems)
  const missing = untranslated(own.value, language)
  if (missing.length > 0)
    throw new Refusal([
      {
        file,
        line: 1,
        column: language,
        found: `${missing.length} ids without a text, the first ${missing[0]}`,
        expected: `every id of data/reference/strings in ${language}`,
        fix: `Add the rows ${missing.slice(0, 8).join(', ')}${missing.length > 8 ? ' and the others' : ''}.`,
      },
    ])
  return new Words(own.value, language)
}
