import type { Kind } from './kinds.js'
import { type Hold, holdMm3 } from './types.js'

/** Goods worth looking at, as a multiple of the room there is: more only slows every step down. */
const likelyRooms = 6

/**
 * Of far more goods than there is room for, those of the most value per m³ are tried; among equals an even sample, so
 * that large and small stay mixed as they came.
 */
export function likely(hold: Hold, kinds: readonly Kind[]): readonly Kind[] {
  const roomMm3 = holdMm3(hold) * likelyRooms
  const volume = (kind: Kind): number => {
    const s = kind.stances[0]
    return s === undefined ? 0 : s.dx * s.dy * s.dz * kind.pieces.length
  }
  const all = kinds.reduce((sum, kind) => sum + volume(kind), 0)
  if (all <= roomMm3) return kinds
  const density = (kind: Kind): number => (kind.value * kind.pieces.length) / Math.max(1, volume(kind))
  const ranked = kinds.map((kind, i) => ({ kind, i, density: density(kind), spread: (i * golden) % 1 }))
  ranked.sort((a, b) => {
    const same = Math.abs(a.density - b.density) <= 1e-9 * Math.max(a.density, b.density)
    return same ? a.spread - b.spread : b.density - a.density
  })
  const chosen: typeof ranked = []
  let mm3 = 0
  for (const entry of ranked) {
    if (mm3 >= roomMm3) break
    chosen.push(entry)
    mm3 += volume(entry.kind)
  }
  return chosen.sort((a, b) => a.i - b.i).map(({ kind }) => kind)
}

/** Multiples of it, less their whole part, lie evenly between 0 and 1. */
const golden = (Math.sqrt(5) - 1) / 2
