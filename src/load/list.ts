import type { LoadPiece } from '../stowage/pieces/index.js'
import { csvCell } from '../tables/as-data.js'
import type { CartonContent } from '../volume/carton-list.js'
import type { LoadedContainer, LoadResult } from './load-result.js'

/** A row of the loading list. */
export interface ListRow {
  /** Which container, from 1. */
  readonly container: number
  readonly stage: number
  /** Place in the loading order of its container, from 1. */
  readonly number: number
  readonly piece: LoadPiece
  readonly place: string
  /** How it lies where that is not as it stands at home. */
  readonly turned: string
}

/** The loading list of a packed container, in loading order. */
export function loadingList(
  { hold, plan }: LoadedContainer,
  pieces: readonly LoadPiece[],
  container = 1,
): ListRow[] {
  const byId = new Map(pieces.map((p) => [p.id, p]))
  return plan.placements.flatMap((at, i): ListRow[] => {
    const piece = byId.get(at.pieceId)
    if (piece === undefined) return []
    const side = sideOf(at.y, at.dy, hold.widthMm)
    const onDeck = (hold.fixed ?? []).some(
      ({ deck }) =>
        deck !== undefined && at.z >= deck.zMm && at.x < deck.x + deck.dx && at.x + at.dx > deck.x,
    )
    const level = at.z === 0 ? 'floor' : onDeck ? 'on the deck' : `${(at.z / 1000).toFixed(2)} m up`
    return [
      {
        container,
        stage: at.stage,
        number: i + 1,
        piece,
        place: `${side}, ${level}`,
        turned: at.dz === piece.heightMm ? '' : at.upright === 'length' ? 'on end' : 'on its side',
      },
    ]
  })
}

function sideOf(y: number, dy: number, widthMm: number): string {
  const middle = (y + dy / 2) / widthMm
  return middle < 0.37 ? 'left' : middle > 0.63 ? 'right' : 'middle'
}

/** What is in a carton, in a line of words: `38 of Novels (L-16)`; a part of a lot is said to be one. */
export const contentsText = (contents: readonly CartonContent[]): string =>
  contents
    .map(({ line, item, pieces, share }) => {
      const count = pieces > 1 ? `${pieces} × ` : share < 0.995 && pieces <= 1 ? 'part of ' : ''
      return `${count}${item} (${line})`
    })
    .join('; ')

/**
 * The loading list as CSV, UTF-8. No text of the household can become a formula when a spreadsheet program opens it.
 * What goes by a share or stays behind stands at the end, without a number.
 */
export function loadingListCsv(result: LoadResult): string {
  const head = [
    'container',
    'stage',
    'number',
    'mark',
    'what',
    'room',
    'contents',
    'place',
    'lies',
    'length_mm',
    'width_mm',
    'height_mm',
    'mass_kg',
    'size_from',
    'inventory_lines',
  ]
  const all = [result.first, ...result.more]
  const aboard = new Set(all.flatMap(({ plan }) => plan.placements.map((p) => p.pieceId)))
  const rows = all.flatMap((loaded, i) =>
    loadingList(loaded, result.pieces, i + 1).map((row) => [
      `${i + 1} ${loaded.hold.id}`,
      String(row.stage),
      String(row.number),
      ...pieceCells(row.piece, row.place, row.turned),
    ]),
  )
  const left = result.pieces
    .filter((piece) => !aboard.has(piece.id))
    .map((piece) => [
      result.byShare.includes(piece.id) ? 'by the share' : 'stays behind',
      '',
      '',
      ...pieceCells(piece, '', ''),
    ])
  return `${[head, ...rows, ...left].map((row) => row.map(csvCell).join(',')).join('\n')}\n`
}

const pieceCells = (piece: LoadPiece, place: string, turned: string): string[] => [
  piece.id,
  piece.label,
  piece.room,
  contentsText(piece.contents ?? []),
  place,
  turned,
  String(piece.lengthMm),
  String(piece.widthMm),
  String(piece.heightMm),
  piece.massKg.toFixed(1),
  piece.sizeFrom,
  piece.lines.join(' '),
]
