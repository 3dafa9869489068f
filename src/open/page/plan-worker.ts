// The worker that plans after every change, so that typing never waits for it.
import type { Texts } from '../edits.js'
import type { ReferenceTexts } from '../protocol.js'
import type { Explained } from './explained.js'
import type { Lists } from './lists.js'
import { type Found, Model, type NumberFacts, type Saving, type Share } from './model.js'
import type { Answers, ScenarioFigures } from './scenario-answers.js'

export type ToPlan =
  | { readonly ask: 'read'; readonly reference: ReferenceTexts; readonly share?: Share }
  | {
      readonly ask: 'plan'
      readonly turn: number
      readonly texts: Texts
      readonly found: Found
      /** What was found belongs to these very texts. */
      readonly packed: boolean
    }
  | { readonly ask: 'explain'; readonly id: number; readonly scenario: string; readonly cell: string }
  | { readonly ask: 'numbers' }
  | { readonly ask: 'leaving'; readonly line: string; readonly id?: number }

export type FromPlan =
  | { readonly tell: 'lists'; readonly lists: Lists }
  /** The figures of an edit, as soon as they are there, and again when they are sure; the answers follow. */
  | {
      readonly tell: 'figures'
      readonly turn: number
      /** The quick ones; those with everything decided follow. */
      readonly quick: boolean
      readonly sure: boolean
      readonly currency: string
      readonly scenarios: readonly ScenarioFigures[]
      readonly ms: number
    }
  | {
      readonly tell: 'answers'
      readonly turn: number
      readonly answers: Answers
      readonly packed: boolean
      readonly ms: number
    }
  | { readonly tell: 'explained'; readonly id: number; readonly explained?: Explained; readonly why?: string }
  | { readonly tell: 'numbers'; readonly numbers: readonly NumberFacts[] }
  | {
      readonly tell: 'leaving'
      readonly line: string
      readonly id: number
      readonly savings: readonly Saving[]
    }
  /** What failed; `turn` where it was the plans of one. */
  | { readonly tell: 'trouble'; readonly why: string; readonly turn?: number }

const scope = self as unknown as {
  postMessage(message: FromPlan): void
  onmessage: ((event: MessageEvent<ToPlan>) => void) | null
}

let model: Model | undefined
let latest = 0

scope.onmessage = ({ data }) => {
  if (data.ask === 'plan') {
    // Of texts that came while it planned, only the last are planned; what is asked late of older ones is not.
    if (data.turn < latest) return
    latest = data.turn
    setTimeout(() => answer(data))
  } else answer(data)
}

function answer(asked: ToPlan, act: (asked: ToPlan) => void = begin): void {
  try {
    act(asked)
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error)
    if (asked.ask === 'explain') scope.postMessage({ tell: 'explained', id: asked.id, why })
    else scope.postMessage({ tell: 'trouble', why, ...(asked.ask === 'plan' ? { turn: asked.turn } : {}) })
  }
}

function begin(asked: ToPlan): void {
  switch (asked.ask) {
    case 'read':
      model = Model.read(asked.reference, asked.share)
      scope.postMessage({ tell: 'lists', lists: model.lists() })
      return
    case 'plan': {
      if (!model || asked.turn !== latest) return
      const started = performance.now()
      if (!asked.packed) tellFigures(asked.turn, true, model.quickFigures(asked.texts, asked.found), started)
      // Not in one go: an edit that has come meanwhile is planned first.
      setTimeout(() => answer(asked, decide))
      return
    }
    case 'explain':
      if (!model) return
      scope.postMessage({
        tell: 'explained',
        id: asked.id,
        explained: model.explained(asked.scenario, asked.cell),
      })
      return
    case 'leaving':
      scope.postMessage({
        tell: 'leaving',
        line: asked.line,
        id: asked.id ?? 0,
        savings: model?.leaving(asked.line) ?? [],
      })
      return
    case 'numbers':
      scope.postMessage({ tell: 'numbers', numbers: model?.numbers() ?? [] })
      return
  }
}

function tellFigures(
  turn: number,
  quick: boolean,
  figures: ReturnType<Model['figures']> | undefined,
  started: number,
): void {
  if (!figures?.ok) return
  const { sure, currency, scenarios } = figures
  scope.postMessage({
    tell: 'figures',
    turn,
    quick,
    sure,
    currency,
    scenarios,
    ms: performance.now() - started,
  })
}

/** The plans with everything decided anew. */
function decide(asked: ToPlan): void {
  if (!model || asked.ask !== 'plan' || asked.turn !== latest) return
  const started = performance.now()
  const figures = model.figures(asked.texts, asked.found)
  if (!asked.packed) tellFigures(asked.turn, false, figures, started)
  setTimeout(() => answer(asked, finish))
}

function finish(asked: ToPlan): void {
  if (!model || asked.ask !== 'plan' || asked.turn !== latest) return
  const { turn, packed } = asked
  const started = performance.now()
  const answers = model.answers(asked.texts, asked.found)
  scope.postMessage({ tell: 'answers', turn, answers, packed, ms: performance.now() - started })
}
