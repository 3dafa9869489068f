// The worker that takes its time: packing the containers, what to do, how sure the totals are, and the charts. It is ended and begun anew when the
// household changes before it is done.
import { totalRanges } from '../../analysis/index.js'
import { recommend } from '../../analysis/recommend.js'
import { briefData } from '../../brief/data.js'
import type { ChartTheme } from '../../charts/specs/index.js'
import { type PackedRoom, planPacked } from '../../load/packed-plans.js'
import { scenariosOf } from '../../plan/index.js'
import type { Texts } from '../edits.js'
import type { ReferenceTexts, Rooms } from '../protocol.js'
import { type Found, Model } from './model.js'

export interface ToStudy {
  readonly reference: ReferenceTexts
  readonly texts: Texts
  readonly rooms: Rooms
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
  /** A container is about to be packed; `rooms` is what the one before came to. */
  | { readonly tell: 'packing'; readonly turn: number; readonly text: string; readonly rooms: Rooms }
  | {
      readonly tell: 'packed'
      readonly turn: number
      readonly found: Found
      readonly rooms: Rooms
      /** What to do, in a sentence. */
      readonly advice: string
    }
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

const scope = self as unknown as {
  postMessage(message: FromStudy): void
  onmessage: ((event: MessageEvent<ToStudy>) => void) | null
}

let model: Model | undefined

scope.onmessage = ({ data }) => {
  const { turn } = data
  try {
    model ??= Model.read(data.reference)
    model.figures(data.texts)
    const { planned } = model
    if (!planned) return
    const { move } = planned
    const rooms = new Map<string, PackedRoom>(Object.entries(data.rooms))
    const news = (): Rooms => Object.fromEntries([...rooms].filter(([key]) => data.rooms[key] === undefined))
    const plans = planPacked(move, rooms, [], (text) =>
      scope.postMessage({ tell: 'packing', turn, text, rooms: news() }),
    )
    const stated = scenariosOf(move)
    const found = Object.fromEntries(
      plans.map(({ name, changes }, i) => [name, changes.slice(stated[i]?.changes.length ?? 0)]),
    )
    scope.postMessage({
      tell: 'packed',
      turn,
      found,
      rooms: news(),
      advice: recommend(move, plans).sentence,
    })
    const spreads = totalRanges(move, plans).map(({ scenario, p10, p90 }) => ({ name: scenario, p10, p90 }))
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
