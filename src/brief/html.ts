import { escapeHtml as escaped } from '../tables/as-data.js'
import type { Block, BriefData, Figure, Inline, Picture, Section, TableCell, Text } from './blocks.js'
import { shownFigure } from './figure.js'
import { dayText } from './names.js'

/** What the brief wears: shared/brief.css, and a picture (SVG text) for each chart by its id. */
export interface PageAssets {
  readonly css: string
  readonly pictures: ReadonlyMap<string, string>
  /** The view of the load plan: its place, its data and script as elements, the script's hash for the policy. */
  readonly view?: {
    readonly html: string
    readonly data: string
    readonly script: string
    readonly hash: string
  }
}

/**
 * The brief as one HTML file that loads nothing: styles and pictures stand inside, and its policy forbids the rest.
 * There is no script.
 */
export function briefHtml(data: BriefData, dress: PageAssets): string {
  const kind = data.kind ?? 'Moving brief'
  const title = `${kind}: ${data.household}`
  // A style sheet that closed its own element could open another one.
  const policy = dress.view ? ` script-src '${dress.view.hash}';` : ''
  const css = dress.css.replaceAll('</', '<\\/')
  return [
    '<!doctype html>',
    '<html lang="en-GB">',
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none';${policy} style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${escaped(title)}</title>`,
    `<style>\n${css}</style>`,
    '</head>',
    '<body>',
    '<header class="cover">',
    `<p class="kind">${escaped(kind)}</p>`,
    `<h1>${escaped(data.household)}</h1>`,
    `<p class="route">${escaped(data.from)} <span aria-hidden="true">\u2192</span><span class="said"> to </span> ${escaped(data.to)}</p>`,
    `<p class="stated">Prices and rules as of ${escaped(dayText(data.asOf))}. Amounts in ${escaped(data.currency)}.</p>`,
    '</header>',
    contents(data.sections),
    '<main>',
    ...data.sections.map((section) => sectionHtml(section, dress)),
    '</main>',
    ...(dress.view ? [dress.view.data, `<script>${dress.view.script}</script>`] : []),
    '</body>',
    '</html>',
    '',
  ].join('\n')
}

const contents = (sections: readonly Section[]): string =>
  [
    '<nav aria-label="Contents"><ol>',
    ...sections.map(({ id, title }) => `<li><a href="#${escaped(id)}">${escaped(title)}</a></li>`),
    '</ol></nav>',
  ].join('\n')

const sectionHtml = ({ id, title, blocks }: Section, dress: PageAssets): string =>
  [
    `<section id="${escaped(id)}" aria-labelledby="${escaped(id)}-title">`,
    `<h2 id="${escaped(id)}-title">${escaped(title)}</h2>`,
    ...blocks.map((block) => blockHtml(block, dress)),
    '</section>',
  ].join('\n')

function blockHtml(block: Block, dress: PageAssets): string {
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
      return chartHtml(block, dress)
    case 'pictures':
      return ['<div class="pictures">', ...block.pictures.map(pictureHtml), '</div>'].join('\n')
    case 'view':
      return dress.view?.html ?? ''
    case 'warnings':
      return warningsHtml(block)
  }
}

const pictureHtml = ({ caption, alt, svg }: Picture): string =>
  `<figure><img alt="${escaped(alt)}" src="data:image/svg+xml,${inAddress(svg)}"><figcaption>${escaped(caption)}</figcaption></figure>`

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

function chartHtml({ id, caption, chart }: Extract<Block, { kind: 'chart' }>, dress: PageAssets): string {
  const svg = dress.pictures.get(id)
  if (svg === undefined)
    throw new Error(`no picture for the chart "${id}"; draw every chart of the brief first`)
  const size = /<svg[^>]*?\swidth="(\d+(?:\.\d+)?)"[^>]*?\sheight="(\d+(?:\.\d+)?)"/.exec(svg)
  const box = size ? ` width="${Math.round(Number(size[1]))}" height="${Math.round(Number(size[2]))}"` : ''
  return [
    '<figure>',
    `<img${box} alt="${escaped(chart.alt)}" src="data:image/svg+xml,${inAddress(svg)}">`,
    `<figcaption>${escaped(caption)}</figcaption>`,
    '</figure>',
  ].join('\n')
}

/** SVG text in a data: address: only what would end or alter the address is encoded, which keeps the file small. */
const inAddress = (svg: string): string => svg.replace(/[%#<>"'?&\n]/g, encodeCharacter)

const encodeCharacter = (c: string): string =>
  `%${c.charCodeAt(0).toString(16).toUpperCase().padStart(2, '0')}`

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
