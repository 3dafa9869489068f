import { sha256 } from '@noble/hashes/sha2.js'
import { utf8ToBytes } from '@noble/hashes/utils.js'
import { escapeHtml as escaped, scriptText } from '../tables/as-data.js'

/** What one page is made of. Title and cover texts are data; `body` is HTML that is escaped already. */
export interface Page {
  /** Language of the text, a BCP 47 tag: `en-GB`, `fr`. */
  readonly lang: string
  readonly title: string
  readonly css: string
  readonly body: string
  /** A class of the body, for a style sheet that has one. */
  readonly bodyClass?: string
  /** Built scripts, run in this order at the end of the body. */
  readonly scripts?: readonly string[]
  /** Whether a script calculates in a worker of its own, which it makes from text of the page. */
  readonly worker?: boolean
  /** Data that a script reads from the element of this id. */
  readonly data?: { readonly id: string; readonly json: unknown }
}

/** A source as the content security policy names it: by the SHA-256 of its text. */
export const hashSource = (text: string): string =>
  `'sha256-${btoa(String.fromCharCode(...sha256(utf8ToBytes(text))))}'`

/** A style sheet as it may stand in a style element: one that closed its own element could open another. */
const styleText = (css: string): string => css.replaceAll('</', '<\\/')

/**
 * One HTML file that loads nothing. Its policy (CSP level 3) allows the style sheet and the scripts by their hashes and
 * pictures from within the page, and a worker made from its text where it has one; no inline style, no form, no other
 * base, no evaluated code.
 */
export function pageHtml({ lang, title, css, body, bodyClass, scripts = [], worker, data }: Page): string {
  const style = styleText(css)
  const run = scripts.map(scriptText)
  const policy = [
    "default-src 'none'",
    `script-src ${run.length === 0 ? "'none'" : run.map(hashSource).join(' ')}`,
    `style-src ${hashSource(style)}`,
    'img-src data:',
    ...(worker ? ['worker-src blob:'] : []),
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ')
  return [
    '<!doctype html>',
    `<html lang="${escaped(lang)}">`,
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="${policy}">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${escaped(title)}</title>`,
    `<style>${style}</style>`,
    '</head>',
    bodyClass === undefined ? '<body>' : `<body class="${escaped(bodyClass)}">`,
    body,
    ...(data === undefined
      ? []
      : [
          `<script type="application/json" id="${escaped(data.id)}">${JSON.stringify(data.json).replaceAll('<', '\\u003c')}</script>`,
        ]),
    ...run.map((script) => `<script>${script}</script>`),
    '</body>',
    '</html>',
    '',
  ].join('\n')
}

/** The head of a page: what it is, whose move, from where to where, and what was stated when. */
export interface Cover {
  readonly kind: string
  readonly household: string
  readonly from: string
  readonly to: string
  readonly stated: string
  /** The word a screen reader hears for the arrow. */
  readonly toWord?: string
}

export const coverHtml = ({ kind, household, from, to, stated, toWord = 'to' }: Cover): string =>
  [
    '<header class="cover">',
    `<p class="kind">${escaped(kind)}</p>`,
    `<h1>${escaped(household)}</h1>`,
    `<p class="route">${escaped(from)} <span aria-hidden="true">\u2192</span><span class="said"> ${escaped(toWord)} </span> ${escaped(to)}</p>`,
    `<p class="stated">${escaped(stated)}</p>`,
    '</header>',
  ].join('\n')

/** Links to the sections of a page by their ids. */
export const contentsHtml = (
  sections: readonly { readonly id: string; readonly title: string }[],
  label = 'Contents',
): string =>
  [
    `<nav aria-label="${escaped(label)}"><ol>`,
    ...sections.map(({ id, title }) => `<li><a href="#${escaped(id)}">${escaped(title)}</a></li>`),
    '</ol></nav>',
  ].join('\n')

/** One section of a page; what stands inside is HTML already. */
export const sectionHtml = (id: string, title: string, inside: readonly string[]): string =>
  [
    `<section id="${escaped(id)}" aria-labelledby="${escaped(id)}-title">`,
    `<h2 id="${escaped(id)}-title">${escaped(title)}</h2>`,
    ...inside,
    '</section>',
  ].join('\n')
