// The worker that plans again when something else is chosen. The page hands it everything: a file loads nothing.

import { problemText } from '../../tables/problem.js'
import { Chooser, type Planned, type Sources, type Wishes } from '../chooser.js'
import type { PageData } from '../page-data.js'
import { unpacked } from './unpack.js'

export type ToPlanner =
  | { readonly ask: 'read'; readonly page: PageData; readonly tables: string; readonly lists: string }
  | { readonly ask: 'plan'; readonly turn: number; readonly wishes: Wishes }

export type FromPlanner =
  | { readonly tell: 'ready' }
  | { readonly tell: 'planned'; readonly turn: number; readonly planned: Planned }
  | { readonly tell: 'refused'; readonly turn: number; readonly why: readonly string[] }
  | { readonly tell: 'trouble'; readonly why: string }

const scope = self as unknown as {
  postMessage(message: FromPlanner): void
  onmessage: ((event: MessageEvent<ToPlanner>) => void) | null
}

let chooser: Chooser | undefined
let latest = 0

scope.onmessage = ({ data }) => {
  if (data.ask === 'plan') {
    // Of wishes that came while it planned, only the last are planned.
    latest = data.turn
    setTimeout(() => {
      try {
        plan(data.turn, data.wishes)
      } catch (error) {
        scope.postMessage({ tell: 'refused', turn: data.turn, why: [wordsOf(error)] })
      }
    })
  } else
    void read(data).catch((error: unknown) => scope.postMessage({ tell: 'trouble', why: wordsOf(error) }))
}

async function read(asked: Extract<ToPlanner, { ask: 'read' }>): Promise<void> {
  const tables = JSON.parse(await unpacked(asked.tables)) as Omit<Sources, 'household'>
  const household = JSON.parse(await unpacked(asked.lists)) as Sources['household']
  const made = Chooser.read({ ...tables, household }, asked.page)
  if (!made.ok) throw new Error(made.problems.map(problemText).join(' '))
  chooser = made.value
  scope.postMessage({ tell: 'ready' })
}

function plan(turn: number, wishes: Wishes): void {
  if (!chooser || turn !== latest) return
  const planned = chooser.planned(wishes)
  scope.postMessage(
    planned.ok
      ? { tell: 'planned', turn, planned: planned.value }
      : {
          tell: 'refused',
          turn,
          why: planned.problems.map(
            ({ column, found, expected }) => `${column} ${found}: expected ${expected}.`,
          ),
        },
  )
}

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))
