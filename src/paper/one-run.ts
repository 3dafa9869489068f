import { randomBytes } from 'node:crypto'
import { link, mkdir, readFile, rm, rmdir, writeFile } from 'node:fs/promises'
import { dirname, join, resolve } from 'node:path'
import { isAlive } from './process.js'
import { notWritten, together } from './replace-file.js'

/** The file by which a run says that a folder is its own for now. */
const LOCK = '.quaybook-run'

/** Another run writes into the folder. */
export class FolderBusy extends Error {}

/**
 * Does the work of one run in a folder: no other run may write there meanwhile, and all files get their names
 * together at its end. The folder is made if it is not there, and goes again if nothing was written into it.
 *
 * @param now the time, for the message another run would get
 *
 * Throws FolderBusy, which names the other run, and NotWritten where the folder cannot be made.
 */
export async function oneRun<T>(folder: string, now: string, work: () => Promise<T>): Promise<T> {
  const made = await mkdir(folder, { recursive: true }).catch((error: unknown) => {
    throw notWritten(folder, error)
  })
  const release = await lock(folder, now)
  try {
    return await together(work)
  } finally {
    await release()
    await withoutEmpty(folder, made)
  }
}

async function lock(folder: string, now: string): Promise<() => Promise<void>> {
  const path = join(folder, LOCK)
  const mine = `${path}.${process.pid}-${randomBytes(4).toString('hex')}.new`
  const text = JSON.stringify({ process: process.pid, since: now })
  try {
    await writeFile(mine, text)
    // A link to a complete file either comes about whole or fails because the name is taken.
    for (let tries = 0; ; tries += 1) {
      try {
        await link(mine, path)
        break
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
        const other = await holder(path)
        if (other && (isAlive(other.process) || tries > 2)) {
          throw new FolderBusy(
            `${folder}: another run (process ${other.process}, since ${other.since}) is writing there. Wait until it is done, or name another folder with --out. If there is no such run, delete ${path}`,
          )
        }
        // Its run is dead, or the file is nobody's.
        await rm(path, { force: true })
      }
    }
  } catch (error) {
    throw error instanceof FolderBusy ? error : notWritten(path, error)
  } finally {
    await rm(mine, { force: true }).catch(() => undefined)
  }
  return () => rm(path, { force: true }).catch(() => undefined)
}

async function holder(
  path: string,
): Promise<{ readonly process: number; readonly since: string } | undefined> {
  try {
    const read: unknown = JSON.parse(await readFile(path, 'utf8'))
    if (typeof read !== 'object' || read === null) return undefined
    const { process: pid, since } = read as { process?: unknown; since?: unknown }
    return typeof pid === 'number' ? { process: pid, since: String(since) } : undefined
  } catch {
    return undefined
  }
}

/** Takes away the folders a run made and left empty. */
async function withoutEmpty(folder: string, made: string | undefined): Promise<void> {
  if (made === undefined) return
  for (let at = resolve(folder); at.startsWith(resolve(made)); at = dirname(at)) {
    const empty = await rmdir(at).then(
      () => true,
      () => false,
    )
    if (!empty) return
  }
}
