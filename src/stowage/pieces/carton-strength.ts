import { type CartonKind, type Figures, figureOf } from './goods.js'

/** What board a carton is made of. */
export interface Board {
  /** Edge crush of the board, N per mm. */
  readonly edgeCrushNPerMm: number
  readonly thickMm: number
}

/** N in one kg at rest. */
const gravity = 9.80665

/**
 * Load under which a new, dry carton gives way, top to bottom, N: 5.87 × edge crush × √(thickness × perimeter), the
 * short form of R. C. McKee, J. W. Gander and J. R. Wachuta, Compression strength formula for corrugated boxes (1963).
 *
 * @param perimeterMm round the carton, 2 × (length + width), mm
 * Example: 32 lb/in, 0.16 in and 56 in give 562 lb.
 */
export function boxCompressionN({ edgeCrushNPerMm, thickMm }: Board, perimeterMm: number): number {
  return 5.87 * edgeCrushNPerMm * Math.sqrt(thickMm * perimeterMm)
}

/**
 * Mass that may stand on a carton in a stack at sea, kg: its compression strength, less what weeks under load, damp and
 * stacking out of line take away. Rows `board.*` of data/reference/stowage.csv.
 *
 * A row `stack.carton.<id>` comes first: cartons whose contents or shape decide, not the board.
 */
export function cartonBearsKg(carton: CartonKind, figures: Figures): number {
  const own = figures(`stack.carton.${carton.id}`)
  const walls = figures(`board.walls.${carton.id}`)
  if (own !== undefined || walls === undefined) return own ?? figureOf(figures, 'stack.carton.other')
  const wall = walls === 2 ? 'double' : 'single'
  const board: Board = {
    edgeCrushNPerMm: figureOf(figures, `board.edge-crush.${wall}`),
    thickMm: figureOf(figures, `board.thickness.${wall}`),
  }
  const [lengthMm, widthMm] = carton.sides
  const factors =
    figureOf(figures, 'board.time-factor') *
    figureOf(figures, 'board.humidity-factor') *
    figureOf(figures, 'board.stack-factor')
  return Math.floor((boxCompressionN(board, 2 * (lengthMm + widthMm)) / gravity) * factors)
}
