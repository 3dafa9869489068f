// An open household folder: its files as edited, what the disk holds, the journal between the two.
import { mkdir, readdir, readFile, rm, rmdir } from 'node:fs/promises'
import { join } from 'node:path'
import { replaceFile } from '../paper/replace-file.js'
import { replacedText } from '../tables/csv-edit.js'
import type { Problem } from '../tables/problem.js'
import {
  changed,
  type Edit,
  type FileChange,
  type History,
  isFileName,
  NO_HISTORY,
  type Step,
  stepped,
  type Texts,
} from './edits.js'
import { Journal, type JournalLine, readJournal } from './journal.js'
import { takeLock } from './lock.js'

/** The folder beside the files that holds journal, lock and drafts. */
export const DESK_FOLDER = '.quaybook'

/** A file that somebody changed on the disk while it is open here; null: it is not there. */
export interface Conflict {
  readonly file: string
  readonly mine: string | null
  readonly disk: string | null
}

/** What a step changed, for every page that shows the folder. */
export interface Stepped {
  readonly step: Step
  readonly changes: readonly FileChange[]
  readonly revision: number
}

interface DiskFiles {
  readonly texts: Texts
  readonly unreadable: readonly Problem[]
}

/** The CSV files of a folder as they are, byte order mark and line ends included. */
export async function filesOn(folder: string): Promise<DiskFiles> {
  const names = await readdir(folder).catch((): string[] => [])
  const texts: Record<string, string> = {}
  const unreadable: Problem[] = []
  for (const file of names.filter(isFileName).sort()) {
    const bytes = await readFile(join(folder, file)).catch(() => undefined)
    if (bytes === undefined) continue
    try {
      texts[file] = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)
    } catch {
      unreadable.push({
        file,
        line: 1,
        column: 'file',
        found: 'bytes that are not UTF-8',
        expected: 'a text file in UTF-8',
        fix: 'Save it again from the spreadsheet program as "CSV UTF-8".',
      })
    }
  }
  return { texts, unreadable }
}

const same = (a: Texts, b: Texts): boolean => namesOf(a, b).every((file) => a[file] === b[file])

const namesOf = (...all: readonly Texts[]): string[] => [...new Set(all.flatMap(Object.keys))].sort()

/** One open folder. Everything that changes it goes through one call after another. */
export class Desk {
  #queue: Promise<unknown> = Promise.resolve()
  #revision = 0

  private constructor(
    readonly folder: string,
    readonly unreadable: readonly Problem[],
    /** Steps found in the journal of a run that ended before they were saved. */
    readonly recovered: number,
    private readonly unlock: () => Promise<void>,
    private journal: Journal,
    private mine: Texts,
    private known: Texts,
    private past: History,
    private found: ReadonlyMap<string, Conflict>,
  ) {}

  /**
   * Opens a folder; one that is not there is made. What an earlier run did not save comes back from its journal.
   *
   * Throws FolderInUse while another process has the folder open.
   */
  static async open(folder: string, now: string): Promise<Desk> {
    const own = join(folder, DESK_FOLDER)
    await mkdir(own, { recursive: true })
    const unlock = await takeLock(join(own, 'lock'), folder, now)
    try {
      const path = join(own, 'journal.jsonl')
      const { texts: disk, unreadable } = await filesOn(folder)
      const before = replayed(await readJournal(path))
      if (
        !before ||
        (before.history.edits.length === 0 && same(before.known, before.mine)) ||
        same(before.mine, disk)
      ) {
        const journal = await Journal.begin(path, disk)
        return new Desk(folder, unreadable, 0, unlock, journal, disk, disk, NO_HISTORY, new Map())
      }
      const conflicts = new Map<string, Conflict>()
      const known: Record<string, string> = { ...before.known }
      const journal = await Journal.resume(path)
      for (const file of namesOf(disk, before.known, before.mine)) {
        if (disk[file] === before.known[file]) continue
        if (disk[file] === before.mine[file]) {
          put(known, file, disk[file])
          await journal.append({ kind: 'known', file, text: disk[file] ?? null })
        } else conflicts.set(file, conflictOf(file, before.mine, disk))
      }
      return new Desk(
        folder,
        unreadable,
        before.history.done,
        unlock,
        journal,
        before.mine,
        known,
        before.history,
        conflicts,
      )
    } catch (error) {
      await unlock()
      throw error
    }
  }

  get texts(): Texts {
    return this.mine
  }
  get history(): History {
    return this.past
  }
  get revision(): number {
    return this.#revision
  }
  get conflicts(): readonly Conflict[] {
    return [...this.found.values()]
  }
  /** Files that differ from what the disk is known to hold. */
  get unsaved(): readonly string[] {
    return namesOf(this.mine, this.known).filter((file) => this.mine[file] !== this.known[file])
  }

  /**
   * Takes a step and resolves when the journal holds it.
   *
   * @param base the revision the step was made for; an older one is refused with undefined, as is an empty step
   *
   * Throws one sentence where an edit does not fit the texts.
   */
  take(step: Step, base = this.#revision): Promise<Stepped | undefined> {
    if (base !== this.#revision) return Promise.resolve(undefined)
    const taken = stepped(this.past, step)
    if (!taken) return Promise.resolve(undefined)
    // At once and not in the queue: the next step must find this one's texts, or it would be refused as stale.
    this.mine = changed(this.mine, taken.changes)
    this.past = taken.history
    this.#revision += 1
    const revision = this.#revision
    return this.journal.append(step).then(() => ({ step, changes: taken.changes, revision }))
  }

  /**
   * Writes every changed file, each in one go. A file that the disk holds otherwise than known is left alone and
   * becomes a conflict.
   *
   * @returns names of the files written
   */
  save(): Promise<readonly string[]> {
    return this.#inTurn(async () => {
      await this.#look()
      const written: string[] = []
      for (const file of this.unsaved) {
        if (this.found.has(file)) continue
        const text = this.mine[file]
        if (text === undefined) await rm(join(this.folder, file), { force: true })
        else await replaceFile(join(this.folder, file), text)
        await this.#know(file, text)
        written.push(file)
      }
      return written
    })
  }

  /** Looks whether the disk still holds what is known; resolves to true where the conflicts are others than before. */
  look(): Promise<boolean> {
    return this.#inTurn(() => this.#look())
  }

  /**
   * Settles a conflict. `mine` keeps the text as edited, to be saved over the disk's; `disk` takes the disk's text as
   * an edit, which can be undone.
   */
  settle(file: string, keep: 'mine' | 'disk', id: string): Promise<Stepped | undefined> {
    return this.#inTurn(async () => {
      const conflict = this.found.get(file)
      if (!conflict) return undefined
      await this.#know(file, conflict.disk ?? undefined)
      this.found = new Map([...this.found].filter(([name]) => name !== file))
      if (keep === 'mine') return undefined
      return this.take({
        kind: 'edit',
        edit: replacing(file, this.mine[file], conflict.disk ?? undefined, id),
      })
    })
  }

  /** Gives the folder back. The journal stays where something is not saved. */
  async close(): Promise<void> {
    await this.#queue
    await this.journal.close()
    if (this.unsaved.length === 0 && this.found.size === 0) {
      await rm(join(this.folder, DESK_FOLDER, 'journal.jsonl'), { force: true })
    }
    await this.unlock()
    // Goes only if nothing is left in it.
    await rmdir(join(this.folder, DESK_FOLDER)).catch(() => undefined)
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const done = this.#queue.then(work)
    this.#queue = done.catch(() => undefined)
    return done
  }

  async #know(file: string, text: string | undefined): Promise<void> {
    const known: Record<string, string> = { ...this.known }
    put(known, file, text)
    this.known = known
    await this.journal.append({ kind: 'known', file, text: text ?? null })
  }

  async #look(): Promise<boolean> {
    const { texts: disk } = await filesOn(this.folder)
    const unreadable = new Set(this.unreadable.map(({ file }) => file))
    const conflicts = new Map<string, Conflict>()
    for (const file of namesOf(disk, this.known)) {
      if (unreadable.has(file) || disk[file] === this.known[file]) continue
      if (disk[file] === this.mine[file]) await this.#know(file, disk[file])
      else conflicts.set(file, conflictOf(file, this.mine, disk))
    }
    const text = (all: ReadonlyMap<string, Conflict>): string => JSON.stringify([...all])
    const others = text(conflicts) !== text(this.found)
    this.found = conflicts
    return others
  }
}

function put(texts: Record<string, string>, file: string, text: string | undefined): void {
  if (text === undefined) delete texts[file]
  else texts[file] = text
}

const conflictOf = (file: string, mine: Texts, disk: Texts): Conflict => ({
  file,
  mine: mine[file] ?? null,
  disk: disk[file] ?? null,
})

function replacing(file: string, from: string | undefined, to: string | undefined, id: string): Edit {
  const life = from === undefined ? 'made' : to === undefined ? 'dropped' : undefined
  const change: FileChange = {
    file,
    patches: replacedText(from ?? '', to ?? ''),
    ...(life === undefined ? {} : { life }),
  }
  return { id, name: `${file} taken as it is on the disk`, changes: [change] }
}

interface Replayed {
  readonly mine: Texts
  readonly known: Texts
  readonly history: History
}

/** Where a journal leads: every line in order; a step that does not fit ends it there. */
function replayed(lines: readonly JournalLine[] | undefined): Replayed | undefined {
  const [first, ...rest] = lines ?? []
  if (first?.kind !== 'begin') return undefined
  let mine = first.texts
  let history = NO_HISTORY
  const known: Record<string, string> = { ...first.texts }
  for (const entry of rest) {
    if (entry.kind === 'begin') continue
    if (entry.kind === 'known') {
      put(known, entry.file, entry.text ?? undefined)
      continue
    }
    const taken = stepped(history, entry)
    if (!taken) break
    try {
      mine = changed(mine, taken.changes)
    } catch {
      break
    }
    history = taken.history
  }
  return { mine, known, history }
}
