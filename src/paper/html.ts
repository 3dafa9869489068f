import { escapeHtml as escaped } from '../tables/as-data.js'
import { dayIn } from '../time/day-number.js'
import type {
  Block,
  Figure,
  Inline,
  PaperData,
  Picture,
  Reference,
  Section,
  Sender,
  TableCell,
  Text,
} from './blocks.js'
import { shownFigure } from './figure-text.js'
import { isDate } from './format.js'
import { contentsHtml, coverHtml, pageHtml, sectionHtml } from './page.js'
import { svgImage } from './picture.js'
import type { Words } from './words.js'

/** Closer settings of a printed paper, each a class of the style sheet. */
export type Spacing = 'snug' | 'tight'

/** What a paper wears and speaks: style sheets, words, and a picture (SVG text) for each chart by its id. */
export interface PaperAssets {
  readonly css: string
  readonly words: Words
  readonly pictures: ReadonlyMap<string, string>
  /** The analyst's copy names the cell of every figure; the copy that is sent does not. */
  readonly copy: 'client' | 'analyst'
  /** Pages by the ids of sections, as this paper was printed; and of other files, as `file#id`. */
  readonly pages?: ReadonlyMap<string, number>
  /** How closely it is set on paper, so that no page stays nearly empty; wide unless said. */
  readonly spacing?: Spacing
  /** How to print, where nobody could print it here. */
  readonly printHint?: boolean
  /** The view of the load plan: its place as HTML, the scene its script reads, and the built script. */
  readonly view?: {
    readonly html: string
    readonly scene: unknown
    readonly script: string
  }
}

/** A paper (brief, enquiry) as one HTML file that loads nothing. */
export function paperHtml(data: PaperData, assets: PaperAssets): string {
  const { view, words } = assets
  const { sender } = data
  const firstAnnex = data.sections.find(({ annex }) => annex)
  const body = [
    ...(sender ? [senderHtml(sender)] : []),
    coverHtml({ ...data, toWord: words.say('paper.to') }),
    ...(assets.printHint ? [`<p class="print-hint">${escaped(words.say('paper.print'))}</p>`] : []),
    contentsHtml(data.sections, words.say('paper.contents')),
    '<main>',
    ...data.sections.map((section) => sectionOf(section, section === firstAnnex, data, assets)),
    ...(firstAnnex ? [] : closingHtml(sender)),
    '</main>',
  ].join('\n')
  return pageHtml({
    lang: words.locale.tag,
    title: `${data.kind}: ${data.household}`,
    css: `${assets.css}\n${pageHead(`${data.kind} \u00b7 ${data.household}`)}`,
    body,
    ...(assets.spacing === undefined ? {} : { bodyClass: assets.spacing }),
    ...(view ? { scripts: [view.script], data: { id: 'view-data', json: view.scene } } : {}),
  })
}

/** One section; the closing words come before the first annex. */
function sectionOf(section: Section, first: boolean, data: PaperData, assets: PaperAssets): string {
  const html = sectionHtml(
    section.id,
    section.title,
    section.blocks.map((block) => blockHtml(block, assets)),
  )
  if (!section.annex) return html
  const annex = `<div class="annex${first ? ' first' : ''}">\n${html}\n</div>`
  return first ? [...closingHtml(data.sender), annex].join('\n') : annex
}

const senderHtml = ({ name, address, contact, logo }: Sender): string =>
  [
    '<div class="sender">',
    ...(logo
      ? [
          `<img alt="${escaped(logo.alt)}" width="${Math.round((logo.width / logo.height) * 56)}" height="56" src="${logo.address}">`,
        ]
      : []),
    `<address><b>${escaped(name)}</b>${[...address, ...contact].map((line) => `<br>${escaped(line)}`).join('')}</address>`,
    '</div>',
  ].join('\n')

const closingHtml = (sender: Sender | undefined): string[] =>
  sender && sender.closing !== ''
    ? [`<p class="closing">${escaped(sender.closing)}</p>`, `<p class="closing">${escaped(sender.name)}</p>`]
    : []

/** The running head of printed pages. */
const pageHead = (text: string): string => {
  const quoted = text.replace(/[\\"<>\n]/g, (c) => `\\${c.charCodeAt(0).toString(16)} `)
  return `@page { @top-left { content: "${quoted}"; } }`
}

function blockHtml(block: Block, assets: PaperAssets): string {
  switch (block.kind) {
    case 'paragraph':
      return `<p${block.lead ? ' class="lead"' : ''}>${textHtml(block.text, assets)}</p>`
    case 'facts':
      return [
        '<dl class="facts">',
        ...block.facts.map(
          ({ label, text }) => `<div><dt>${escaped(label)}</dt><dd>${textHtml(text, assets)}</dd></div>`,
        ),
        '</dl>',
      ].join('\n')
    case 'list':
      return [
        block.fine ? '<ul class="sources">' : '<ul>',
        ...block.items.map(
          (item) => `<li>${block.fine ? textHtml(item, assets) : listItem(item, assets)}</li>`,
        ),
        '</ul>',
      ].join('\n')
    case 'table':
      return tableHtml(block, assets)
    case 'chart':
      return chartHtml(block, assets)
    case 'heading':
      return `<h3>${escaped(block.text)}</h3>`
    case 'references':
      return [
        '<ul class="references">',
        ...block.references.map(
          (reference) => `<li>${referenceHtml({ kind: 'reference', ...reference }, assets)}</li>`,
        ),
        '</ul>',
      ].join('\n')
    case 'pictures':
      return ['<div class="pictures">', ...block.pictures.map(pictureHtml), '</div>'].join('\n')
    case 'view':
      return assets.view?.html ?? ''
    case 'warnings':
      return warningsHtml(block, assets)
  }
}

const pictureHtml = ({ caption, alt, svg }: Picture): string =>
  `<figure>${svgImage(svg, alt)}<figcaption>${escaped(caption)}</figcaption></figure>`

/** A list item that starts with a word and a colon has the word set off. */
function listItem(text: Text, assets: PaperAssets): string {
  const [first, ...rest] = text
  const lead = typeof first === 'string' ? /^([^:.]{3,40})(\u00a0?:) (.*)$/su.exec(first) : null
  return lead
    ? `<b>${escaped(lead[1] ?? '')}${lead[2]}</b> ${escaped(lead[3] ?? '')}${textHtml(rest, assets)}`
    : textHtml(text, assets)
}

const textHtml = (text: Text, assets: PaperAssets): string =>
  text.map((inline) => inlineHtml(inline, assets)).join('')

function inlineHtml(inline: Inline, assets: PaperAssets): string {
  if (typeof inline === 'string') return escaped(inline)
  return inline.kind === 'figure' ? figureHtml(inline, assets) : referenceHtml(inline, assets)
}

/** A pointer to a section, with the page it is on where that is known. */
function referenceHtml({ to, text, file }: Reference, { pages, words }: PaperAssets): string {
  const page = pages?.get(file === undefined ? to : `${file}#${to}`)
  const where = page === undefined ? '' : words.say('annexes.page', { page: String(page) })
  return `<a href="${escaped(`${file ?? ''}#${to}`)}">${escaped(text)}</a>${where === '' ? '' : `, ${escaped(where)}`}`
}

/** A figure; in the analyst's copy with the cells it comes from, so that a reader and a program can trace it. */
export function figureHtml(figure: Figure, { copy, words }: Pick<PaperAssets, 'copy' | 'words'>): string {
  const { value, scenario, cells, against, apart, end, how } = figure
  const shown = escaped(shownFigure(figure, words.locale))
  // A day is stated as a program reads it, not as the number the model counts with.
  const plain = isDate(figure.unit) && against === undefined && apart === undefined
  const stated = plain ? (dayIn(value) ?? '') : value.toFixed()
  if (copy === 'client') return `<data value="${stated}">${shown}</data>`
  const where = `${cells.join(' + ')} \u00b7 ${scenario}${end ? `, ${end} end` : ''}${
    against === undefined ? '' : `, less ${against}`
  }${apart === undefined ? '' : `, apart from ${apart}`}${how === undefined ? '' : `, ${how}`}`
  const attributes = [
    `value="${stated}"`,
    `title="${escaped(where)}"`,
    `data-cells="${escaped(cells.join(' '))}"`,
    `data-scenario="${escaped(scenario)}"`,
    ...(against === undefined ? [] : [`data-against="${escaped(against)}"`]),
    ...(apart === undefined ? [] : [`data-apart="${escaped(apart)}"`]),
    ...(end === undefined ? [] : [`data-end="${end}"`]),
    ...(how === undefined ? [] : [`data-how="${escaped(how)}"`]),
  ]
  return `<data ${attributes.join(' ')}>${shown}</data>`
}

function cellHtml({ text, small, trace }: TableCell, assets: PaperAssets): string {
  const fine = [
    ...(small === undefined ? [] : [small]),
    ...(trace === undefined || assets.copy === 'client' ? [] : [trace]),
  ]
  return `${textHtml(text, assets)}${fine.map((line) => `<small>${escaped(line)}</small>`).join('')}`
}

/** Rows up to which a table of figures is kept on one page. */
const SHORT = 20

function tableHtml(block: Extract<Block, { kind: 'table' }>, assets: PaperAssets): string {
  const numeric = (at: number) => (block.columns[at]?.numeric ? ' class="n"' : '')
  const rows = block.rows.map((row) => {
    if (row.kind === 'group') {
      const [first] = row.cells
      const span = block.columns.length
      return `<tr class="group"><th scope="colgroup" colspan="${span}">${first ? cellHtml(first, assets) : ''}</th></tr>`
    }
    const cells = row.cells.map((cell, at) =>
      at === 0
        ? `<th scope="row">${cellHtml(cell, assets)}</th>`
        : `<td${numeric(at)}>${cellHtml(cell, assets)}</td>`,
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

/** Warnings; what they are called is in the language of the paper, the cells they were read from in the analyst's copy. */
function warningsHtml(
  { warnings }: Extract<Block, { kind: 'warnings' }>,
  { copy, words }: PaperAssets,
): string {
  return [
    '<ul class="warnings">',
    ...warnings.map(({ severity, text, scenarios, cells }) => {
      const fine = [
        ...(scenarios.length > 0 ? [scenarios.join(', ')] : []),
        ...(copy === 'analyst' && cells.length > 0 ? [cells.join(', ')] : []),
      ].join(' \u00b7 ')
      return `<li class="${severity}"><b>${escaped(words.say(`severity.${severity}`))}</b><div><p>${escaped(text)}</p>${
        fine === '' ? '' : `<small>${escaped(fine)}</small>`
      }</div></li>`
    }),
    '</ul>',
  ].join('\n')
}
