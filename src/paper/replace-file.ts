import { randomBytes } from 'node:crypto'
import { closeSync, openSync, writeSync } from 'node:fs'
import { mkdir, rename, rm, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'

/** Writes a file beside the old one and renames it over it: a crash leaves either the old or the new content. */
export async function replaceFile(path: string, content: string | Uint8Array): Promise<void> {
  await mkdir(dirname(path), { recursive: true })
  const beside = `${path}.${randomBytes(4).toString('hex')}.new`
  try {
    await writeFile(beside, content)
    await rename(beside, path)
  } catch (error) {
    await rm(beside, { force: true })
    throw error
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
  await mkdir(dirname(path), { recursive: true })
  const beside = `${path}.${randomBytes(4).toString('hex')}.new`
  try {
    const file = openSync(beside, 'w')
    try {
      await make((text) => {
        // One call may write less than it was given.
        const bytes = Buffer.from(text)
        for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at)
      })
    } finally {
      closeSync(file)
    }
    await rename(beside, path)
  } catch (error) {
    await rm(beside, { force: true })
    throw error
  }
}
