// The bars by phase, drawn with a few rectangles. Runs in the browser and in the builder.
import type { PageData } from './page-data.js'
import type { Figures } from './state.js'

/** A piece of a bar; where it starts and how long it is, in per cent of the longest bar's room. */
export interface BarPiece {
  readonly id: string
  readonly label: string
  readonly start: number
  readonly width: number
}

/** The total that fills a bar: the dearest as planned, or the dearest now where that is more. */
export function barRoom(figures: readonly Figures[], planned: readonly Figures[]): number {
  const most = (of: readonly Figures[]): number => Math.max(...of.map((one) => one.get('cost.total') ?? 0))
  return Math.max(most(planned), most(figures))
}

/** The phases of one scenario laid end to end. */
export function barPieces(data: PageData, of: Figures, room: number): BarPiece[] {
  let start = 0
  return data.phases.map(({ id, label }) => {
    const width = room > 0 ? (Math.max(0, of.get(id) ?? 0) / room) * 100 : 0
    const piece = { id, label, start, width }
    start += width
    return piece
  })
}

/** Whether a label fits into a piece, at about six and a half pixels a letter. */
export const labelFits = (piece: BarPiece, pixels: number): boolean =>
  (piece.width / 100) * pixels > piece.label.length * 6.6 + 12

/** The bar in words. */
export const barWords = (data: PageData, of: Figures): string =>
  data.phases
    .map(({ id, label }) => {
      const total = of.get('cost.total') ?? 0
      return `${label} ${total > 0 ? Math.round(((of.get(id) ?? 0) / total) * 100) : 0} %`
    })
    .join(', ')
