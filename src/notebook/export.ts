// An executed notebook as one HTML page that loads nothing: for readers without Jupyter, and for paper.
import MarkdownIt from 'markdown-it'
import { hashSource as hash, pageHtml } from '../paper/page.js'
import { pageCss } from '../paper/page-css.js'
import { escapeHtml } from '../tables/as-data.js'
import {
  type Cell,
  type CodeCell,
  type MimeBundle,
  type Notebook,
  type Output,
  tagsOf,
  textOf,
} from './format.js'
import { CHART_MIME, RIGHT_ALIGNED } from './show.js'

export interface ExportOptions {
  /** Language of the page's text, as in `<html lang>`. Default: en. */
  readonly lang?: string
  /**
   * What becomes of scripts in outputs. Default: dropped. `hash` keeps each distinct one, allowed by its hash;
   * only for notebooks that you ran yourself, because a script there is whatever the cells wrote.
   */
  readonly scripts?: 'drop' | 'hash'
  /** The built script that makes charts live (`liveCharts()`); without it they stay pictures. */
  readonly live?: string
}

// Markdown is text by the notebook's author, but may quote a household's files: no HTML from there.
const markdown = new MarkdownIt({ html: false, linkify: false })

/** Scripts taken out of the outputs, by hash; each distinct one goes to the end of the page once. */
class Scripts {
  readonly #keep: boolean
  readonly byHash = new Map<string, string>()

  constructor(
    keep: boolean,
    /** Whether charts are to be made live by a script of our own. */
    readonly live: boolean,
  ) {
    this.#keep = keep
  }

  without(html: string): string {
    // The page's policy allows no inline style; a class of its style sheet right-aligns figures.
    const styled = html.replaceAll(` style="${RIGHT_ALIGNED}"`, ' class="n"')
    return styled.replace(/<script\b[^>]*>([\s\S]*?)<\/script\s*>/gi, (_, script: string) => {
      if (this.#keep) this.byHash.set(hash(script), script)
      return ''
    })
  }
}

function text(data: MimeBundle, mime: string): string | undefined {
  const value = data[mime]
  if (typeof value === 'string') return value
  if (Array.isArray(value)) return value.map(String).join('')
  return value === undefined ? undefined : JSON.stringify(value, null, 1)
}

function image(mime: string, base64: string, alt: string): string {
  return `<figure><img alt="${escapeHtml(alt)}" src="data:${mime};base64,${escapeHtml(base64)}"></figure>`
}

function display(data: MimeBundle, scripts: Scripts): string {
  const plain = text(data, 'text/plain') ?? ''
  const html = text(data, 'text/html')
  const chart = scripts.live ? data[CHART_MIME] : undefined
  if (html !== undefined && chart !== undefined) {
    const spec = JSON.stringify(chart).replaceAll('<', '\\u003c')
    return `<div class="wide chart">${scripts.without(html)}<script type="application/json">${spec}</script></div>`
  }
  if (html !== undefined) return `<div class="wide">${scripts.without(html)}</div>`
  const svg = text(data, 'image/svg+xml')
  if (svg !== undefined) return image('image/svg+xml', Buffer.from(svg).toString('base64'), plain)
  for (const mime of ['image/png', 'image/jpeg']) {
    const picture = text(data, mime)
    if (picture !== undefined) return image(mime, picture.replace(/\s/g, ''), plain)
  }
  const prose = text(data, 'text/markdown')
  if (prose !== undefined) return markdown.render(prose)
  return `<pre tabindex="0">${escapeHtml(plain)}</pre>`
}

function outputHtml(output: Output, scripts: Scripts): string {
  switch (output.output_type) {
    case 'stream':
      return `<pre class="${output.name}" tabindex="0">${escapeHtml(textOf(output.text))}</pre>`
    case 'error':
      return `<pre class="error" tabindex="0">${escapeHtml(`${output.ename}: ${output.evalue}`)}</pre>`
    default:
      return display(output.data, scripts)
  }
}

function codeHtml(cell: CodeCell): string {
  if (textOf(cell.source).trim() === '' || tagsOf(cell).includes('remove_input')) return ''
  const count = cell.execution_count === null ? '' : ` ${cell.execution_count}`
  const code = escapeHtml(textOf(cell.source))
  return `<details><summary>Code${count}</summary><pre tabindex="0"><code>${code}</code></pre></details>`
}

function cellHtml(cell: Cell, scripts: Scripts): string {
  if (tagsOf(cell).includes('remove_cell')) return ''
  if (cell.cell_type !== 'code') {
    if (cell.cell_type === 'raw') return ''
    return `<div id="${escapeHtml(cell.id)}">\n${markdown.render(textOf(cell.source))}</div>`
  }
  const outputs = tagsOf(cell).includes('remove_output')
    ? []
    : cell.outputs.map((output) => outputHtml(output, scripts))
  return [`<div id="${escapeHtml(cell.id)}">`, codeHtml(cell), ...outputs, '</div>']
    .filter((part) => part !== '')
    .join('\n')
}

function titleOf(notebook: Notebook): string | undefined {
  for (const cell of notebook.cells) {
    const title =
      cell.cell_type === 'markdown' ? textOf(cell.source).match(/^#\s+(.*?)\s*$/m)?.[1] : undefined
    if (title) return title
  }
  return undefined
}

/**
 * A notebook with its outputs as one self-contained page: code folded away, images with their alternative
 * text, ready for A4. Nothing is loaded, and a content security policy sees to it: styles and scripts are
 * allowed by their hashes alone, images only from within the page.
 *
 * Tags `remove_cell`, `remove_input` and `remove_output` are honoured.
 */
export function notebookToHtml(notebook: Notebook, options: ExportOptions = {}): string {
  const scripts = new Scripts(options.scripts === 'hash', options.live !== undefined)
  const cells = notebook.cells.map((cell) => cellHtml(cell, scripts)).filter((html) => html !== '')
  const { live } = options
  if (live !== undefined && cells.some((html) => html.includes('class="wide chart"'))) {
    scripts.byHash.set(hash(live), live)
  }
  const title = titleOf(notebook)
  const heading = title === undefined ? ['<h1>Notebook</h1>'] : []
  return pageHtml({
    lang: options.lang ?? 'en',
    title: title ?? 'Notebook',
    css: pageCss('notebook'),
    body: ['<main>', ...heading, ...cells, '</main>'].join('\n'),
    scripts: [...scripts.byHash.values()],
  })
}
