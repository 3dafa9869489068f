// The worker that takes its time: how sure the totals are, and the charts. It is ended and begun anew when the
// household changes before it is done.
import { drawsOf, recordScenarios, simulate, simulationPlan, summary } from '../../analysis/index.js'
import { briefData } from '../../brief/data.js'
import type { ChartTheme } from '../../charts/specs/index.js'
import type { Texts } from '../edits.js'
import type { ReferenceTexts } from '../protocol.js'
import { Model } from './model.js'

export interface ToStudy {
  readonly reference: ReferenceTexts
  readonly texts: Texts
  readonly turn: number
  readonly charts: boolean
  readonly theme: ChartTheme
}

export interface DrawnChart {
  readonly id: string
  readonly section: string
  readonly caption: string
  readonly alt: string
  readonly spec: Readonly<Record<string, unknown>>
}

export type FromStudy =
  | {
      readonly tell: 'spread'
      readonly turn: number
      readonly spreads: readonly { readonly name: string; readonly p10: number; readonly p90: number }[]
    }
  | {
      readonly tell: 'charts'
      readonly turn: number
      readonly recommended: string
      readonly charts: readonly DrawnChart[]
    }
  | { readonly tell: 'trouble'; readonly turn: number; readonly why: string }

/** Draws of each total: the P10 and P90 of 4,000 are within about two per cent of their place. */
const DRAWS = 4_000

const scope = self as unknown as {
  postMessage(message: FromStudy): void
  onmessage: ((event: MessageEvent<ToStudy>) => void) | null
}

let model: Model | undefined

scope.onmessage = ({ data }) => {
  const { turn } = data
  try {
    model ??= Model.read(data.reference)
    model.answers(data.texts)
    const { planned } = model
    if (!planned) return
    const { move, plans } = planned
    const simulation = simulate(simulationPlan(move, recordScenarios(move, plans), ['cost.total']), DRAWS)
    const spreads = plans.map(({ name }) => {
      const { p10, p90 } = summary(drawsOf(simulation, name, 'cost.total'))
      return { name, p10, p90 }
    })
    scope.postMessage({ tell: 'spread', turn, spreads })
    if (!data.charts) return
    const brief = briefData(move, plans, data.theme)
    const charts = brief.sections.flatMap(({ title, blocks }) =>
      blocks.flatMap((block) =>
        block.kind === 'chart'
          ? [
              {
                id: block.id,
                section: title,
                caption: block.caption,
                alt: block.chart.alt,
                spec: block.chart.spec,
              },
            ]
          : [],
      ),
    )
    scope.postMessage({ tell: 'charts', turn, recommended: brief.recommended, charts })
  } catch (error) {
    scope.postMessage({ tell: 'trouble', turn, why: error instanceof Error ? error.message : String(error) })
  }
}
