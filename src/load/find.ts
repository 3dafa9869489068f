import { listed } from '../paper/format.js'
import { inFrontOf } from '../stowage/packing/index.js'
import { loadingList } from './list.js'
import type { LoadResult } from './load-result.js'

/**
 * Where a thing stands and what has to come out before it, for an examination by customs: one sentence for each piece
 * of the inventory line, or for the one piece or carton of that mark.
 *
 * @param mark an inventory line, or the mark of a piece or carton
 * @returns nothing where no piece has that mark
 */
export function find(result: LoadResult, mark: string): readonly string[] {
  const wanted = result.pieces.filter((p) => p.id === mark || p.lines.includes(mark))
  const all = [result.first, ...result.more]
  return wanted.map((piece) => {
    for (const [c, loaded] of all.entries()) {
      const rows = loadingList(loaded, result.pieces, c + 1)
      const row = rows.find((r) => r.piece.id === piece.id)
      if (row === undefined) continue
      const { placements, vehicles } = inFrontOf(loaded.hold, loaded.plan, piece.id)
      const massKg = placements.reduce((sum, i) => sum + (rows[i]?.piece.massKg ?? 0), 0)
      const cars = (loaded.hold.fixed ?? [])
        .filter((f) => vehicles.includes(f.id))
        .map((f) => f.label ?? f.id)
      const before =
        placements.length === 0 && cars.length === 0
          ? 'Nothing stands before it.'
          : `Before it come out ${listed([
              ...cars,
              `${placements.length} ${placements.length === 1 ? 'piece' : 'pieces'} of ${Math.round(massKg)} kg: ${numbers(placements.map((i) => i + 1))}`,
            ])}.`
      return `${piece.id} ${piece.label} is number ${row.number} in stage ${row.stage} of container ${c + 1} (${loaded.hold.id}), ${row.place}, ${(loaded.plan.placements[row.number - 1]?.x ?? 0) / 1000} m behind the front wall. ${before}`
    }
    return `${piece.id} ${piece.label} is in no container.`
  })
}

/** Numbers as a list with runs: 3, 7 to 9. */
export function numbers(list: readonly number[]): string {
  const runs: [number, number][] = []
  for (const n of list.toSorted((a, b) => a - b)) {
    const last = runs.at(-1)
    if (last !== undefined && n === last[1] + 1) last[1] = n
    else runs.push([n, n])
  }
  return runs.map(([a, b]) => (a === b ? `${a}` : b === a + 1 ? `${a}, ${b}` : `${a} to ${b}`)).join(', ')
}
