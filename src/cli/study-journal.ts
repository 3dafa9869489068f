import { createHash } from 'node:crypto'
import { type FileHandle, mkdir, open, readFile, rename, rm } from 'node:fs/promises'
import { dirname } from 'node:path'
import { z } from 'zod'
import { notWritten, replaceFile } from '../paper/replace-file.js'

/** What is known to be whole in an unfinished table. */
const state = z.object({
  key: z.string(),
  pieces: z.number().int().min(0),
  bytes: z.number().int().min(0),
})

/** A name for all that a table is made from: another file, another table. */
export const keyOf = (texts: readonly string[]): string => {
  const hash = createHash('sha256')
  for (const text of texts) hash.update(`${text.length}:`).update(text)
  return hash.digest('hex')
}

/**
 * A table that grows piece by piece beside the place it is for. A run that is killed leaves what it had done; the
 * next run over the same files goes on from there, and over other files begins anew. Only a whole table gets its name.
 */
export class Journal {
  private constructor(
    private readonly path: string,
    private readonly key: string,
    private readonly file: FileHandle,
    /** How many pieces stand in it. */
    public done: number,
    private bytes: number,
  ) {}

  /** Throws NotWritten, which names the file and says why. */
  static async open(path: string, key: string): Promise<Journal> {
    try {
      await mkdir(dirname(path), { recursive: true })
      const kept = state.safeParse(await stored(stateOf(path)))
      const file = await open(textPath(path), kept.success ? 'r+' : 'w+')
      const { size } = await file.stat()
      const whole = kept.success && kept.data.key === key && size >= kept.data.bytes ? kept.data : undefined
      // What was being written when the run ended is cut off.
      await file.truncate(whole?.bytes ?? 0)
      return new Journal(path, key, file, whole?.pieces ?? 0, whole?.bytes ?? 0)
    } catch (error) {
      throw notWritten(path, error)
    }
  }

  /** Adds the rows of a piece and remembers that it is whole, in this order. */
  async add(text: string, done: number): Promise<void> {
    try {
      const bytes = Buffer.from(text)
      for (let at = 0; at < bytes.length; ) {
        // One call may write less than it was given.
        const { bytesWritten } = await this.file.write(bytes, at, bytes.length - at, this.bytes + at)
        at += bytesWritten
      }
      await this.file.datasync()
      this.bytes += bytes.length
      this.done = done
      await replaceFile(
        stateOf(this.path),
        JSON.stringify({ key: this.key, pieces: done, bytes: this.bytes }),
      )
    } catch (error) {
      throw notWritten(this.path, error)
    }
  }

  /** Leaves the table as far as it is, for a later run. */
  close(): Promise<void> {
    return this.file.close()
  }

  /** The table is whole: it gets its name. */
  async finish(): Promise<void> {
    await this.close()
    await rename(textPath(this.path), this.path).catch((error) => {
      throw notWritten(this.path, error)
    })
    await rm(stateOf(this.path), { force: true })
  }

  /**
   * The table is whole, and another form of it gets its name.
   *
   * @param write is handed the path of the rows as text, and writes that form
   */
  async finishAs(write: (text: string) => Promise<void>): Promise<void> {
    await this.close()
    await write(textPath(this.path))
    await rm(textPath(this.path), { force: true })
    await rm(stateOf(this.path), { force: true })
  }
}

const textPath = (path: string): string => `${path}.unfinished`
const stateOf = (path: string): string => `${path}.unfinished.json`

async function stored(path: string): Promise<unknown> {
  try {
    return JSON.parse(await readFile(path, 'utf8'))
  } catch {
    return undefined
  }
}
