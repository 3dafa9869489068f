import type { CartonContent } from '../../volume/carton-list.js'
import type { Piece } from '../packing/index.js'

/** Three sides of a thing as it stands, mm. */
export type Sides = readonly [lengthMm: number, widthMm: number, heightMm: number]

/** What an item table says of a usual piece. */
export interface UsualItem {
  readonly code: string
  readonly sides: Sides
  /** Space it is charged in a load, m³. */
  readonly cubeM3: number
  readonly staysUpright: boolean
  readonly bears: 'any' | 'light' | 'nothing'
  /** Taken apart or folded for the move. */
  readonly flat: boolean
}

/** A carton as it is bought. */
export interface CartonKind {
  readonly id: string
  readonly label: string
  readonly sides: Sides
}

/** A line of the inventory that travels as pieces of its own: bare, wrapped, crated, or in a carton made for one. */
export interface Goods {
  readonly line: string
  readonly room: string
  readonly item: string
  readonly quantity: number
  readonly sides?: Sides
  readonly usual?: UsualItem
  /** Net volume of one as the plan counts it, m³. */
  readonly volumeM3: number
  /** The volume is the household's own figure, so that a usual size must give way to it. */
  readonly volumeStated: boolean
  /** Mass of one with its share of packing, kg. */
  readonly massKg: number
  /** What one is worth, in any one currency. */
  readonly value: number
  /** Goods class, for the usual shape of a thing of which only the volume is known. */
  readonly goodsClass: string
  readonly packing: 'none' | 'wrapped' | 'crated' | CartonKind
  readonly handling: readonly ('fragile' | 'top-only' | 'upright' | 'floor-only' | 'first-needed')[]
}

/** How the size of a piece is known. */
export type SizeFrom = 'stated' | 'item table' | 'usual shape' | 'carton'

/** A piece with what people call it. */
export interface LoadPiece extends Piece {
  readonly label: string
  readonly kind: 'piece' | 'carton'
  readonly room: string
  /** Marks of the inventory lines it holds. */
  readonly lines: readonly string[]
  readonly sizeFrom: SizeFrom
  /** Something about its size that the reader should check, as a sentence. */
  readonly doubt?: string
  readonly contents?: readonly CartonContent[]
  readonly worth: number
}

/** Looks up a row of data/reference/stowage.csv by its id; undefined where there is none. */
export type Figures = (id: string) => number | undefined

/** The figure of a row that must be there. Throws one sentence naming the row. */
export function figureOf(figures: Figures, id: string): number {
  const value = figures(id)
  if (value === undefined) throw new Error(`no row "${id}" in stowage.csv; load plans need it`)
  return value
}
