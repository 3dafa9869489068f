import { ENGLISH } from '../paper/figure-text.js'
import { contentsHtml, coverHtml, pageHtml, sectionHtml } from '../paper/page.js'
import { svgImage } from '../paper/picture.js'
import type { Move } from '../plan/move.js'
import { overviewPicture, stagePictures } from '../stowage/pictures/index.js'
import { escapeHtml as escaped } from '../tables/as-data.js'
import { contradictions } from './contradictions.js'
import { type LoadFigures, loadFigures } from './figures.js'
import { lashingText } from './lashing.js'
import { contentsText, type ListRow, loadingList } from './list.js'
import type { LoadedContainer, LoadResult } from './load-plan.js'
import { balanceRows } from './verdicts.js'
import type { ViewScene } from './view/scene.js'
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
    figuresHtml(figures, result.first),
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

const section = (id: string, title: string, ...inside: readonly string[]): string =>
  sectionHtml(id, title, inside)

const per100 = (share: number): string => `${(share * 100).toFixed(0)}\u00a0%`
const m3 = (n: number): string => `${n.toFixed(1)}\u00a0m³`

function fact(label: string, text: string): string {
  return `<div><dt>${escaped(label)}</dt><dd>${escaped(text)}</dd></div>`
}

interface Col {
  readonly label: string
  readonly numeric?: boolean
}

/** A table; cells are HTML already. */
function table(caption: string, columns: readonly Col[], rows: readonly (readonly string[])[]): string {
  const n = (at: number): string => (columns[at]?.numeric ? ' class="n"' : '')
  return [
    `<div class="table"><table><caption>${escaped(caption)}</caption>`,
    `<thead><tr>${columns.map((c, i) => `<th scope="col"${n(i)}>${escaped(c.label)}</th>`).join('')}</tr></thead><tbody>`,
    ...rows.map(
      (row) =>
        `<tr>${row.map((c, i) => (i === 0 ? `<th scope="row"${n(i)}>${c}</th>` : `<td${n(i)}>${c}</td>`)).join('')}</tr>`,
    ),
    '</tbody></table></div>',
  ].join('\n')
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

function figuresHtml(f: LoadFigures, { hold, plan }: LoadedContainer): string {
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
      balanceRows(f, hold).map(({ what, here, rule, kept }) => [
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

function viewHtml(result: LoadResult): string {
  return section(
    'turn',
    'Turn it',
    '<p id="view-note">The door is nearest. Drag to turn, click a piece for its name. The list below says the same in words.</p>',
    viewBox(result),
    onPaper(result),
  )
}

/** What stands in place of the 3D view on paper: the whole load from the side and from above. */
function onPaper({ first }: LoadResult): string {
  const { svg, alt } = overviewPicture(first.hold, first.plan)
  return `<figure class="on-paper">${svgImage(svg, alt)}</figure>`
}

/** The place of the 3D view with its controls; the built script fills it from the scene in `#view-data`. */
export function viewBox({ first }: LoadResult): string {
  const stages = Math.max(1, ...first.plan.placements.map((p) => p.stage))
  const button = (act: string, sign: string, label: string): string =>
    `<button type="button" data-act="${act}" aria-label="${label}" title="${label}">${sign}</button>`
  return [
    '<div class="viewer">',
    '<div id="view"></div>',
    '<div class="controls">',
    '<p id="view-said" role="status"></p>',
    `<span class="group">Stage ${button('stage-back', '[', 'One stage back')}<input id="view-stage" type="range" min="1" max="${stages}" value="${stages}" aria-label="Stage">${button('stage-on', ']', 'One stage on')}</span>`,
    `<span class="group">Piece ${button('piece-back', ',', 'One piece back')}${button('piece-on', '.', 'One piece on')}</span>`,
    `<span class="group">Turn ${button('left', '\u2190', 'Turn left')}${button('right', '\u2192', 'Turn right')}${button('up', '\u2191', 'Look from higher')}${button('down', '\u2193', 'Look from lower')}</span>`,
    `<span class="group">Zoom ${button('in', '+', 'Nearer')}${button('out', '\u2212', 'Farther')}${button('reset', 'Reset', 'As at first')}</span>`,
    '</div>',
    '<p class="keys"><span class="swatch p"></span>furniture and other pieces <span class="swatch c"></span>cartons <span class="swatch v"></span>vehicle <span aria-hidden="true">●</span> red: centre of gravity. Keys, once the view is chosen: arrows turn, + and \u2212 zoom, [ and ] stages, comma and full stop pieces, Home resets.</p>',
    '</div>',
  ].join('\n')
}

function stagesHtml(move: Move, result: LoadResult): string {
  const { pieces } = result
  const names = new Map(pieces.map((p) => [p.id, { label: p.label, kind: p.kind }]))
  const blocks = [result.first, ...result.more].flatMap((loaded, c) => {
    const rows = loadingList(loaded, pieces, c + 1)
    const pictures = stagePictures(loaded.hold, loaded.plan, names)
    const title = result.more.length > 0 ? `Container ${c + 1}, ${loaded.hold.label}: stage` : 'Stage'
    return [
      ...(c === 0 ? vehicleNotes(move, result, loaded) : []),
      ...[...new Set(rows.map((row) => row.stage))].map((stage) => {
        const own = rows.filter((row) => row.stage === stage)
        const kgs = own.reduce((sum, row) => sum + row.piece.massKg, 0)
        const views = pictures.filter((picture) => picture.stage === stage)
        return [
          '<div class="stage">',
          `<h3>${escaped(title)} ${stage} <small>${own.length} ${own.length === 1 ? 'piece' : 'pieces'}, ${kg(kgs)}</small></h3>`,
          '<div class="pictures">',
          ...views.map(({ svg, alt, hidden, part, parts }) =>
            [
              '<figure>',
              svgImage(svg, alt, ' loading="lazy"'),
              captionOf(part, parts, hidden),
              '</figure>',
            ].join(''),
          ),
          '</div>',
          listTable(own, `${title} ${stage}, in loading order`),
          '</div>',
        ].join('\n')
      }),
    ]
  })
  return section(
    'stages',
    'Stage by stage',
    '<p>From the front wall to the door. Numbers are the loading order; marks are those of the inventory and the cartons, and the same as on the customs list. Pale grey stands already. Left and right are as seen from the door.</p>',
    ...blocks,
  )
}

function captionOf(part: number, parts: number, hidden: readonly number[]): string {
  const words = [
    ...(parts > 1 ? [`Picture ${part} of ${parts}.`] : []),
    ...(hidden.length > 0 ? [`Behind others: ${hidden.join(', ')}.`] : []),
  ]
  return words.length === 0 ? '' : `<figcaption>${words.join(' ')}</figcaption>`
}

function vehicleNotes(
  move: Move,
  { vehicles }: LoadResult,
  { hold, vehiclePlace, plan }: LoadedContainer,
): string[] {
  const fixed = hold.fixed ?? []
  if (fixed.length === 0 || vehiclePlace === undefined) return []
  return fixed.map((block) => {
    const vehicle = vehicles.find((v) => v.id === block.id)
    const from = Math.min(...block.boxes.map((b) => b.x))
    const to = Math.max(...block.boxes.map((b) => b.x + b.dx))
    const wide = Math.max(...block.boxes.map((b) => b.dy))
    const beside = Math.floor((block.clear.dy - wide) / 2)
    const before = plan.placements.findIndex(
      (p) => p.x >= to || (block.deck !== undefined && p.z >= block.deck.zMm && p.x + p.dx > block.deck.x),
    )
    const when = before <= 0 ? 'It goes in first.' : `It goes in before number ${before + 1}.`
    const deck =
      block.deck === undefined
        ? ''
        : ` The deck over it is ${(block.deck.zMm / 1000).toFixed(2)} m above the floor and takes ${block.deck.maxLoadKg} kg in all, no piece over ${block.deck.maxPieceKg} kg; it rests on its own legs.`
    return `<p><b>${escaped(block.label ?? block.id)}</b> stands from ${(from / 1000).toFixed(2)} to ${(to / 1000).toFixed(2)} m behind the front wall, ${beside / 10} cm clear on each side. ${when}${deck} ${beside < 400 ? 'That is too narrow for a door to open wide: plan how the driver gets out, or push and winch it.' : ''} ${vehicle ? escaped(lashingText(move, vehicle)) : ''}</p>`
  })
}

function listTable(rows: readonly ListRow[], caption: string): string {
  return table(
    caption,
    [
      { label: 'No.', numeric: true },
      { label: 'Mark' },
      { label: 'What' },
      { label: 'Where' },
      { label: 'kg', numeric: true },
    ],
    rows.map(({ number, piece, place, turned }) => {
      const tags = [
        ...(piece.fragile || piece.maxLoadOnTopKg === 0 ? ['nothing on top'] : []),
        ...(piece.firstNeeded ? ['first needed'] : []),
        ...(piece.sizeFrom === 'usual shape' ? ['size estimated'] : []),
        ...(turned === '' ? [] : [turned]),
      ]
      return [
        String(number),
        `<span class="mark">${escaped(piece.id)}</span>`,
        `${escaped(piece.label)}${tags.map((t) => ` <span class="tag">${escaped(t)}</span>`).join('')}`,
        escaped(place),
        piece.massKg.toFixed(0),
      ]
    }),
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

/** The first container as the 3D view reads it. */
export function viewScene({ first, pieces, vehicles }: LoadResult): ViewScene {
  const { hold, plan } = first
  const byId = new Map(pieces.map((p) => [p.id, p]))
  return {
    container: { x: 0, y: 0, z: 0, dx: hold.lengthMm, dy: hold.widthMm, dz: hold.heightMm },
    doorWidthMm: hold.doorWidthMm,
    doorHeightMm: hold.doorHeightMm,
    pieces: plan.placements.map(({ x, y, z, dx, dy, dz, stage, pieceId }, i) => {
      const piece = byId.get(pieceId)
      return {
        x,
        y,
        z,
        dx,
        dy,
        dz,
        stage,
        number: i + 1,
        name: `${pieceId} ${piece?.label ?? ''}`,
        carton: piece?.kind === 'carton',
      }
    }),
    vehicles: (hold.fixed ?? []).map((block) => ({
      name: block.label ?? block.id,
      car: vehicles.find((v) => v.id === block.id)?.kind === 'car',
      boxes: block.boxes,
      ...(block.deck === undefined
        ? {}
        : {
            deck: {
              x: block.deck.x,
              y: block.deck.y,
              z: block.deck.zMm - 80,
              dx: block.deck.dx,
              dy: block.deck.dy,
              dz: 80,
            },
          }),
    })),
    centreOfGravity: plan.centreOfGravity,
    stages: Math.max(1, ...plan.placements.map((p) => p.stage)),
  }
}
