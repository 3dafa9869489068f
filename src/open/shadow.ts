// The household as edited, as files: what notebooks and papers read while nothing is saved yet.
import { mkdir, readdir, rm } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { keepPackedRooms, readPackedRooms } from '../load/packed-rooms-file.js'
import { replaceFile } from '../paper/replace-file.js'
import { DESK_FOLDER } from './desk.js'
import type { Texts } from './edits.js'

/** A folder of the household's own name under the folder's own desk, always as last asked for. */
export class Shadow {
  readonly folder: string
  #written: Texts | undefined
  #queue: Promise<void> = Promise.resolve()

  constructor(
    private readonly household: string,
    private readonly texts: () => Texts,
  ) {
    this.folder = join(household, DESK_FOLDER, 'as-edited', basename(household))
  }

  /** Brings the folder up to the texts as they are now. */
  bringUp(): Promise<void> {
    const done = this.#queue.then(() => this.#write())
    this.#queue = done.catch(() => undefined)
    return done
  }

  async remove(): Promise<void> {
    await this.#queue
    await rm(join(this.folder, '..'), { recursive: true, force: true })
  }

  async #write(): Promise<void> {
    const now = this.texts()
    await mkdir(this.folder, { recursive: true })
    // What the page packed need not be packed again for a paper or a notebook.
    await keepPackedRooms(
      this.folder,
      new Map([...(await readPackedRooms(this.folder)), ...(await readPackedRooms(this.household))]),
    )
    if (now === this.#written) return
    const before = this.#written ?? {}
    const gone = (await readdir(this.folder)).filter(
      (name) => now[name] === undefined && !name.startsWith('.'),
    )
    await Promise.all(gone.map((name) => rm(join(this.folder, name), { force: true })))
    for (const [name, text] of Object.entries(now)) {
      if (before[name] !== text) await replaceFile(join(this.folder, name), text)
    }
    this.#written = now
  }
}
