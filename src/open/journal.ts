// The journal of an open folder: one line of JSON a step, on the disk before the step is confirmed.
import { type FileHandle, open, readFile } from 'node:fs/promises'
import { replaceFile } from '../paper/replace-file.js'
import { type Edit, isFileName, type Step, type Texts } from './edits.js'

/** A line of the journal. `begin` holds every file as it was read; `known` what the disk is known to hold since. */
export type JournalLine =
  | { readonly kind: 'begin'; readonly texts: Texts }
  | { readonly kind: 'known'; readonly file: string; readonly text: string | null }
  | Step

/** An open journal. Lines that come while the disk is busy are written together. */
export class Journal {
  #waiting: string[] = []
  #last: Promise<void> = Promise.resolve()
  #next: Promise<void> | undefined

  private constructor(readonly file: FileHandle) {}

  /** Starts a journal anew: the old one, if any, is replaced in one go. */
  static async begin(path: string, texts: Texts): Promise<Journal> {
    await replaceFile(path, line({ kind: 'begin', texts }))
    return Journal.resume(path)
  }

  /** Goes on with a journal that is there; a last line that a crash cut off is ended first. */
  static async resume(path: string): Promise<Journal> {
    const text = await readFile(path, 'utf8')
    const file = await open(path, 'a')
    if (!text.endsWith('\n')) await file.write('\n')
    return new Journal(file)
  }

  /** Writes lines; resolves when they are on the disk. */
  append(...lines: readonly JournalLine[]): Promise<void> {
    this.#waiting.push(...lines.map(line))
    this.#next ??= this.#last.catch(() => undefined).then(() => this.#write())
    return this.#next
  }

  async close(): Promise<void> {
    await (this.#next ?? this.#last).catch(() => undefined)
    await this.file.close()
  }

  async #write(): Promise<void> {
    this.#last = this.#next ?? this.#last
    this.#next = undefined
    const text = this.#waiting.join('')
    this.#waiting = []
    await this.file.write(text)
    await this.file.datasync()
  }
}

const line = (entry: JournalLine): string => `${JSON.stringify(entry)}\n`

/** The lines of a journal. A line that is no JSON was cut off by a crash before it was confirmed: it is left out. */
export async function readJournal(path: string): Promise<JournalLine[] | undefined> {
  const text = await readFile(path, 'utf8').catch(() => undefined)
  const lines = text?.split('\n').flatMap((entry) => {
    try {
      const read: unknown = JSON.parse(entry)
      return isLine(read) ? [read] : []
    } catch {
      return []
    }
  })
  return lines?.[0]?.kind === 'begin' ? lines : undefined
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

function isLine(value: unknown): value is JournalLine {
  if (!isObject(value)) return false
  if (value.kind === 'begin') return isObject(value.texts)
  if (value.kind === 'known')
    return typeof value.file === 'string' && (value.text === null || typeof value.text === 'string')
  return value.kind === 'undo' || value.kind === 'redo' || (value.kind === 'edit' && isEdit(value.edit))
}

/** Whether something that came from outside is an edit of files of the folder and of nothing else. */
export function isEdit(value: unknown): value is Edit {
  return (
    isObject(value) &&
    typeof value.id === 'string' &&
    typeof value.name === 'string' &&
    value.name.length <= 400 &&
    Array.isArray(value.changes) &&
    value.changes.every(
      (change) =>
        isObject(change) &&
        typeof change.file === 'string' &&
        isFileName(change.file) &&
        (change.life === undefined || change.life === 'made' || change.life === 'dropped') &&
        Array.isArray(change.patches) &&
        change.patches.every(
          (patch) =>
            isObject(patch) &&
            Number.isSafeInteger(patch.at) &&
            Number(patch.at) >= 0 &&
            typeof patch.removed === 'string' &&
            typeof patch.inserted === 'string',
        ),
    )
  )
}
