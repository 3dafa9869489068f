import type { ChartTheme } from '../charts/specs/index.js'
import { ENGLISH } from '../paper/figure-text.js'
import { dayText } from '../paper/format.js'
import { coverHtml, pageHtml } from '../paper/page.js'
import type { Move, Plan } from '../plan/index.js'
import { escapeHtml as escaped } from '../tables/as-data.js'
import { pageChoices } from './choices.js'
import { type ExploreOptions, exploreData } from './data.js'
import { figureRowsHtml, scenariosHtml, stripHtml } from './figures-html.js'
import type { PageData, PageInput } from './page-data.js'
import { Calculator, type Figures, type Moved } from './state.js'
import { turningPoints } from './turning-points.js'
import { fieldUnit, headline, inputWords, NO_TURNING, plainNumber, turningWords } from './words.js'

/** What the page wears and runs. */
export interface ExploreAssets {
  /** The base style sheet and shared/explore.css. */
  readonly css: string
  /** dist/explore/page.bundle.js. */
  readonly script: string
  readonly theme: ChartTheme
  /** What plans again when something else is chosen; without it only numbers move. */
  readonly planner?: PlannerAssets
}

/** Texts as gzip in base64, so that the file stays small enough to mail. */
export interface PlannerAssets {
  /** dist/explore/planner.bundle.js. */
  readonly script: string
  /** The reference tables. */
  readonly tables: string
  /** The household's own lists. */
  readonly lists: string
}

const NOTHING: Moved = new Map()

/**
 * The page on which a household moves inputs and sees the totals follow: one HTML file that loads nothing, with
 * the scenarios compiled into it. Its policy allows one script and one style sheet by their hashes, and the worker that
 * plans again where the page has one. Without script the figures as planned are there to read.
 */
export function explorePage(
  move: Move,
  plans: readonly Plan[],
  options: ExploreOptions & { readonly assets: ExploreAssets },
): string {
  const { css, script, theme, planner } = options.assets
  const { facts } = move.household
  const data: PageData = {
    ...exploreData(move, plans, options),
    ...(planner ? { choices: pageChoices(move, plans) } : {}),
  }
  const calculator = new Calculator(data)
  const figures = calculator.figures(NOTHING)
  const body = [
    coverHtml({
      kind: 'Trade-offs',
      household: facts.name,
      from: ENGLISH.place(facts.origin_place, facts.origin_country),
      to: ENGLISH.place(facts.destination_place, facts.destination_country),
      stated: `Prices and rules as of ${dayText(facts.as_of)}. Amounts in ${data.currency}. Everything is calculated in this file; nothing is sent anywhere.`,
    }),
    `<div class="strip" aria-hidden="true">${stripHtml(data, figures)}</div>`,
    '<main>',
    '<div class="bench">',
    totalsHtml(data, figures),
    inputsHtml(data),
    '</div>',
    turningHtml(data, calculator),
    '<section aria-labelledby="figures-title">',
    '<h2 id="figures-title">The figures</h2>',
    `<div class="table" role="region" tabindex="0" aria-label="Table of figures"><table>${figureRowsHtml(data, figures)}</table></div>`,
    '</section>',
    takeHtml(data),
    cautionsHtml(data),
    '</main>',
    ...Object.entries(planner ?? {}).map(([name, text]) => `<template id="pack-${name}">${text}</template>`),
  ].join('\n')
  return pageHtml({
    lang: 'en-GB',
    title: `Trade-offs: ${facts.name}`,
    css: `${palette(theme)}\n${css}`,
    body,
    scripts: [script],
    ...(planner ? { worker: true } : {}),
    data: { id: 'page-data', json: data },
  })
}

/** The colours of the charts, so that the page and the brief tell phases apart alike. */
const palette = ({ accent, series }: ChartTheme): string =>
  `:root{--accent:${accent};${series.map((colour, k) => `--series-${k}:${colour};`).join('')}}`

function totalsHtml(data: PageData, figures: readonly Figures[]): string {
  return [
    '<section class="totals" aria-labelledby="totals-title" tabindex="0">',
    '<h2 id="totals-title">What the move costs</h2>',
    `<p class="headline" id="headline">${escaped(headline(data, figures, NOTHING))}</p>`,
    `<ol class="scenarios">${scenariosHtml(data, figures)}</ol>`,
    `<ul class="key" aria-label="Phases">${data.phases.map(({ label }, k) => `<li><svg width="12" height="12" aria-hidden="true"><rect width="12" height="12" class="p${k}"/></svg> ${escaped(label)}</li>`).join('')}</ul>`,
    '<ul class="notes" id="notes"></ul>',
    '<p class="said" id="spoken" role="status" aria-live="polite"></p>',
    '</section>',
  ].join('\n')
}

function inputsHtml(data: PageData): string {
  const groups = [
    ['decide', 'What you decide, and what may happen'],
    ['price', 'Prices and rates, by how much they move the total'],
  ] as const
  return [
    '<section class="inputs" aria-labelledby="inputs-title">',
    `<h2 id="inputs-title">${data.choices ? 'Choose, and move an input' : 'Move an input'}</h2>`,
    '<noscript><p class="plain">The sliders need the script in this file, which is switched off here. The figures on this page are those of the plan.</p></noscript>',
    '<div class="actions"><span id="moved-count">Nothing moved yet</span><button type="button" id="reset-all" disabled>everything as planned</button></div>',
    ...(data.choices ? ['<p class="fine" id="planning" role="status"></p>', '<div id="choices"></div>'] : []),
    ...groups.map(([group, title]) => {
      const shown = data.inputs.filter((input) => input.group === group)
      return shown.length === 0
        ? ''
        : [
            '<fieldset disabled>',
            `<legend>${title}</legend>`,
            ...shown.map((input) => inputHtml(data, input)),
            '</fieldset>',
          ].join('\n')
    }),
    '</section>',
  ].join('\n')
}

function inputHtml(data: PageData, input: PageInput): string {
  const { id, label, unit, low, likely, high, min, max, step, planned } = input
  const at = escaped(id)
  const start = planned[data.recommended] ?? likely
  const share = (text: string): string =>
    (((Number(text) - Number(min)) / (Number(max) - Number(min))) * 100).toFixed(2)
  const ranged = Number(low) < Number(high)
  const differ = new Set(planned.map(Number)).size > 1
  const marks = ranged
    ? ([
        ['low', low],
        ['likely', likely],
        ['high', high],
      ] as const)
    : ([] as const)
  return [
    `<div class="input" data-input="${at}">`,
    `<div class="head"><label for="n-${at}" id="l-${at}">${escaped(label)}</label><span class="now"><input type="number" inputmode="decimal" id="n-${at}" min="${min}" max="${max}" step="any" value="${start}" aria-describedby="u-${at}"> <span class="unit" id="u-${at}">${escaped(fieldUnit(unit, Number(start)))}</span></span></div>`,
    '<div class="slide">',
    `<svg class="track" width="100%" height="20" aria-hidden="true"><rect class="rail" x="0" width="100%" y="8" height="4"/>${
      ranged
        ? `<rect class="span" x="${share(low)}%" width="${(Number(share(high)) - Number(share(low))).toFixed(2)}%" y="8" height="4"/>`
        : ''
    }${[...new Set(ranged ? [low, likely, high] : planned)].map((text) => `<line x1="${share(text)}%" x2="${share(text)}%" y1="${text === likely || !ranged ? 2 : 4}" y2="${text === likely || !ranged ? 18 : 16}"/>`).join('')}</svg>`,
    `<input type="range" id="r-${at}" min="${min}" max="${max}" step="${step}" value="${start}" aria-labelledby="l-${at}" aria-valuetext="${escaped(inputWords(input, Number(start)))}">`,
    '</div>',
    `<p class="wrong" id="w-${at}" hidden>Between ${plainText(min)} and ${plainText(max)}.</p>`,
    '<div class="ends">',
    ...marks.map(
      ([word, value]) =>
        `<button type="button" data-value="${value}" aria-label="${escaped(`${label}: ${word} ${plainText(value)}`)}">${word} ${plainText(value)}</button>`,
    ),
    `<details class="fine"><summary>${escaped(input.confirmed)}<span class="said">: source of ${escaped(label)}</span></summary><p>${escaped(input.source)}. <code>${at}</code>${
      input.effect > 0
        ? `. Alone, from low to high, it moves the total by up to ${escaped(data.currency)}\u00a0${plainNumber(input.effect, 0)}`
        : ''
    }.</p></details>`,
    `<button type="button" class="reset" disabled aria-label="${escaped(`${label}: as planned`)}">as planned</button>`,
    '</div>',
    differ
      ? `<p class="fine">Planned: ${data.scenarios.map(({ name }, s) => `${plainText(planned[s] ?? '')} in \u201c${escaped(name)}\u201d`).join(', ')}. Moving it sets all of them.</p>`
      : '',
    '</div>',
  ].join('\n')
}

/** A decimal text with separators, its digits as they are. */
const plainText = (text: string): string => plainNumber(Number(text), (text.split('.')[1] ?? '').length)

function turningHtml(data: PageData, calculator: Calculator): string {
  if (data.scenarios.length < 2) return ''
  return [
    '<section aria-labelledby="turning-title">',
    '<h2 id="turning-title">What would change which one costs least</h2>',
    '<p>Each input alone, inside its range, the others as they stand above.</p>',
    `<ul id="turning">${turningItems(data, calculator)
      .map((text) => `<li>${escaped(text)}</li>`)
      .join('')}</ul>`,
    '</section>',
  ].join('\n')
}

const turningItems = (data: PageData, calculator: Calculator): string[] => {
  const found = turningPoints(calculator, NOTHING)
    .slice(0, 5)
    .map((point) => turningWords(data, point))
  return found.length > 0 ? found : [NO_TURNING]
}

const takeHtml = (data: PageData): string =>
  [
    '<section class="take" aria-labelledby="take-title">',
    '<h2 id="take-title">Keep these inputs</h2>',
    '<p>The address of this page holds what you moved: a bookmark, or the address pasted beside the file, brings it back. To plan with it, run this; the same <code>--set</code> works with the brief, the workbook and the comparison.</p>',
    '<label for="set-text">Command</label>',
    `<textarea id="set-text" readonly rows="3">${escaped(data.command)}</textarea>`,
    ...(data.choices
      ? [
          '<div id="rows" hidden><label for="rows-text">What only some scenarios choose cannot be set by a command: these rows go into <code>scenarios.csv</code>, in place of rows with the same id</label><textarea id="rows-text" readonly rows="4"></textarea></div>',
        ]
      : []),
    '<p class="actions"><button type="button" id="copy" disabled>Copy as --set</button> <button type="button" id="copy-link" disabled>Copy the address</button> <span id="copied" role="status"></span></p>',
    '</section>',
  ].join('\n')

const cautionsHtml = (data: PageData): string =>
  [
    '<section class="cautions" aria-labelledby="cautions-title">',
    '<h2 id="cautions-title">Before you act on it</h2>',
    '<ul>',
    '<li>This page plans and compares. It is no advice, quotation, insurance offer, customs ruling or stowage certificate.</li>',
    data.choices
      ? '<li>This file holds the household\u2019s own lists: people, things and what they are worth. Give it only to those who may read them, or make one without by <code>--without-lists</code>, on which only numbers move.</li>'
      : '',
    '<li>Whether everything goes into a container is as packed for the plan; what is chosen or moved here changes it by volume only, until it is packed again. Whether customs grants relief hangs on facts that no slider holds.</li>',
    '<li>Prices are ranges until somebody has quoted. Low and high are where a figure is expected, not limits that anybody guarantees.</li>',
    '<li>Who packs and loads decides what an insurer pays for and who gets hurt. Lifting, lashing, vehicles with fuel or batteries and dangerous goods belong to trained people, the carrier\u2019s rules and local law.</li>',
    '</ul>',
    '</section>',
  ].join('\n')
