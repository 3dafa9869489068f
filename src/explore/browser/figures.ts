// What shows figures on the page: totals, bars, rows, and which scenario is cheapest.
import { barPieces, barRoom, barWords, labelFits } from '../bars.js'
import type { PageData } from '../page-data.js'
import type { Figures } from '../state.js'
import { besideWords, carriageOf, changeWords, cheapest, gapWords, plainNumber, rowText } from '../words.js'
import { all, say } from './elements.js'

/** What shows figures, found again when the scenarios on the page are others. */
export function shownFigures(data: PageData) {
  const numbered = (name: string): (readonly [HTMLElement, number])[] =>
    all<HTMLElement>(`[data-${name}]`).map((element) => [element, Number(element.dataset[name])] as const)
  return {
    cells: all<HTMLElement>('[data-cell]').map((element) => {
      const [scenario = '', id = ''] = (element.dataset.cell ?? '').split(' ')
      const row = [...data.phases, ...data.rows].find((one) => one.id === id)
      return { element, scenario: Number(scenario), row }
    }),
    bars: all<SVGSVGElement>('[data-bar]').map((svg) => ({
      svg,
      scenario: Number(svg.dataset.bar),
      rects: all<SVGRectElement>('rect', svg),
      texts: all<SVGTextElement>('text', svg),
    })),
    items: all<HTMLElement>('[data-scenario]'),
    sums: numbered('sum'),
    strips: numbered('strip'),
    gaps: numbered('gap'),
    changes: numbered('change'),
    besides: numbered('beside'),
    fills: numbered('fill'),
  }
}

export type ShownFigures = ReturnType<typeof shownFigures>

/**
 * Puts figures where they are shown.
 *
 * @param planned the figures with nothing moved
 * @param changed whether something is moved or chosen
 */
export function showFigures(
  shown: ShownFigures,
  data: PageData,
  figures: readonly Figures[],
  planned: readonly Figures[],
  changed: boolean,
): void {
  const total = (s: number): string =>
    `${data.currency}\u00a0${plainNumber(figures[s]?.get('cost.total') ?? Number.NaN, 0)}`
  for (const [element, s] of [...shown.sums, ...shown.strips]) say(element, total(s))
  for (const [element, s] of shown.gaps) say(element, gapWords(data, figures, s))
  for (const [element, s] of shown.changes) say(element, changed ? changeWords(figures[s], planned[s]) : '')
  for (const [element, s] of shown.besides) say(element, besideWords(data, figures[s] ?? new Map()))
  for (const { element, scenario, row } of shown.cells)
    if (row) say(element, rowText(row, figures[scenario]?.get(row.id)))
  for (const [element, s] of shown.fills) {
    const [scenario, of] = [data.scenarios[s], figures[s]]
    const fill = scenario && of?.get(`options.${carriageOf(scenario, of)}.fill`)
    say(element, fill === undefined ? '\u2013' : `${plainNumber(fill * 100, 0)}\u00a0%`)
  }
  const least = cheapest(figures)
  if (data.scenarios.length > 1) {
    shown.items.forEach((item, s) => {
      item.classList.toggle('least', s === least)
      const mark = item.querySelector<HTMLElement>('.cheap')
      if (mark) mark.hidden = s !== least
    })
  }
  showBars(shown, data, figures, planned)
}

function showBars(
  shown: ShownFigures,
  data: PageData,
  figures: readonly Figures[],
  planned: readonly Figures[],
): void {
  const room = barRoom(figures, planned)
  const pixels = shown.bars[0]?.svg.clientWidth ?? 0
  for (const { svg, scenario, rects, texts } of shown.bars) {
    const of = figures[scenario]
    if (!of) continue
    barPieces(data, of, room).forEach((piece, k) => {
      rects[k]?.setAttribute('x', `${piece.start}%`)
      rects[k]?.setAttribute('width', `${piece.width}%`)
      texts[k]?.setAttribute('x', `${piece.start + piece.width / 2}%`)
      texts[k]?.setAttribute('visibility', labelFits(piece, pixels) ? 'visible' : 'hidden')
    })
    const name = data.scenarios[scenario]?.name ?? ''
    svg.setAttribute('aria-label', `${name} by phase: ${barWords(data, of)}`)
  }
}
