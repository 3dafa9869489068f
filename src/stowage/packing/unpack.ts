import type { SearchModel } from './model.js'
import type { State } from './state.js'
import type { Box, Piece } from './types.js'

/** A piece and where it stands. */
export interface Standing {
  readonly piece: Piece
  readonly at: Box
}

/** The single boxes of a load, each with its piece; of a kind the heavier pieces stand lower. */
export function unpackState(model: SearchModel, state: State): Standing[] {
  const { blocks: all, kinds } = model
  const places: Box[][] = kinds.map(() => [])
  for (let p = 0; p < state.placedCount; p++) {
    const b = state.placed[p * 4] as number
    const x = state.placed[p * 4 + 1] as number
    const y = state.placed[p * 4 + 2] as number
    const z = state.placed[p * 4 + 3] as number
    for (let q = all.partStart[b] as number; q < (all.partStart[b + 1] as number); q++) {
      const part = all.parts[q]
      const stance = part === undefined ? undefined : kinds[part.kind]?.stances[part.stance]
      if (part === undefined || stance === undefined) continue
      const { dx, dy, dz } = stance
      for (let i = 0; i < part.nx; i++) {
        for (let j = 0; j < part.ny; j++) {
          for (let k = 0; k < part.nz; k++) {
            const at = {
              x: x + part.x + i * dx,
              y: y + part.y + j * dy,
              z: z + part.z + k * dz,
              dx,
              dy,
              dz: stance.heightMm,
            }
            places[part.kind]?.push(at)
          }
        }
      }
    }
  }
  return kinds.flatMap((kind, k) =>
    (places[k] ?? [])
      .toSorted((a, b) => a.z - b.z)
      .flatMap((at, i): Standing[] => {
        const piece = kind.pieces[i]
        return piece === undefined ? [] : [{ piece, at }]
      }),
  )
}
