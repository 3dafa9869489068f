// What shows figures of the scenarios, as HTML: made once when the file is written, and again on the page when other scenarios come of a choice.
import { escapeHtml as escaped } from '../tables/as-data.js'
import { barPieces, barRoom, barWords, labelFits } from './bars.js'
import type { PageData, PageRow } from './page-data.js'
import type { Figures } from './state.js'
import { besideWords, carriageOf, cheapest, gapWords, plainNumber, rowText, unitWords } from './words.js'

const total = (data: PageData, of: Figures | undefined): string =>
  `${data.currency}\u00a0${plainNumber(of?.get('cost.total') ?? Number.NaN, 0)}`

/** The totals again, small, where the scenarios themselves have scrolled away on a narrow screen. */
export const stripHtml = (data: PageData, figures: readonly Figures[]): string =>
  [
    ...data.scenarios.map(
      ({ name }, s) =>
        `<p><span>${escaped(name)}</span> <b data-strip="${s}">${escaped(total(data, figures[s]))}</b></p>`,
    ),
  ].join('\n')

/** The scenarios with their totals, as items of a list. */
export function scenariosHtml(data: PageData, figures: readonly Figures[], stated = true): string {
  const room = barRoom(figures, figures)
  const least = cheapest(figures)
  return data.scenarios
    .map((scenario, s) => {
      const { name } = scenario
      const of = figures[s] ?? new Map()
      const transport = carriageOf(scenario, of)
      const carriage = data.options.find(({ id }) => id === transport)?.label ?? transport
      return [
        `<li data-scenario="${s}"${s === least && data.scenarios.length > 1 ? ' class="least"' : ''}>`,
        `<h3>${escaped(name)}${s === data.recommended && data.scenarios.length > 1 ? ' <span class="mark">recommended</span>' : ''} <span class="mark cheap"${
          s === least && data.scenarios.length > 1 ? '' : ' hidden'
        }>lowest bill</span></h3>`,
        `<p class="sum"><b data-sum="${s}">${escaped(total(data, of))}</b> <span class="gap" data-gap="${s}">${escaped(gapWords(data, figures, s))}</span> <span class="change" data-change="${s}"></span></p>`,
        barHtml(data, of, room, s, name),
        rangeHtml(data, s, stated),
        `<p class="beside"><span data-beside="${s}">${escaped(besideWords(data, of))}</span> \u00b7 ${escaped(carriage)}</p>`,
        '</li>',
      ].join('\n')
    })
    .join('\n')
}

/** Where the total as planned is likely to end. */
function rangeHtml(data: PageData, scenario: number, stated: boolean): string {
  const range = data.ranges[scenario]
  if (!range) return ''
  const amount = (x: number): string => escaped(`${data.currency}\u00a0${plainNumber(x, 0)}`)
  return `<p class="beside">${stated ? 'As planned, half' : 'Planned so, half'} end above ${amount(range.p50)}, and eight moves in ten between ${amount(range.p10)} and ${amount(range.p90)}.</p>`
}

const STATIC_PIXELS = 420

function barHtml(data: PageData, of: Figures, room: number, scenario: number, name: string): string {
  return [
    `<svg class="bar" data-bar="${scenario}" width="100%" height="26" role="img" aria-label="${escaped(`${name} by phase: ${barWords(data, of)}`)}">`,
    ...barPieces(data, of, room).map(
      (piece, k) =>
        `<rect class="p${k}" x="${piece.start.toFixed(3)}%" width="${piece.width.toFixed(3)}%" y="0" height="26"/><text class="t${k}" x="${(piece.start + piece.width / 2).toFixed(3)}%" y="17" text-anchor="middle"${labelFits(piece, STATIC_PIXELS) ? '' : ' visibility="hidden"'}>${escaped(piece.label)}</text>`,
    ),
    '</svg>',
  ].join('')
}

/** Head and body of the table of figures. */
export function figureRowsHtml(data: PageData, figures: readonly Figures[]): string {
  const cells = (row: PageRow): string =>
    data.scenarios
      .map(
        (_, s) =>
          `<td data-cell="${s} ${escaped(row.id)}">${escaped(rowText(row, figures[s]?.get(row.id)))}</td>`,
      )
      .join('')
  const unit = (row: PageRow): string => {
    const words = unitWords(row.unit)
    return words === '' ? '' : ` <small>${escaped(words)}</small>`
  }
  const rows = data.rows.map(
    (row) =>
      `<tr${row.id === 'cost.total' ? ' class="total"' : ''}><th scope="row">${escaped(row.label)}${unit(row)}</th>${cells(row)}</tr>`,
  )
  const fill = data.scenarios.map((scenario, s) => {
    const of = figures[s]
    const value = of?.get(`options.${carriageOf(scenario, of)}.fill`)
    return `<td data-fill="${s}">${value === undefined ? '\u2013' : `${plainNumber(value * 100, 0)}\u00a0%`}</td>`
  })
  return [
    `<thead><tr><td></td>${data.scenarios.map(({ name }) => `<th scope="col">${escaped(name)}</th>`).join('')}</tr></thead>`,
    '<tbody>',
    ...data.phases.map(
      (row, k) =>
        `<tr><th scope="row"><svg width="12" height="12" aria-hidden="true"><rect width="12" height="12" class="p${k}"/></svg> ${escaped(row.label)}${unit(row)}</th>${cells(row)}</tr>`,
    ),
    ...rows,
    `<tr><th scope="row">Usable space of the container filled</th>${fill.join('')}</tr>`,
    '</tbody>',
  ].join('\n')
}
