// What page and server say to each other over the socket.
import type { ChartTheme } from '../charts/specs/chart.js'
import type { PackedRoom } from '../load/packed-plans.js'
import type { Problem } from '../tables/problem.js'
import type { Conflict } from './desk.js'
import type { Edit, FileChange, Step, Texts } from './edits.js'

/** A notebook that can be opened: one of the package's, or one that the folder holds (also a changed copy). */
export interface NotebookName {
  readonly name: string
  readonly title: string
  readonly own: boolean
}

/** Papers that the server makes from the move as edited. */
export const PAPERS = ['brief', 'explore', 'workbook', 'customs', 'load'] as const
export type Paper = (typeof PAPERS)[number]

/** What is known of packed containers, by the content of the question. */
export type Rooms = Readonly<Record<string, PackedRoom>>

export interface Standing {
  readonly unsaved: readonly string[]
  readonly conflicts: readonly Conflict[]
}

export type FromServer =
  | ({
      readonly kind: 'hello'
      readonly folder: string
      readonly texts: Texts
      readonly revision: number
      readonly edits: readonly Pick<Edit, 'id' | 'name'>[]
      readonly done: number
      readonly recovered: number
      readonly unreadable: readonly Problem[]
      readonly notebooks: readonly NotebookName[]
      readonly rooms: Rooms
    } & Standing)
  /** A step that every page has to take; `changes` is what it does to the texts. */
  | ({
      readonly kind: 'stepped'
      readonly revision: number
      readonly step: { readonly kind: Step['kind']; readonly id?: string; readonly name?: string }
      readonly changes: readonly FileChange[]
    } & Standing)
  | ({ readonly kind: 'saved'; readonly files: readonly string[] } & Standing)
  | ({ readonly kind: 'standing' } & Standing)
  | { readonly kind: 'refused'; readonly id: string; readonly why: string }
  | { readonly kind: 'paper'; readonly paper: Paper; readonly state: PaperState }
  | { readonly kind: 'notebook'; readonly message: unknown }
  /** What another page, or this one, found out by packing. */
  | { readonly kind: 'packed'; readonly rooms: Rooms }
  | { readonly kind: 'trouble'; readonly why: string }

export type PaperState =
  | { readonly state: 'working'; readonly text: string }
  | { readonly state: 'made'; readonly files: readonly string[]; readonly text: string }
  | { readonly state: 'failed'; readonly text: string }

export type FromPage =
  | { readonly kind: 'edit'; readonly edit: Edit; readonly base: number }
  | { readonly kind: 'undo' | 'redo' | 'save' }
  | { readonly kind: 'settle'; readonly file: string; readonly keep: 'mine' | 'disk' }
  | { readonly kind: 'paper'; readonly paper: Paper; readonly scenario?: string; readonly seconds?: number }
  | { readonly kind: 'stop-paper'; readonly paper: Paper }
  | { readonly kind: 'notebook'; readonly message: unknown }
  | { readonly kind: 'packed'; readonly rooms: Rooms }

/** The reference tables as texts, what the page's model reads beside the household's files; and the look of charts. */
export interface ReferenceTexts {
  readonly theme: ChartTheme
  readonly reference: readonly { readonly file: string; readonly text: string }[]
  readonly customs: readonly { readonly file: string; readonly text: string }[]
}
