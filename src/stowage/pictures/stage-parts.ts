import type { Hold, Placement } from '../packing/index.js'
import { drawingOf, type PieceNames, type Range } from './stage-drawing.js'

/** Most pieces in one picture. */
const mostNumbers = 18

/** A stage in parts, each as long as all its numbers can be seen. */
export function partsOf(
  hold: Hold,
  placements: readonly Placement[],
  names: ReadonlyMap<string, PieceNames>,
  stage: number,
): Range[] {
  const first = placements.findIndex((p) => p.stage === stage)
  const end = first + placements.filter((p) => p.stage === stage).length
  const parts: Range[] = []
  let from = first
  while (from < end) {
    let to = from + 1
    let hidden = drawingOf(hold, placements, names, { from, to }).hidden.length
    while (to < end && to - from < mostNumbers) {
      const next = drawingOf(hold, placements, names, { from, to: to + 1 }).hidden.length
      if (next > hidden) break
      hidden = next
      to++
    }
    parts.push({ from, to })
    from = to
  }
  return joined(parts, hold, placements, names)
}

/** Short parts are put together where that hides few numbers: a picture for every two pieces is no help. */
function joined(
  parts: readonly Range[],
  hold: Hold,
  placements: readonly Placement[],
  names: ReadonlyMap<string, PieceNames>,
): Range[] {
  const kept: Range[] = []
  for (const part of parts) {
    const last = kept.at(-1)
    const both = last && { from: last.from, to: part.to }
    const short = last !== undefined && Math.min(last.to - last.from, part.to - part.from) < 5
    const few =
      both !== undefined &&
      both.to - both.from <= mostNumbers &&
      drawingOf(hold, placements, names, both).hidden.length <= 3
    if (both !== undefined && short && few) kept[kept.length - 1] = both
    else kept.push(part)
  }
  return kept
}

/** Neighbouring parts put together until there are few enough, the shortest first. */
export function fewer(parts: readonly Range[], most: number): Range[] {
  let kept = [...parts]
  while (kept.length > most) {
    const length = (i: number): number => (kept[i + 1]?.to ?? Number.POSITIVE_INFINITY) - (kept[i]?.from ?? 0)
    const at = kept.slice(1).reduce((best, _, i) => (length(i) < length(best) ? i : best), 0)
    const both = { from: kept[at]?.from ?? 0, to: kept[at + 1]?.to ?? 0 }
    kept = [...kept.slice(0, at), both, ...kept.slice(at + 2)]
  }
  return kept
}
