import { svgImage } from '../paper/picture.js'
import type { Move } from '../plan/move.js'
import { stagePictures } from '../stowage/pictures/index.js'
import { escapeHtml as escaped } from '../tables/as-data.js'
import { lashingText } from './lashing.js'
import { type ListRow, loadingList } from './list.js'
import type { LoadedContainer, LoadResult } from './load-result.js'
import { section, table } from './page-parts.js'
import { kg } from './words.js'

/** The section that goes stage by stage: where vehicles stand, and for each stage its pictures and its list. */
export function stagesHtml(move: Move, result: LoadResult): string {
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
