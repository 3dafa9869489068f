import type { NumberedCarton } from '../../volume/carton-list.js'
import type { Edge } from '../packing/index.js'
import { cartonBearsKg } from './carton-strength.js'
import { type CartonKind, type Figures, figureOf, type Goods, type LoadPiece, type Sides } from './goods.js'
import { pieceSize } from './sizes.js'

const allEdges: readonly Edge[] = ['length', 'width', 'height']

/**
 * The pieces of the lines that travel as pieces of their own, one for each that the line counts; a part of a piece
 * counts as one and weighs its part.
 *
 * Handling words: `upright` stays as it stands; `floor-only`; `first-needed` near the door; nothing stands on what is
 * `top-only`, and half of the usual on what is `fragile`. Rows of data/reference/stowage.csv: what may stand on a piece
 * `stack.*` and `board.*`; what neighbours may press away `squeeze.*`; what bends `soft.*`; chairs that go two by two
 * `nest.*`.
 */
export function goodsPieces(lines: readonly Goods[], figures: Figures): LoadPiece[] {
  return lines.flatMap((goods) => {
    const count = Math.max(0, Math.ceil(goods.quantity - 1e-9))
    if (count === 0) return []
    const one = onePiece(goods, count, figures)
    const nestMm = typeof goods.packing === 'string' ? figures(`nest.${goods.usual?.code}`) : undefined
    const pairs = nestMm === undefined ? 0 : Math.floor(count / 2)
    const nested = Array.from({ length: pairs }, (_, i) =>
      pairOf(one, [2 * i + 1, 2 * i + 2], count, nestMm ?? 0, figures),
    )
    const single = Array.from({ length: count - 2 * pairs }, (_, i): LoadPiece => {
      const number = 2 * pairs + i + 1
      return {
        ...one,
        id: count === 1 ? goods.line : `${goods.line}/${number}`,
        label: count === 1 ? goods.item : `${goods.item} (${number} of ${count})`,
      }
    })
    return [...nested, ...single]
  })
}

function onePiece(goods: Goods, count: number, figures: Figures): LoadPiece {
  const size = pieceSize(goods, figures)
  const { handling, usual, packing } = goods
  const has = (word: (typeof handling)[number]): boolean => handling.includes(word)
  const boxed = typeof packing !== 'string'
  const upright = has('upright') || (boxed ? !turns(figures, packing.id) : usual?.staysUpright === true)
  const bends = packing !== 'crated' && !boxed
  const squeeze = bends ? figureOfCode(usual?.code, 'squeeze', figures) : undefined
  const soft = bends && figureOfCode(usual?.code, 'soft', figures) === 1
  const limit = bearsKg(goods, figures)
  const [lengthMm, widthMm, heightMm] = size.sides
  return {
    id: goods.line,
    label: goods.item,
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
    ...(soft ? { soft: true, foldedMm: [foldedOnce(size.sides, figures)] } : {}),
  }
}

/** Two chairs seat to seat, the second with its legs up: the height of one, and deeper by the second one's back. */
function pairOf(
  one: LoadPiece,
  [first, second]: readonly [number, number],
  count: number,
  deeperMm: number,
  figures: Figures,
): LoadPiece {
  const { squeezeShare, foldedMm, soft, ...rest } = one
  const limit = Math.min(rest.maxLoadOnTopKg ?? 0, figureOf(figures, 'nest.bears'))
  return {
    ...rest,
    id: `${one.id}/${first}-${second}`,
    label: `${one.label} (${first} and ${second} of ${count}, seat to seat)`,
    worth: one.worth * 2,
    massKg: one.massKg * 2,
    widthMm: one.widthMm + deeperMm,
    upright: ['height'],
    maxLoadOnTopKg: limit,
    ...(limit === 0 ? { fragile: true } : {}),
  }
}

/** A long soft piece bent double: half as long, twice as thick and a little more for the bend. */
function foldedOnce(sides: Sides, figures: Figures): Sides {
  const [longest, middle, least] = sides.toSorted((a, b) => b - a) as [number, number, number]
  const thick = Math.ceil(least * (2 + figureOf(figures, 'soft.fold-more')))
  return [Math.ceil(longest / 2), middle, thick]
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
    const usual = cartonBearsKg(kind, figures)
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
  const onTop = handling.includes('top-only') || usual?.bears === 'nothing'
  const share = handling.includes('fragile') ? figureOf(figures, 'stack.fragile-share') : 1
  if (typeof packing !== 'string') {
    return handling.includes('top-only') ? 0 : cartonBearsKg(packing, figures) * share
  }
  if (onTop) return 0
  if (packing === 'crated') return figureOf(figures, share < 1 ? 'stack.crated-fragile' : 'stack.crated')
  const usually = figureOf(figures, usual ? `stack.${usual.bears}` : 'stack.unknown')
  // Fragile does not mean that nothing may stand on it: that is what `top-only` and the item table say.
  return share < 1 ? Math.min(usually, figureOf(figures, 'stack.light')) * share : usually
}

/** The figure of the longest beginning of an item code that a row `<name>.*` names. */
function figureOfCode(code: string | undefined, name: string, figures: Figures): number | undefined {
  for (let at = code?.length ?? 0; at > 2; at--) {
    const found = figures(`${name}.${code?.slice(0, at)}`)
    if (found !== undefined) return found
  }
  return undefined
}
