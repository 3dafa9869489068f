// A household's files as texts, and the changes made to them one after another. Runs in the server and in the page.
import { applied, inverse, type Patch } from '../tables/csv-edit.js'

/** Name and text of each file; a file that is not there has no entry. */
export type Texts = Readonly<Record<string, string>>

/** What one edit does to one file. */
export interface FileChange {
  readonly file: string
  readonly patches: readonly Patch[]
  /** The file comes into being with this change, or goes with it. */
  readonly life?: 'made' | 'dropped'
}

/** One thing a person did, under the words that the history shows. */
export interface Edit {
  readonly id: string
  readonly name: string
  readonly changes: readonly FileChange[]
}

/** Edits in the order made; those from `done` on are undone and may be redone. */
export interface History {
  readonly edits: readonly Edit[]
  readonly done: number
}

/** What happens to a history. */
export type Step =
  | { readonly kind: 'edit'; readonly edit: Edit }
  | { readonly kind: 'undo' }
  | { readonly kind: 'redo' }

export const NO_HISTORY: History = { edits: [], done: 0 }

/** File names an edit may touch: plain CSV names, so that no path leads out of the folder. */
export const isFileName = (name: string): boolean => /^[\w-]{1,60}\.csv$/.test(name)

/** The texts after changes. Throws one sentence where a change was made for another text. */
export function changed(texts: Texts, changes: readonly FileChange[]): Texts {
  const after = new Map(Object.entries(texts))
  for (const { file, patches, life } of changes) {
    if ((life === 'made') === after.has(file)) {
      throw new Error(`${file} is ${after.has(file) ? 'there already' : 'not there'}`)
    }
    const text = applied(after.get(file) ?? '', patches)
    if (life !== 'dropped') after.set(file, text)
    else if (text === '') after.delete(file)
    else throw new Error(`${file} is not empty, so it stays`)
  }
  return Object.fromEntries(after)
}

/** What takes changes back. */
export const undoing = (changes: readonly FileChange[]): FileChange[] =>
  changes.toReversed().map(({ file, patches, life }) => ({
    file,
    patches: inverse(patches),
    ...(life === undefined ? {} : { life: life === 'made' ? ('dropped' as const) : ('made' as const) }),
  }))

/** The changes that a step makes to the texts, and the history after it; undefined where there is nothing to do. */
export function stepped(
  history: History,
  step: Step,
): { readonly history: History; readonly changes: readonly FileChange[] } | undefined {
  const { edits, done } = history
  if (step.kind === 'edit') {
    return {
      history: { edits: [...edits.slice(0, done), step.edit], done: done + 1 },
      changes: step.edit.changes,
    }
  }
  const edit = edits[step.kind === 'undo' ? done - 1 : done]
  if (!edit) return undefined
  return step.kind === 'undo'
    ? { history: { edits, done: done - 1 }, changes: undoing(edit.changes) }
    : { history: { edits, done: done + 1 }, changes: edit.changes }
}
