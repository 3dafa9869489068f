import { randomBytes } from 'node:crypto'
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
