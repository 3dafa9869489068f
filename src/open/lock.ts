// One folder, one writer: a lock file that names the process which has the folder open.
import { mkdir, open, readFile, rm } from 'node:fs/promises'
import { dirname } from 'node:path'

/** The folder is open somewhere else; the message says where and what to do. */
export class FolderInUse extends Error {}

interface Holder {
  readonly pid: number
  readonly since: string
}

/**
 * Takes the lock of a folder. One that a process left behind when it died is taken over.
 *
 * @returns what gives it back
 *
 * Throws FolderInUse while another process has it.
 */
export async function takeLock(path: string, folder: string, since: string): Promise<() => Promise<void>> {
  await mkdir(dirname(path), { recursive: true })
  for (let tries = 0; tries < 2; tries++) {
    try {
      const file = await open(path, 'wx')
      await file.write(JSON.stringify({ pid: process.pid, since }))
      await file.close()
      return () => rm(path, { force: true })
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
    }
    const holder = await holderOf(path)
    if (holder && isAlive(holder.pid)) {
      throw new FolderInUse(
        `${folder} is open already, in process ${holder.pid} since ${holder.since}. Use that page, or end it there with Ctrl+C. ` +
          `If nothing of the kind runs, delete ${path} and try again.`,
      )
    }
    await rm(path, { force: true })
  }
  throw new FolderInUse(`${folder}: another process took the lock at the same moment. Try again.`)
}

async function holderOf(path: string): Promise<Holder | undefined> {
  try {
    const { pid, since } = JSON.parse(await readFile(path, 'utf8')) as Partial<Holder>
    return typeof pid === 'number' && pid > 0 ? { pid, since: String(since) } : undefined
  } catch {
    return undefined
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
}
