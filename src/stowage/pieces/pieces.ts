import type { NumberedCarton } from '../../volume/carton-list.js'
import type { Edge } from '../packing/index.js'
import { type CartonKind, type Figures, figureOf, type Goods, type LoadPiece } from './goods.js'
import { pieceSize } from './sizes.js'

const allEdges: readonly Edge[] = ['length', 'width', 'height']

/**
 * The pieces of the lines that travel as pieces of their own, one for each that the line counts; a part of a piece
 * counts as one and weighs its part.
 *
 * Handling words: `upright` stays as it stands; `floor-only`; `first-needed` near the door; nothing stands on what is
 * `fragile` or `top-only`, but a crate and a carton keep part of what they bear. What may stand on the others: rows
 * `stack.*`; what neighbours may press away: rows `squeeze.*` of data/reference/stowage.csv.
 */
export function goodsPieces(lines: readonly Goods[], figures: Figures): LoadPiece[] {
  return lines.flatMap((goods) => {
    const count = Math.max(0, Math.ceil(goods.quantity - 1e-9))
    if (count === 0) return []
    const size = pieceSize(goods, figures)
    const { handling, usual, packing } = goods
    const has = (word: (typeof handling)[number]): boolean => handling.includes(word)
    const boxed = typeof packing !== 'string'
    const upright = has('upright') || (boxed ? !turns(figures, packing.id) : usual?.staysUpright === true)
    const squeeze = packing === 'crated' || boxed ? undefined : squeezeShare(usual?.code, figures)
    const limit = bearsKg(goods, figures)
    return Array.from({ length: count }, (_, i): LoadPiece => {
      const [lengthMm, widthMm, heightMm] = size.sides
      return {
        id: count === 1 ? goods.line : `${goods.line}/${i + 1}`,
        label: count === 1 ? goods.item : `${goods.item} (${i + 1} of ${count})`,
        kind: boxed ? 'carton' : 'piece',
        room: goods.room,
        lines: [goods.line],
        sizeFrom: size.from,
        ...(size.doubt === undefined ? {} : { doubt: size.doubt }),
        worth: (goods.value * goods.quantity) / count,
        lengthMm,
        widthMm,
        heightMm,
        massKg: (goods.massKg * goods.quantity) / count,
        upright: upright ? ['height'] : allEdges,
        maxLoadOnTopKg: limit,
        ...(limit === 0 ? { fragile: true } : {}),
        ...(has('floor-only') ? { floorOnly: true } : {}),
        ...(has('first-needed') ? { firstNeeded: true } : {}),
        ...(squeeze === undefined ? {} : { squeezeShare: squeeze }),
      }
    })
  })
}

/**
 * The pieces of numbered cartons.
 *
 * @param kinds every size of carton that the list names
 * @param packingShare mass of packing over that of the goods
 * Throws one sentence for a carton whose size is not among the kinds.
 */
export function cartonPieces(
  cartons: readonly NumberedCarton[],
  kinds: readonly CartonKind[],
  packingShare: number,
  figures: Figures,
): LoadPiece[] {
  return cartons.map((carton): LoadPiece => {
    const kind = kinds.find(({ id }) => id === carton.carton)
    if (kind === undefined)
      throw new Error(`no carton "${carton.carton}" in cartons.csv; ${carton.number} is one`)
    const [lengthMm, widthMm, heightMm] = kind.sides.map((mm) => Math.ceil(mm - 1e-6)) as [
      number,
      number,
      number,
    ]
    const usual = figures(`stack.carton.${carton.carton}`) ?? figureOf(figures, 'stack.carton.other')
    const limit = carton.fragile ? usual * figureOf(figures, 'stack.fragile-share') : usual
    return {
      id: carton.number,
      label: `${carton.label}, ${carton.room}`,
      kind: 'carton',
      room: carton.room,
      lines: carton.contents.map(({ line }) => line),
      sizeFrom: 'carton',
      contents: carton.contents,
      worth: carton.value,
      lengthMm,
      widthMm,
      heightMm,
      massKg: carton.goodsKg * (1 + packingShare),
      upright: turns(figures, carton.carton) && !carton.fragile ? allEdges : ['height'],
      maxLoadOnTopKg: limit,
      ...(limit === 0 ? { fragile: true } : {}),
      ...(carton.firstNeeded ? { firstNeeded: true } : {}),
    }
  })
}

const turns = (figures: Figures, carton: string): boolean => figures(`turn.${carton}`) === 1

function bearsKg(goods: Goods, figures: Figures): number {
  const { packing, handling, usual } = goods
  const delicate = handling.includes('fragile') || handling.includes('top-only')
  if (typeof packing !== 'string') {
    const usually = figures(`stack.carton.${packing.id}`) ?? figureOf(figures, 'stack.carton.other')
    if (handling.includes('top-only')) return 0
    return delicate ? usually * figureOf(figures, 'stack.fragile-share') : usually
  }
  if (packing === 'crated') {
    if (usual?.bears === 'nothing' || handling.includes('top-only')) return 0
    return figureOf(figures, delicate ? 'stack.crated-fragile' : 'stack.crated')
  }
  if (delicate) return 0
  return figureOf(figures, usual ? `stack.${usual.bears}` : 'stack.unknown')
}

/** The longest beginning of an item code that a row `squeeze.*` names. */
function squeezeShare(code: string | undefined, figures: Figures): number | undefined {
  for (let at = code?.length ?? 0; at > 2; at--) {
    const found = figures(`squeeze.${code?.slice(0, at)}`)
    if (found !== undefined) return found
  }
  return undefined
}
