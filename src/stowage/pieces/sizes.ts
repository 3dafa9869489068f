import type { CartonKind, Figures, Goods, Sides, SizeFrom } from './goods.js'
import { figureOf } from './goods.js'

/** The size of one piece as it is loaded, and how it is known. */
export interface PieceSize {
  readonly sides: Sides
  readonly from: SizeFrom
  readonly doubt?: string
}

/**
 * Outer size of one piece, wrapped as it will be loaded: its own sides, else those of the item table, else a usual
 * shape of its volume (an estimate). Things taken apart keep their two longest sides and become as thick as their
 * volume in a load needs. A carton made for one piece has the carton's size if the piece goes in.
 *
 * @returns whole mm, 10 or more
 * Source of wrapping and shapes: rows `wrap.edge.*` and `shape.*` of data/reference/stowage.csv.
 */
export function pieceSize(goods: Goods, figures: Figures): PieceSize {
  const bare = bareSize(goods, figures)
  const { packing } = goods
  if (typeof packing !== 'string') return inCarton(goods, bare, packing, figures)
  return { ...bare, sides: grown(bare.sides, figureOf(figures, `wrap.edge.${packing}`)) }
}

function bareSize(goods: Goods, figures: Figures): PieceSize {
  if (goods.sides) return { sides: whole(goods.sides), from: 'stated' }
  const { usual } = goods
  if (usual) {
    if (usual.flat) return { sides: whole(takenApart(usual.sides, goods.volumeM3)), from: 'item table' }
    const scale = goods.volumeStated && usual.cubeM3 > 0 ? Math.cbrt(goods.volumeM3 / usual.cubeM3) : 1
    return { sides: whole(times(usual.sides, scale)), from: 'item table' }
  }
  return { sides: whole(usualShape(goods, figures)), from: 'usual shape' }
}

function takenApart([length, width, height]: Sides, volumeM3: number): Sides {
  const sorted = [length, width, height].sort((a, b) => b - a) as [number, number, number]
  const [longest, middle, least] = sorted
  // Never thicker than it stands, never so thin that nothing of it is left.
  const thick = Math.min(least, Math.max(40, (volumeM3 * 1e9) / (longest * middle)))
  return [longest, thick, middle]
}

function usualShape(goods: Goods, figures: Figures): Sides {
  const kind = figures(`shape.${goods.goodsClass}.width`) === undefined ? 'other' : goods.goodsClass
  const width = figureOf(figures, `shape.${kind}.width`)
  const height = figureOf(figures, `shape.${kind}.height`)
  const lengthMm = Math.cbrt((goods.volumeM3 * 1e9) / (width * height))
  return [lengthMm, lengthMm * width, lengthMm * height]
}

function inCarton(goods: Goods, bare: PieceSize, carton: CartonKind, figures: Figures): PieceSize {
  const room = carton.sides.toSorted((a, b) => b - a)
  const cartonMm3 = carton.sides.reduce((product, mm) => product * mm, 1)
  if (bare.from === 'usual shape') {
    const scale = Math.max(1, Math.cbrt((goods.volumeM3 * 1e9) / cartonMm3))
    return { sides: whole(times(carton.sides, scale)), from: 'carton' }
  }
  const needs = bare.sides.toSorted((a, b) => b - a)
  if (needs.every((mm, i) => mm <= (room[i] ?? 0))) return { sides: whole(carton.sides), from: 'carton' }
  return {
    sides: grown(bare.sides, figureOf(figures, 'wrap.edge.wrapped')),
    from: bare.from,
    doubt: `${goods.item} is larger than a ${carton.label.toLowerCase()}; it is counted at its own size, wrapped.`,
  }
}

const times = ([a, b, c]: Sides, by: number): Sides => [a * by, b * by, c * by]
const whole = ([a, b, c]: Sides): Sides => [wholeMm(a), wholeMm(b), wholeMm(c)]
const wholeMm = (mm: number): number => Math.max(10, Math.ceil(mm - 1e-6))
const grown = ([a, b, c]: Sides, byMm: number): Sides => whole([a + byMm, b + byMm, c + byMm])
