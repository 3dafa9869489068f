import type { Hold, LoadPlan, Placement } from '../packing/index.js'
import { drawingOf, type PieceNames, type Range } from './stage-drawing.js'
import { fewer, partsOf } from './stage-parts.js'
import { svgOf } from './stage-svg.js'

/** A picture of one loading stage, or of part of one where its pieces hide each other. */
export interface StagePicture {
  readonly stage: number
  /** Part of the stage, from 1, and how many there are. */
  readonly part: number
  readonly parts: number
  readonly svg: string
  /** What the picture shows, for those who do not see it. */
  readonly alt: string
  /** Numbers of pieces of this stage that stand behind others and carry no number in the picture. */
  readonly hidden: readonly number[]
}

/** How the pictures are drawn. All may be left out. */
export interface PictureOptions {
  /** Most pictures of a stage; what then stands behind others is named beside them. Left out: as many as show all. */
  readonly mostParts?: number
  /** Least and greatest size of the numbers, px of the picture. */
  readonly numberPx?: readonly [least: number, most: number]
}

const usualNumberPx = [8, 13] as const

/**
 * A picture for each stage of a plan: an isometric view from the door, with what came before in pale grey and the
 * pieces of the stage numbered in loading order. Pure text; the same plan gives the same picture.
 *
 * @param names label and kind of each piece by its id
 */
export function stagePictures(
  hold: Hold,
  plan: LoadPlan,
  names: ReadonlyMap<string, PieceNames>,
  { mostParts = Number.POSITIVE_INFINITY, numberPx = usualNumberPx }: PictureOptions = {},
): StagePicture[] {
  const stages = [...new Set(plan.placements.map((p) => p.stage))]
  return stages.flatMap((stage) => {
    const all = partsOf(hold, plan.placements, names, stage)
    const parts = all.length > mostParts ? fewer(all, mostParts) : all
    return parts.map((range, i) =>
      stagePicture(
        hold,
        plan.placements,
        names,
        { stage, part: i + 1, parts: parts.length, ...range },
        numberPx,
      ),
    )
  })
}

interface Part extends Range {
  readonly stage: number
  readonly part: number
  readonly parts: number
}

function stagePicture(
  hold: Hold,
  placements: readonly Placement[],
  names: ReadonlyMap<string, PieceNames>,
  part: Part,
  numberPx: readonly [number, number],
): StagePicture {
  const { from, to, inOrder, labels, hidden } = drawingOf(hold, placements, names, part)
  const own = placements.slice(part.from, part.to)
  const of = part.parts > 1 ? `, picture ${part.part} of ${part.parts}` : ''
  const behind = hidden.length > 0 ? ` Behind others: ${hidden.join(', ')}.` : ''
  const alt = `Stage ${part.stage}${of}: ${own.length} ${own.length === 1 ? 'piece' : 'pieces'}, numbers ${part.from + 1} to ${part.to}, between ${metres(Math.min(...own.map((p) => p.x)))} and ${metres(Math.max(...own.map((p) => p.x + p.dx)))} m from the front wall, seen from the door.${behind} The list beside it names each.`
  return {
    stage: part.stage,
    part: part.part,
    parts: part.parts,
    svg: svgOf(hold, from, to, inOrder, labels, alt, numberPx),
    alt,
    hidden,
  }
}

const metres = (mm: number): string => (mm / 1000).toFixed(1)
