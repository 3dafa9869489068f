import { ENGLISH } from '../paper/figure-text.js'
import { contentsHtml, coverHtml, pageHtml } from '../paper/page.js'
import type { Move } from '../plan/move.js'
import { escapeHtml as escaped } from '../tables/as-data.js'
import { contradictions } from './contradictions.js'
import { type LoadFigures, loadFigures } from './figures.js'
import { contentsText } from './list.js'
import type { LoadedContainer, LoadResult } from './load-result.js'
import { section, table } from './page-parts.js'
import { stagesHtml } from './page-stages.js'
import { viewHtml, viewScene } from './page-view.js'
import { stowageFigures } from './pieces-of.js'
import { type BalanceRow, balanceRows, highRow } from './verdicts.js'
import { answer, bookedText, cautions, containersText, kg, proofText } from './words.js'

/** What the page wears and runs. */
export interface PageAssets {
  /** The base style sheet and shared/load.css. */
  readonly css: string
  /** dist/load/view.bundle.js; left out: a page without the 3D view. */
  readonly script?: string
}

/**
 * The load plan as one HTML file that loads nothing: answer, figures, cautions, the 3D view, and for each stage a
 * picture and the list of its pieces. The policy allows the one script by its hash and nothing else.
 */
export function loadHtml(move: Move, result: LoadResult, { css, script }: PageAssets): string {
  const { facts } = move.household
  const figures = loadFigures(result.first, result.pieces, result.vehicles)
  const contents = [
    ['answer', 'Answer'],
    ['figures', 'Mass and balance'],
    ['cautions', 'Before anyone lifts'],
    ...(script === undefined ? [] : [['turn', 'Turn it']]),
    ['stages', 'Stage by stage'],
    ['cartons', 'Cartons'],
    ['doubts', 'What is estimated'],
  ].map(([id = '', title = '']) => ({ id, title }))
  const body = [
    coverHtml({
      kind: 'Load plan',
      household: facts.name,
      from: ENGLISH.place(facts.origin_place, facts.origin_country),
      to: ENGLISH.place(facts.destination_place, facts.destination_country),
      stated: `Scenario \u201c${result.scenario}\u201d. For planning only: a competent person checks and signs the stow.${containersText(facts.container_numbers)}`,
    }),
    contentsHtml(contents),
    '<main>',
    answerHtml(result, figures),
    figuresHtml(figures, result.first, highRow(result.first, result.pieces, stowageFigures(move))),
    cautionsHtml(move, result, figures),
    ...(script === undefined ? [] : [viewHtml(result)]),
    stagesHtml(move, result),
    cartonsHtml(result),
    doubtsHtml(result),
    '</main>',
  ].join('\n')
  return pageHtml({
    lang: 'en-GB',
    title: `Load plan: ${facts.name}`,
    css,
    body,
    ...(script === undefined
      ? {}
      : { scripts: [script], data: { id: 'view-data', json: viewScene(result) } }),
  })
}

const per100 = (share: number): string => `${(share * 100).toFixed(0)}\u00a0%`
const m3 = (n: number): string => `${n.toFixed(1)}\u00a0m³`

function fact(label: string, text: string): string {
  return `<div><dt>${escaped(label)}</dt><dd>${escaped(text)}</dd></div>`
}

function answerHtml(result: LoadResult, figures: LoadFigures): string {
  const { first, pieces, trials } = result
  const outcome = {
    all: 'Everything goes in',
    some: 'Not everything',
    impossible: 'Proven too small',
    vehicle: 'Vehicle does not fit',
    'not tried': 'Not tried',
  } as const
  const proof = proofText(result)
  return section(
    'answer',
    'Will it go in?',
    `<p class="answer">${escaped(answer(result))}</p>`,
    proof === '' ? '' : `<p>${escaped(proof)}</p>`,
    bookedText(result) === '' ? '' : `<p>${escaped(bookedText(result))}</p>`,
    '<dl class="facts">',
    fact('Pieces in it', `${first.plan.placements.length} of ${pieces.length}`),
    fact('Goods as stowed', m3(figures.goodsM3)),
    fact('Share of the inside', per100(figures.spaceShare)),
    ...(result.vehicles.length > 0
      ? [fact('Share of the room beside and above the vehicle', per100(figures.goodsM3 / figures.freeM3))]
      : []),
    fact('Share of the payload', per100(figures.massShare)),
    fact('Gross mass, calculated', kg(figures.grossKg)),
    '</dl>',
    table(
      'Containers, smallest first',
      [{ label: 'Container' }, { label: 'Outcome' }, { label: 'Pieces in', numeric: true }, { label: 'Why' }],
      trials.map((t) => [
        escaped(t.label),
        outcome[t.outcome],
        t.placed === 0 ? '\u2013' : String(t.placed),
        escaped(t.text),
      ]),
    ),
    leftHtml(result),
  )
}

function leftHtml({ first, pieces, more, byShare }: LoadResult): string {
  const { leftOut } = first.plan
  if (leftOut.length === 0) return ''
  const byId = new Map(pieces.map((p) => [p.id, p]))
  const where = (id: string): string => {
    const at = more.findIndex(({ plan }) => plan.placements.some((p) => p.pieceId === id))
    if (byShare.includes(id)) return 'by the share'
    return at < 0 ? 'stays' : `container ${at + 2}, ${more[at]?.hold.id ?? ''}`
  }
  return table(
    'What the first container leaves, and why',
    [{ label: 'Mark' }, { label: 'What' }, { label: 'Goes' }, { label: 'Why' }],
    leftOut.map(({ pieceId, reason }) => [
      `<span class="mark">${escaped(pieceId)}</span>`,
      escaped(byId.get(pieceId)?.label ?? ''),
      escaped(where(pieceId)),
      escaped(reason),
    ]),
  )
}

function figuresHtml(f: LoadFigures, { hold, plan }: LoadedContainer, high: BalanceRow): string {
  const notes = [...(plan.notes ?? []), ...plan.unmet]
  return section(
    'figures',
    'Mass and balance',
    table(
      'Gross mass by calculation (SOLAS VI/2, method 2)',
      [{ label: 'What' }, { label: 'Mass', numeric: true }],
      [
        ['Container, tare', kg(f.tareKg)],
        ['Goods with packing and dunnage', kg(f.goodsKg)],
        ...(f.vehiclesKg > 0 ? [['Vehicles', kg(f.vehiclesKg)]] : []),
        ['Gross mass', `<b>${kg(f.grossKg)}</b>`],
      ],
    ),
    table(
      'Balance',
      [{ label: 'What' }, { label: 'Here' }, { label: 'Measured against' }, { label: 'Verdict' }],
      [...balanceRows(f, hold), high].map(({ what, here, rule, kept }) => [
        escaped(what),
        escaped(here),
        escaped(rule),
        kept === undefined ? 'for the foreman' : kept ? 'kept' : '<b>not kept</b>',
      ]),
    ),
    ...notes.map((text) => `<p>${escaped(text)}</p>`),
  )
}

function cautionsHtml(move: Move, result: LoadResult, figures: LoadFigures): string {
  return section(
    'cautions',
    'Before anyone lifts',
    '<ul>',
    ...cautions(move, result, figures).map(
      ([title, text]) => `<li><b>${escaped(title ?? '')}.</b> ${escaped(text ?? '')}</li>`,
    ),
    '</ul>',
  )
}

function cartonsHtml(result: LoadResult): string {
  if (result.cartons.length === 0) return ''
  return section(
    'cartons',
    'Cartons and what is in them',
    '<p>Numbered from the inventory, as many of each size as the plan counts. Write the number on two sides and the top. What a carton holds here is a proposal by volume and mass; correct the list as you pack.</p>',
    table(
      'Cartons',
      [
        { label: 'Carton' },
        { label: 'Room' },
        { label: 'Size' },
        { label: 'Contents' },
        { label: 'kg', numeric: true },
      ],
      result.cartons.map((c) => [
        `<span class="mark">${escaped(c.number)}</span>`,
        escaped(c.room),
        escaped(c.label),
        escaped(contentsText(c.contents)),
        c.goodsKg.toFixed(1),
      ]),
    ),
  )
}

/** First-needed pieces that other goods shut in: the wish to have them near the door could not be kept for these. */
function shutIn({ first, pieces }: LoadResult): string[] {
  const wanted = new Set(pieces.filter((p) => p.firstNeeded).map((p) => p.id))
  const deep = first.plan.placements.filter(
    (p) => wanted.has(p.pieceId) && p.x + p.dx < first.plan.usedLengthMm * 0.6,
  )
  return deep.map((p) => p.pieceId)
}

function doubtsHtml(result: LoadResult): string {
  const { pieces } = result
  const deep = shutIn(result)
  const guessed = pieces.filter((p) => p.sizeFrom === 'usual shape')
  const usual = pieces.filter((p) => p.sizeFrom === 'item table')
  const doubts = [...new Set(pieces.flatMap((p) => p.doubt ?? []))]
  const marks = (list: readonly { lines: readonly string[] }[]): string =>
    [...new Set(list.flatMap((p) => p.lines))].join(', ')
  return section(
    'doubts',
    'What is estimated',
    '<ul>',
    `<li>${pieces.length - guessed.length - usual.length} pieces have their own or their carton’s size; ${usual.length} the size of the item table; ${guessed.length} a usual shape of their volume.</li>`,
    ...(usual.length > 0
      ? [`<li>Size of the item table, measure before booking: ${escaped(marks(usual))}.</li>`]
      : []),
    ...(guessed.length > 0 ? [`<li>Only the volume is known: ${escaped(marks(guessed))}.</li>`] : []),
    ...doubts.map((d) => `<li>${escaped(d)}</li>`),
    ...contradictions(result.first.hold, pieces).map((text) => `<li>${escaped(text)}</li>`),
    ...(deep.length > 0
      ? [
          `<li>First needed, yet far from the door in this plan: ${escaped(deep.join(', '))}. Ask the crew to swap them with like cartons near the door, or carry them yourself.</li>`,
        ]
      : []),
    '<li>A base may hang over what carries it by the share in the tables (support.share); chairs go seat to seat, rugs fold once, beds and tables lie flat. Drawers and machines are counted as they stand, with nothing in them, and nothing is pressed into gaps by eye: a skilled crew may stow more.</li>',
    '</ul>',
  )
}
