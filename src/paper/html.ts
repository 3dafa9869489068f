import { escapeHtml as escaped } from '../tables/as-data.js'
import type { Block, Figure, Inline, PaperData, Picture, TableCell, Text } from './blocks.js'
import { shownFigure } from './figure-text.js'
import { dayText } from './format.js'
import { contentsHtml, coverHtml, pageHtml, sectionHtml } from './page.js'
import { svgImage } from './picture.js'

/** What a paper wears: its style sheets, and a picture (SVG text) for each chart by its id. */
export interface PaperAssets {
  readonly css: string
  readonly pictures: ReadonlyMap<string, string>
  /** The view of the load plan: its place as HTML, the scene its script reads, and the built script. */
  readonly view?: {
    readonly html: string
    readonly scene: unknown
    readonly script: string
  }
}

/** A paper (brief, enquiry) as one HTML file that loads nothing. */
export function paperHtml(data: PaperData, assets: PaperAssets): string {
  const kind = data.kind ?? 'Moving brief'
  const { view } = assets
  const body = [
    coverHtml({
      kind,
      household: data.household,
      from: data.from,
      to: data.to,
      stated: `Prices and rules as of ${dayText(data.asOf)}. Amounts in ${data.currency}.`,
    }),
    contentsHtml(data.sections),
    '<main>',
    ...data.sections.map(({ id, title, blocks }) =>
      sectionHtml(
        id,
        title,
        blocks.map((block) => blockHtml(block, assets)),
      ),
    ),
    '</main>',
  ].join('\n')
  return pageHtml({
    lang: 'en-GB',
    title: `${kind}: ${data.household}`,
    css: assets.css,
    body,
    ...(view ? { scripts: [view.script], data: { id: 'view-data', json: view.scene } } : {}),
  })
}

function blockHtml(block: Block, assets: PaperAssets): string {
  switch (block.kind) {
    case 'paragraph':
      return `<p${block.lead ? ' class="lead"' : ''}>${textHtml(block.text)}</p>`
    case 'facts':
      return [
        '<dl class="facts">',
        ...block.facts.map(
          ({ label, text }) => `<div><dt>${escaped(label)}</dt><dd>${textHtml(text)}</dd></div>`,
        ),
        '</dl>',
      ].join('\n')
    case 'list':
      return [
        block.fine ? '<ul class="sources">' : '<ul>',
        ...block.items.map((item) => `<li>${block.fine ? textHtml(item) : listItem(item)}</li>`),
        '</ul>',
      ].join('\n')
    case 'table':
      return tableHtml(block)
    case 'chart':
      return chartHtml(block, assets)
    case 'pictures':
      return ['<div class="pictures">', ...block.pictures.map(pictureHtml), '</div>'].join('\n')
    case 'view':
      return assets.view?.html ?? ''
    case 'warnings':
      return warningsHtml(block)
  }
}

const pictureHtml = ({ caption, alt, svg }: Picture): string =>
  `<figure>${svgImage(svg, alt)}<figcaption>${escaped(caption)}</figcaption></figure>`

/** A list item that starts with a word and a colon has the word set off. */
function listItem(text: Text): string {
  const [first, ...rest] = text
  const lead = typeof first === 'string' ? /^([^:.]{3,40}): (.*)$/su.exec(first) : null
  return lead
    ? `<b>${escaped(lead[1] ?? '')}:</b> ${escaped(lead[2] ?? '')}${textHtml(rest)}`
    : textHtml(text)
}

const textHtml = (text: Text): string => text.map(inlineHtml).join('')

const inlineHtml = (inline: Inline): string =>
  typeof inline === 'string' ? escaped(inline) : figureHtml(inline)

/** A figure with the cells it comes from, so that a reader and a program can trace it. */
export function figureHtml(figure: Figure): string {
  const { value, scenario, cells, against, apart, end } = figure
  const where = `${cells.join(' + ')} \u00b7 ${scenario}${end ? `, ${end} end` : ''}${
    against === undefined ? '' : `, less ${against}`
  }${apart === undefined ? '' : `, apart from ${apart}`}`
  const attributes = [
    `value="${value.toFixed()}"`,
    `title="${escaped(where)}"`,
    `data-cells="${escaped(cells.join(' '))}"`,
    `data-scenario="${escaped(scenario)}"`,
    ...(against === undefined ? [] : [`data-against="${escaped(against)}"`]),
    ...(apart === undefined ? [] : [`data-apart="${escaped(apart)}"`]),
    ...(end === undefined ? [] : [`data-end="${end}"`]),
  ]
  return `<data ${attributes.join(' ')}>${escaped(shownFigure(figure))}</data>`
}

function cellHtml(cell: TableCell): string {
  return `${textHtml(cell.text)}${cell.small === undefined ? '' : `<small>${escaped(cell.small)}</small>`}`
}

/** Rows up to which a table of figures is kept on one page. */
const SHORT = 20

function tableHtml(block: Extract<Block, { kind: 'table' }>): string {
  const numeric = (at: number) => (block.columns[at]?.numeric ? ' class="n"' : '')
  const rows = block.rows.map((row) => {
    if (row.kind === 'group') {
      const [first] = row.cells
      const span = block.columns.length
      return `<tr class="group"><th scope="colgroup" colspan="${span}">${first ? cellHtml(first) : ''}</th></tr>`
    }
    const cells = row.cells.map((cell, at) =>
      at === 0 ? `<th scope="row">${cellHtml(cell)}</th>` : `<td${numeric(at)}>${cellHtml(cell)}</td>`,
    )
    return `<tr${row.kind === 'total' ? ' class="total"' : ''}>${cells.join('')}</tr>`
  })
  const heads = block.columns.map(({ label }, at) =>
    label === '' ? `<td></td>` : `<th scope="col"${numeric(at)}>${escaped(label)}</th>`,
  )
  return [
    `<div class="table${block.rows.length <= SHORT && block.columns.some((column) => column.numeric) ? ' short' : ''}" role="region" tabindex="0" aria-label="${escaped(block.caption)}"><table${block.fine ? ' class="fine"' : block.columns.length > 5 ? ' class="wide"' : ''}>`,
    `<caption>${escaped(block.caption)}</caption>`,
    `<thead><tr>${heads.join('')}</tr></thead>`,
    '<tbody>',
    ...rows,
    '</tbody>',
    '</table></div>',
  ].join('\n')
}

function chartHtml({ id, caption, chart }: Extract<Block, { kind: 'chart' }>, assets: PaperAssets): string {
  const svg = assets.pictures.get(id)
  if (svg === undefined)
    throw new Error(`no picture for the chart "${id}"; draw every chart of the brief first`)
  return [
    '<figure>',
    svgImage(svg, chart.alt),
    `<figcaption>${escaped(caption)}</figcaption>`,
    '</figure>',
  ].join('\n')
}

const SEVERITY = { stop: 'Stop', care: 'Take care', note: 'Note' } as const

const warningsHtml = ({ warnings }: Extract<Block, { kind: 'warnings' }>): string =>
  [
    '<ul class="warnings">',
    ...warnings.map(
      ({ severity, text, scenarios, cells }) =>
        `<li class="${severity}"><b>${SEVERITY[severity]}</b><div><p>${escaped(text)}</p><small>${escaped(
          [scenarios.join(', '), ...(cells.length > 0 ? [cells.join(', ')] : [])].join(' \u00b7 '),
        )}</small></div></li>`,
    ),
    '</ul>',
  ].join('\n')
