// Prose and outputs of notebooks. Whatever a file or a kernel says is cleaned before it is shown: no script, no style,
// nothing loaded, no address that leads out but by a click.
import DOMPurify from 'dompurify'
import katex from 'katex'
import MarkdownIt from 'markdown-it'
import type { Output } from '../../notebook/format.js'
import { INPUTS_MIME } from '../../notebook/inputs.js'
import { drawChart } from './charts.js'
import { el, refill } from './dom.js'
import { asText } from './notebook-text.js'

const CHART_MIME = 'application/vnd.vegalite.v6+json'

const markdown = new MarkdownIt({ html: false, linkify: false })

const clean = (html: string): DocumentFragment =>
  DOMPurify.sanitize(html.replaceAll('style="text-align:right"', 'class="right"'), {
    RETURN_DOM_FRAGMENT: true,
    ALLOWED_TAGS: [
      'a',
      'b',
      'blockquote',
      'br',
      'caption',
      'code',
      'dd',
      'details',
      'div',
      'dl',
      'dt',
      'em',
      'figcaption',
      'figure',
      'h1',
      'h2',
      'h3',
      'h4',
      'hr',
      'i',
      'img',
      'li',
      'ol',
      'p',
      'pre',
      'small',
      'span',
      'strong',
      'sub',
      'summary',
      'sup',
      'table',
      'tbody',
      'td',
      'tfoot',
      'th',
      'thead',
      'tr',
      'ul',
    ],
    ALLOWED_ATTR: ['alt', 'class', 'colspan', 'href', 'rowspan', 'scope', 'src', 'title'],
    ALLOWED_URI_REGEXP: /^(?:https?:|#|data:image\/(?:svg\+xml|png);base64,)/i,
  })

let sheet: HTMLLinkElement | undefined

/** Prose with formulas between dollar signs. */
export async function proseView(place: HTMLElement, text: string): Promise<void> {
  const formulas: { tex: string; display: boolean }[] = []
  const put =
    (display: boolean) =>
    (_: string, tex: string): string =>
      `\uE000${formulas.push({ tex, display }) - 1}\uE001`
  const marked = text
    .replace(/\$\$([\s\S]+?)\$\$/g, put(true))
    .replace(/(?<![\\$\w])\$([^\s$](?:[^$\n]*[^\s$])?)\$(?![\w$])/g, put(false))
  const fragment = clean(markdown.render(marked))
  if (formulas.length > 0) {
    if (!sheet) {
      sheet = el('link', { rel: 'stylesheet', href: '/page/math.css' })
      document.head.append(sheet)
    }
    const walker = document.createTreeWalker(fragment, NodeFilter.SHOW_TEXT)
    const nodes: Text[] = []
    while (walker.nextNode())
      if (walker.currentNode.textContent?.includes('\uE000')) nodes.push(walker.currentNode as Text)
    for (const node of nodes) {
      const parts = (node.textContent ?? '').split(/\uE000(\d+)\uE001/)
      node.replaceWith(
        ...parts.map((part, i) => {
          const formula = i % 2 === 1 ? formulas[Number(part)] : undefined
          if (!formula) return document.createTextNode(part)
          const shown = el('span')
          // Drawn with elements and not from markup; the policy allows no style in text.
          katex.render(formula.tex, shown, {
            displayMode: formula.display,
            throwOnError: false,
            output: 'mathml',
          })
          return shown
        }),
      )
    }
  }
  for (const link of fragment.querySelectorAll('a')) {
    link.setAttribute('target', '_blank')
    link.setAttribute('rel', 'noopener noreferrer')
  }
  place.replaceChildren(fragment)
  if (text.trim() === '') refill(place, el('p', { class: 'fine' }, '(empty; Change writes it)'))
}

/** Puts a table of inputs into a place, to be typed into; undefined where the output is none. */
export type InputsView = (data: unknown) => HTMLElement | undefined

/**
 * The outputs of a cell: charts live, tables and pictures cleaned, text as text.
 *
 * @param inputs makes fields of tables of inputs; absent where the outputs come from a file and not from a kernel
 */
export async function outputView(
  place: HTMLElement,
  outputs: readonly Output[],
  inputs?: InputsView,
): Promise<void> {
  const parts = outputs.map((output) => ({ output, root: el('div', { class: 'output' }) }))
  refill(place, ...parts.map(({ root }) => root))
  for (const { output, root } of parts) {
    if (output.output_type === 'stream') {
      root.append(el('pre', { class: output.name, tabindex: 0, 'aria-label': 'Output' }, asText(output.text)))
    } else if (output.output_type === 'error') {
      root.append(
        el(
          'pre',
          { class: 'stderr', role: 'alert', tabindex: 0 },
          [`${output.ename}: ${output.evalue}`, ...output.traceback].join('\n'),
        ),
      )
    } else await bundle(root, output.data, inputs)
  }
}

async function bundle(
  root: HTMLElement,
  data: Readonly<Record<string, unknown>>,
  inputs: InputsView | undefined,
): Promise<void> {
  const fields = inputs?.(data[INPUTS_MIME])
  if (fields) return root.append(fields)
  const text = (mime: string): string => {
    const value = data[mime]
    return typeof value === 'string' || Array.isArray(value) ? asText(value as string | string[]) : ''
  }
  const spec = data[CHART_MIME]
  if (typeof spec === 'object' && spec !== null) {
    const place = el('div', { class: 'drawing' })
    root.append(place)
    try {
      return await drawChart(place, spec as Record<string, unknown>, text('text/plain'))
    } catch {
      place.remove()
    }
  }
  if (data['text/html'] !== undefined)
    return root.append(el('div', { class: 'wide' }, clean(text('text/html'))))
  if (data['text/markdown'] !== undefined) return proseView(root, text('text/markdown'))
  for (const [mime, encode] of [
    ['image/svg+xml', true],
    ['image/png', false],
  ] as const) {
    if (data[mime] === undefined) continue
    const base64 = encode ? btoa(unescape(encodeURIComponent(text(mime)))) : text(mime).trim()
    return root.append(
      el('img', { alt: text('text/plain') || 'A picture', src: `data:${mime};base64,${base64}` }),
    )
  }
  root.append(el('pre', { tabindex: 0 }, text('text/plain') || JSON.stringify(data, null, 1)))
}
