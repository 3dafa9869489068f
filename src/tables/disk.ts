import { readdir, readFile } from 'node:fs/promises'
import { join, relative } from 'node:path'
import type { CsvFile } from './csv.js'
import type { Problem, Read } from './problem.js'

/**
 * Reads the CSV files of a folder as text.
 *
 * @param folder path of the folder
 * @param shownAs how messages name the folder; '' names the files alone
 * @returns name and text of each file, or what keeps a file from being text (wrong encoding, no such folder)
 */
export async function readFolder(folder: string, shownAs = ''): Promise<Read<readonly CsvFile[]>> {
  const names = await readdir(folder).catch(() => undefined)
  if (names === undefined) {
    const fix = 'Check the path; quaybook new FOLDER makes a folder to start from.'
    const problem = {
      file: shownAs || relative('.', folder) || '.',
      line: 1,
      column: 'folder',
      found: folder,
    }
    return { ok: false, problems: [{ ...problem, expected: 'a folder with CSV files', fix }] }
  }
  const problems: Problem[] = []
  const files: CsvFile[] = []
  for (const name of names.filter((n) => n.toLowerCase().endsWith('.csv')).sort()) {
    const file = shownAs ? `${shownAs}/${name}` : name
    const bytes = await readFile(join(folder, name))
    try {
      files.push({ file, text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) })
    } catch {
      problems.push({
        file,
        line: 1,
        column: 'file',
        found: 'bytes that are not UTF-8',
        expected: 'a text file in UTF-8',
        fix: 'Save it again from the spreadsheet program as "CSV UTF-8".',
      })
    }
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: files }
}
