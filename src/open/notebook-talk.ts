// What a page and the notebooks' room say to each other.
import type { Notebook, Output } from '../notebook/format.js'
import type { CodeProblem } from '../notebook/kernel.js'
import type { NotebookName } from './protocol.js'

export type ToRoom =
  | { readonly ask: 'open' | 'interrupt' | 'restart'; readonly name: string }
  | { readonly ask: 'new'; readonly name: string; readonly title: string }
  | { readonly ask: 'save'; readonly name: string; readonly notebook: Notebook }
  | {
      readonly ask: 'run'
      readonly name: string
      readonly cell: string
      readonly source: string
      readonly tags: readonly string[]
    }
  | {
      readonly ask: 'check'
      readonly name: string
      readonly cell: string
      readonly code: string
    }
  | {
      readonly ask: 'complete'
      readonly name: string
      readonly id: number
      readonly code: string
      readonly cursor: number
    }

export type FromRoom =
  /** What the compiler says of a cell as it is typed. */
  | {
      readonly tell: 'checked'
      readonly name: string
      readonly cell: string
      readonly code: string
      readonly problems: readonly CodeProblem[]
    }
  | { readonly tell: 'opened'; readonly name: string; readonly notebook: Notebook; readonly own: boolean }
  | { readonly tell: 'saved'; readonly name: string }
  | { readonly tell: 'names'; readonly name: string; readonly notebooks: readonly NotebookName[] }
  | { readonly tell: 'kernel'; readonly name: string; readonly state: KernelState }
  | { readonly tell: 'running'; readonly name: string; readonly cell: string }
  | {
      readonly tell: 'outputs'
      readonly name: string
      readonly cell: string
      readonly outputs: readonly Output[]
    }
  | {
      readonly tell: 'ran'
      readonly name: string
      readonly cell: string
      readonly status: 'ok' | 'error' | 'died' | 'skipped'
      readonly count: number | null
      readonly outputs: readonly Output[]
      readonly ms: number
    }
  | {
      readonly tell: 'completions'
      readonly name: string
      readonly id: number
      readonly matches: readonly string[]
      readonly start: number
      readonly end: number
    }

/** `stubborn`: an interrupted cell has not ended; only a restart will. */
export type KernelState = 'none' | 'starting' | 'ready' | 'stubborn'
