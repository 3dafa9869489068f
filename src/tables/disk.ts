import { constants } from 'node:fs'
import { type FileHandle, open, readdir, stat } from 'node:fs/promises'
import { join, relative } from 'node:path'
import { textOf } from './bytes.js'
import type { CsvFile } from './csv.js'
import { nameProblems } from './file-names.js'
import { isUnlikely, type Problem, type Read, short } from './problem.js'

/** A table of a move is thousands of times smaller; what is larger is another file under a table's name. */
const LARGEST = 100_000_000

/** What a folder holds, as far as it can be read. */
export interface FolderReading {
  readonly files: readonly CsvFile[]
  readonly problems: readonly Problem[]
}

/**
 * Reads the CSV files of a folder as text.
 *
 * @param folder path of the folder
 * @param shownAs how messages name the folder; '' names the files alone
 * @returns name and text of each file, or what keeps a file from being text (wrong encoding, no such folder)
 */
export async function readFolder(folder: string, shownAs = ''): Promise<Read<readonly CsvFile[]>> {
  const { files, problems } = await readCsvFiles(folder, shownAs)
  const wrong = problems.filter((p) => !isUnlikely(p))
  return wrong.length > 0 ? { ok: false, problems: wrong } : { ok: true, value: files }
}

/**
 * The same, with the files that can be read beside those that cannot.
 *
 * @param known the names a file of this folder may have; then others that look like one of them are told
 */
export async function readCsvFiles(
  folder: string,
  shownAs = '',
  known: readonly string[] = [],
): Promise<FolderReading> {
  const names = await readdir(folder).catch((error: NodeJS.ErrnoException) => error)
  if (!Array.isArray(names)) {
    const denied = names.code === 'EACCES' || names.code === 'EPERM'
    const problem = {
      file: shownAs || relative('.', folder) || '.',
      line: 1,
      column: 'folder',
      found: denied
        ? 'a folder that may not be read'
        : names.code === 'ENOTDIR'
          ? 'a file'
          : 'no such folder',
      expected: 'a folder with CSV files',
      fix: 'Check the path; quaybook new FOLDER makes a folder to start from.',
    }
    return { files: [], problems: [problem] }
  }
  const shown = (name: string) => (shownAs ? `${shownAs}/${name}` : name)
  const problems: Problem[] = nameProblems(names, known).map((p) => ({ ...p, file: shown(p.file) }))
  const files: CsvFile[] = []
  const tables = names.filter((n) => n.toLowerCase().endsWith('.csv') && !n.startsWith('.'))
  for (const name of tables.filter((n) => known.length === 0 || known.includes(n)).sort()) {
    const bytes = await bytesOf(join(folder, name))
    const at = { file: shown(name), line: 1, column: 'file' }
    if (typeof bytes === 'string') {
      const fix = 'Put a CSV file in its place, or take it away.'
      problems.push({ ...at, found: bytes, expected: 'a text file', fix })
      continue
    }
    const read = textOf(bytes)
    if (read.ok) files.push({ file: shown(name), ...read.value })
    else problems.push({ ...at, ...read, found: short(read.found) })
  }
  return { files, problems }
}

/**
 * The bytes of a file, or in words what stands there instead. Opened without waiting, because a pipe under a table's
 * name would hold the command for ever; looked at once open, because a name may change hands in between.
 */
async function bytesOf(path: string): Promise<Buffer | string> {
  let file: FileHandle | undefined
  try {
    // A socket cannot be opened at all, and a device may do something when it is.
    const before = await stat(path)
    if (!before.isFile()) return kindOf(before)
    file = await open(path, constants.O_RDONLY | constants.O_NONBLOCK)
    const about = await file.stat()
    if (!about.isFile()) return kindOf(about)
    if (about.size > LARGEST) return `${about.size} bytes`
    return await file.readFile()
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code
    if (code === 'ENOENT') return 'a link to a file that is not there'
    if (code === 'ELOOP') return 'a link that leads to itself'
    if (code === 'EACCES' || code === 'EPERM') return 'a file that may not be read'
    return `a file that cannot be read (${code})`
  } finally {
    await file?.close()
  }
}

function kindOf(about: Awaited<ReturnType<typeof stat>>): string {
  if (about.isDirectory()) return 'a folder'
  if (about.isFIFO()) return 'a pipe'
  if (about.isSocket()) return 'a socket'
  return 'a device'
}
