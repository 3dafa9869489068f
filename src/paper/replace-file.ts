import { AsyncLocalStorage } from 'node:async_hooks'
import { randomBytes } from 'node:crypto'
import { closeSync, fsyncSync, openSync, writeSync } from 'node:fs'
import { mkdir, open, readdir, realpath, rename, rm } from 'node:fs/promises'
import { basename, dirname, join, resolve } from 'node:path'
import { isAlive } from './process.js'

/** A file that could not be written; the old one, if there was one, is as it was. */
export class NotWritten extends Error {}

/**
 * Writes a file beside the old one, makes sure that it is on the disk, and renames it over the old one: a crash, a
 * full disk or a kill leaves either the old content whole or the new. Inside `together` the renaming waits for the end
 * of the run, so that its files appear together.
 *
 * Throws NotWritten, which names the file and says why.
 */
export async function replaceFile(path: string, content: string | Uint8Array): Promise<void> {
  await replace(path, async (beside) => {
    const file = await open(beside, 'w')
    try {
      await file.writeFile(content)
      await file.sync()
    } finally {
      await file.close()
    }
  })
}

/** The same for several files that belong together: none gets its name before all are complete. */
export const replaceFiles = (
  files: readonly { readonly path: string; readonly content: string | Uint8Array }[],
): Promise<void> =>
  together(async () => {
    for (const { path, content } of files) await replaceFile(path, content)
  })

interface Written {
  readonly beside: string
  readonly target: string
}

/** Complete files that wait for the end of the work they belong to. */
const waiting = new AsyncLocalStorage<Written[]>()

/**
 * Does some work; the files it writes get their names together once it is done. If it fails none does, and what was
 * written is taken away. Inside another such work they wait for the end of that one.
 */
export async function together<T>(work: () => Promise<T>): Promise<T> {
  if (waiting.getStore()) return work()
  const files: Written[] = []
  try {
    const result = await waiting.run(files, work)
    // In the order written, so that a file written twice ends as it was written last.
    while (files[0]) {
      await putInPlace(files[0])
      files.shift()
    }
    return result
  } finally {
    for (const { beside } of files) await rm(beside, { force: true }).catch(() => undefined)
  }
}

/**
 * The same for a file too long to be held in memory.
 *
 * @param make is handed what writes the next piece
 */
export async function replaceFileInPieces(
  path: string,
  make: (write: (text: string) => void) => void | Promise<void>,
): Promise<void> {
  await replace(path, async (beside) => {
    const file = openSync(beside, 'w')
    try {
      await make((text) => {
        // One call may write less than it was given.
        const bytes = Buffer.from(text)
        for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at)
      })
      fsyncSync(file)
    } finally {
      closeSync(file)
    }
  })
}

async function replace(path: string, write: (beside: string) => Promise<void>): Promise<void> {
  let beside: string | undefined
  try {
    await mkdir(dirname(path), { recursive: true })
    // A link stays a link: what it leads to is replaced.
    const target = await realpath(path).catch(() => resolve(path))
    await sweep(dirname(target))
    beside = `${target}.${process.pid}-${randomBytes(4).toString('hex')}.new`
    await write(beside)
    const later = waiting.getStore()
    if (later) later.push({ beside, target })
    else await putInPlace({ beside, target })
  } catch (error) {
    if (beside !== undefined) await rm(beside, { force: true }).catch(() => undefined)
    throw notWritten(path, error)
  }
}

/** Gives a complete file its name, and lets the folder remember it through a loss of power. */
async function putInPlace({ beside, target }: Written): Promise<void> {
  try {
    await rename(beside, target)
  } catch (error) {
    await rm(beside, { force: true }).catch(() => undefined)
    throw notWritten(target, error)
  }
  // Not every system lets a folder be opened; there the rename alone must do.
  const folder = await open(dirname(target), 'r').catch(() => undefined)
  await folder?.sync().catch(() => undefined)
  await folder?.close()
}

const WHY: Readonly<Record<string, string>> = {
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk space granted to you is used up',
  EROFS: 'the disk can only be read',
  EACCES: 'you may not write there',
  EPERM: 'you may not write there',
  EISDIR: 'a folder of this name is there',
  ENOTDIR: 'a part of the path is a file',
  EEXIST: 'a part of the path is a file',
  ENAMETOOLONG: 'the name is too long',
  EFBIG: 'the disk takes no file of this size',
  EIO: 'the disk failed',
}

/** An error of the disk in words that name the file; any other error as it is. */
export function notWritten(path: string, error: unknown): unknown {
  const code = (error as NodeJS.ErrnoException | undefined)?.code
  if (error instanceof NotWritten || code === undefined || !(error instanceof Error)) return error
  const why = WHY[code] ?? error.message
  const fix = 'Free it, or name another place with --out.'
  return new NotWritten(`cannot write ${path}: ${why}. What was there before is as it was. ${fix}`, {
    cause: error,
  })
}

const swept = new Set<string>()
const BESIDE = /\.(\d+)-[0-9a-f]{8}\.new$/

/** Takes away what dead runs left unfinished beside the files of a folder: once a folder and process. */
async function sweep(folder: string): Promise<void> {
  if (swept.has(folder)) return
  swept.add(folder)
  for (const name of await readdir(folder).catch(() => [])) {
    const run = BESIDE.exec(basename(name))?.[1]
    if (run !== undefined && !isAlive(Number(run))) await rm(join(folder, name), { force: true })
  }
}
