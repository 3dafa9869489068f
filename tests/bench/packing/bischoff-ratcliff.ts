import type { Edge, Hold, Piece } from '../../../src/stowage/packing/types.js'

// The random container-loading problems of E. E. Bischoff and M. S. W. Ratcliff, "Issues in the development of
// approaches to container loading", Omega 23 (1995), pages 377 to 390.

/** A kind of box: its edges from long to short in cm, which of them may stand upright, and how many there are. */
export interface BoxType {
  readonly edges: readonly [number, number, number]
  readonly upright: readonly [boolean, boolean, boolean]
  readonly quantity: number
}

export interface Problem {
  readonly set: number
  readonly number: number
  readonly start: number
  readonly container: readonly [number, number, number]
  readonly types: readonly BoxType[]
}

/** Number of box types in sets 1 to 15. */
export const typesInSet: readonly number[] = [3, 5, 8, 10, 12, 15, 20, 30, 40, 50, 60, 70, 80, 90, 100]

const container = [587, 233, 220] as const
const lowest = [30, 25, 20] as const
const highest = [120, 100, 80] as const

/** The published multiplicative generator: x ← 16807 x mod (2³¹ − 1), as a share of one. */
function shares(start: number): () => number {
  let x = start
  return () => {
    x = Number((16807n * BigInt(x)) % 2147483647n)
    return x / 2147483647
  }
}

/** Problem `number` (from 1) of a set (1 to 15), exactly as published. */
export function problem(set: number, number: number): Problem {
  const n = typesInSet[set - 1]
  if (n === undefined) throw new Error(`test problems: found set ${set}, expected 1 to 15.`)
  const start = 2502505 + 100 * (number - 1)
  const share = shares(start)
  for (let i = 0; i < 10; i++) share()
  const drawn = Array.from({ length: n }, () => {
    const edges = lowest.map((low, axis) => low + Math.floor(share() * ((highest[axis] ?? low) - low + 1)))
    return edges.sort((a, b) => b - a) as [number, number, number]
  })
  const volumes = drawn.map(([a, b, c]) => a * b * c)
  const quantities = drawn.map(() => 1)
  const room = container[0] * container[1] * container[2]
  let total = volumes.reduce((sum, v) => sum + v, 0)
  for (;;) {
    const type = Math.floor(share() * n)
    const volume = volumes[type] ?? 0
    if (total + volume > room) break
    total += volume
    quantities[type] = (quantities[type] ?? 0) + 1
  }
  const types = drawn.map((edges, i) => ({
    edges,
    upright: edges.map((edge) => edge < 2 * edges[2]) as [boolean, boolean, boolean],
    quantity: quantities[i] ?? 0,
  }))
  return { set, number, start, container, types }
}

/** A problem as a hold (cm taken as the unit of length) with no limit but space and full support. */
export function asHold(p: Problem): Hold {
  const [lengthMm, widthMm, heightMm] = p.container
  return {
    id: `set ${p.set} problem ${p.number}`,
    lengthMm,
    widthMm,
    heightMm,
    doorWidthMm: widthMm,
    doorHeightMm: heightMm,
    payloadKg: Number.POSITIVE_INFINITY,
    lineLoadKgPerM: Number.POSITIVE_INFINITY,
    balanceShare: 1,
  }
}

/** The boxes of a problem as pieces without mass. */
export function asPieces(p: Problem): Piece[] {
  const names: readonly Edge[] = ['length', 'width', 'height']
  return p.types.flatMap((type, t) => {
    const upright = names.filter((_, i) => type.upright[i])
    const [lengthMm, widthMm, heightMm] = type.edges
    return Array.from({ length: type.quantity }, (_, i) => ({
      id: `${t + 1}.${i + 1}`,
      lengthMm,
      widthMm,
      heightMm,
      massKg: 0,
      upright,
    }))
  })
}
