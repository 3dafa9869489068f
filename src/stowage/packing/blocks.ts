import type { Kind } from './kinds.js'

/**
 * Blocks in columns, best first: several boxes handled as one when placed. A simple block is a grid of one
 * kind in one stance; a joined block is two blocks side by side, one behind the other or one on the other.
 * See Zhu and Lim, "A new greedy look-ahead (global-local) tree search for the single container loading problem"
 * (2012) and Fanslau and Bortfeldt, "A tree search algorithm for solving the container loading problem" (2010).
 */
export interface Blocks {
  readonly count: number
  readonly dx: Int32Array
  readonly dy: Int32Array
  readonly dz: Int32Array
  /** Size of the rectangle on top, from the block's own corner, that carries further blocks. */
  readonly topX: Int32Array
  readonly topY: Int32Array
  readonly value: Float64Array
  readonly volume: Float64Array
  readonly mass: Float64Array
  /** How high a usual stack on it may be before its stack limit is reached, mm. */
  readonly carriesMm: Float64Array
  /** Upper bound of what the choice function can give; blocks are sorted by it, highest first. */
  readonly rank: Float64Array
  /** What a block uses up: rows useStart[b] to useStart[b + 1] of useKind and useCount. */
  readonly useStart: Int32Array
  readonly useKind: Int32Array
  readonly useCount: Int32Array
  /** Of what it is made: rows partStart[b] to partStart[b + 1] of the parts. */
  readonly partStart: Int32Array
  readonly parts: readonly Part[]
}

/** A grid of equal boxes inside a block. */
export interface Part {
  readonly kind: number
  readonly stance: number
  readonly x: number
  readonly y: number
  readonly z: number
  readonly nx: number
  readonly ny: number
  readonly nz: number
}

export interface BlockLimits {
  readonly lengthMm: number
  readonly widthMm: number
  readonly heightMm: number
  /** Most simple blocks, and most blocks in all. */
  readonly simple: number
  readonly total: number
  /** Share of a joined block's outline that its boxes must fill. */
  readonly fill: number
  /** Usual mass of what may stand on top, kg per mm³; 0 when mass does not matter. */
  readonly kgPerMm3: number
  /** Power of the number of boxes in the choice function. */
  readonly countPower: number
  /** Power of the value per volume in the choice function; 0: the value alone counts. */
  readonly densityPower: number
}

interface Draft {
  readonly dx: number
  readonly dy: number
  readonly dz: number
  readonly topX: number
  readonly topY: number
  readonly value: number
  readonly volume: number
  readonly mass: number
  readonly boxes: number
  readonly uses: readonly (readonly [kind: number, count: number])[]
  readonly parts: readonly Part[]
}

/** All blocks of these kinds within the limits, sorted by rank, and the same for the same input. */
export function blocks(kinds: readonly Kind[], limits: BlockLimits): Blocks {
  const simple = simpleBlocks(kinds, limits)
  const all = limits.total > simple.length ? joinBlocks(simple, kinds, limits) : simple
  return columns(all, kinds, limits)
}

function simpleBlocks(kinds: readonly Kind[], limits: BlockLimits): Draft[] {
  const drafts: Draft[] = []
  kinds.forEach((kind, k) => {
    const available = kind.pieces.length
    kind.stances.forEach((stance, s) => {
      const { dx, dy, dz } = stance
      const mostZ = kind.floorOnly
        ? 1
        : Math.min(Math.floor(limits.heightMm / dz), highestColumn(kind), available)
      const mostX = Math.min(Math.floor(limits.lengthMm / dx), available)
      const mostY = Math.min(Math.floor(limits.widthMm / dy), available)
      for (let nz = 1; nz <= mostZ; nz++) {
        for (let ny = 1; ny <= mostY && ny * nz <= available; ny++) {
          for (let nx = 1; nx <= mostX && nx * ny * nz <= available; nx++) {
            const n = nx * ny * nz
            drafts.push({
              dx: dx * nx,
              dy: dy * ny,
              dz: dz * nz,
              topX: dx * nx,
              topY: dy * ny,
              value: kind.value * n,
              volume: dx * dy * dz * n,
              mass: kind.massKg * n,
              boxes: n,
              uses: [[k, n]],
              parts: [{ kind: k, stance: s, x: 0, y: 0, z: 0, nx, ny, nz }],
            })
          }
        }
      }
    })
  })
  if (drafts.length <= limits.simple) return drafts
  // Too many: keep every single box, and the largest of the rest.
  const single = drafts.filter((d) => d.boxes === 1)
  const rest = drafts.filter((d) => d.boxes > 1).sort((a, b) => b.value - a.value)
  return [...single, ...rest.slice(0, Math.max(0, limits.simple - single.length))]
}

/** How many of a kind may stand on each other: the lowest then carries all the others. */
function highestColumn(kind: Kind): number {
  if (kind.massKg === 0) return kind.limitKg === 0 ? 1 : Number.POSITIVE_INFINITY
  return Math.floor(kind.limitKg / kind.massKg + 1e-9) + 1
}

// Pairs worth looking at are found by height (side by side) and by length (on top), not by trying all of them.
function joinBlocks(simple: readonly Draft[], kinds: readonly Kind[], limits: BlockLimits): Draft[] {
  const all: Draft[] = [...simple]
  const seen = new Set<string>(simple.map(draftKey))
  let fresh: readonly Draft[] = simple
  while (fresh.length > 0 && all.length < limits.total) {
    const byHeight = new Map<number, Draft[]>()
    for (const d of all) {
      const level = byHeight.get(d.dz)
      if (level === undefined) byHeight.set(d.dz, [d])
      else level.push(d)
    }
    const byLength = [...all].sort((p, q) => p.dx - q.dx)
    const next: Draft[] = []
    const enough = (limits.total - all.length) * 3
    const consider = (a: Draft, b: Draft): void => {
      for (const joined of joins(a, b, kinds, limits)) {
        const key = draftKey(joined)
        if (seen.has(key)) continue
        seen.add(key)
        next.push(joined)
      }
    }
    for (const a of fresh) {
      for (const b of byHeight.get(a.dz) ?? []) consider(a, b)
      const least = a.topX * 0.9
      for (let i = firstAtLeast(byLength, least); i < byLength.length; i++) {
        const b = byLength[i] as Draft
        if (b.dx > a.topX) break
        if (b.dy <= a.topY && b.dy >= a.topY * 0.9) consider(a, b)
      }
      if (next.length > enough) break
    }
    next.sort((p, q) => p.boxes - q.boxes || q.volume - p.volume)
    fresh = next.slice(0, limits.total - all.length)
    all.push(...fresh)
  }
  return all
}

function firstAtLeast(byLength: readonly Draft[], length: number): number {
  let low = 0
  let high = byLength.length
  while (low < high) {
    const mid = (low + high) >> 1
    if ((byLength[mid] as Draft).dx < length) low = mid + 1
    else high = mid
  }
  return low
}

function draftKey(d: Draft): string {
  return `${d.dx},${d.dy},${d.dz},${d.topX},${d.topY};${d.uses.map((use) => use.join('*')).join(',')}`
}

function joins(a: Draft, b: Draft, kinds: readonly Kind[], limits: BlockLimits): Draft[] {
  const made: Draft[] = []
  const volume = a.volume + b.volume
  const fits = (dx: number, dy: number, dz: number): boolean =>
    dx <= limits.lengthMm &&
    dy <= limits.widthMm &&
    dz <= limits.heightMm &&
    volume >= limits.fill * dx * dy * dz
  const alongX = a.dz === b.dz && a.topX === a.dx && fits(a.dx + b.dx, Math.max(a.dy, b.dy), a.dz)
  const alongY = a.dz === b.dz && a.topY === a.dy && fits(Math.max(a.dx, b.dx), a.dy + b.dy, a.dz)
  const onTop = b.dx <= a.topX && b.dy <= a.topY && fits(a.dx, a.dy, a.dz + b.dz)
  if (!alongX && !alongY && !onTop) return made
  const uses = sumOfUses(a, b, kinds)
  if (uses === undefined) return made
  const common = { value: a.value + b.value, volume, mass: a.mass + b.mass, boxes: a.boxes + b.boxes, uses }
  if (alongX) {
    made.push({
      ...common,
      dx: a.dx + b.dx,
      dy: Math.max(a.dy, b.dy),
      dz: a.dz,
      topX: a.dx + b.topX,
      topY: Math.min(a.topY, b.topY),
      parts: [...a.parts, ...b.parts.map((p) => ({ ...p, x: p.x + a.dx }))],
    })
  }
  if (alongY) {
    made.push({
      ...common,
      dx: Math.max(a.dx, b.dx),
      dy: a.dy + b.dy,
      dz: a.dz,
      topX: Math.min(a.topX, b.topX),
      topY: a.dy + b.topY,
      parts: [...a.parts, ...b.parts.map((p) => ({ ...p, y: p.y + a.dy }))],
    })
  }
  if (onTop) {
    made.push({
      ...common,
      dx: a.dx,
      dy: a.dy,
      dz: a.dz + b.dz,
      topX: b.topX,
      topY: b.topY,
      parts: [...a.parts, ...b.parts.map((p) => ({ ...p, z: p.z + a.dz }))],
    })
  }
  return made
}

function sumOfUses(
  a: Draft,
  b: Draft,
  kinds: readonly Kind[],
): readonly (readonly [number, number])[] | undefined {
  const sum = new Map<number, number>(a.uses.map(([k, n]) => [k, n]))
  for (const [k, n] of b.uses) sum.set(k, (sum.get(k) ?? 0) + n)
  for (const [k, n] of sum) if (n > (kinds[k]?.pieces.length ?? 0)) return undefined
  return [...sum].sort((p, q) => p[0] - q[0])
}

function carriesMm(d: Draft, kinds: readonly Kind[], kgPerMm3: number): number {
  const part = d.parts[0]
  const kind = kinds[part?.kind ?? 0]
  const stance = kind?.stances[part?.stance ?? 0]
  if (d.parts.length > 1 || part === undefined || kind === undefined || stance === undefined) {
    return Number.POSITIVE_INFINITY
  }
  if (kind.limitKg === 0) return 0
  if (kgPerMm3 === 0 || kind.limitKg === Number.POSITIVE_INFINITY) return Number.POSITIVE_INFINITY
  const left = kind.limitKg - (part.nz - 1) * kind.massKg
  return left / (stance.dx * stance.dy * kgPerMm3)
}

function rankOf(draft: Draft, { countPower, densityPower }: BlockLimits): number {
  const density = densityPower === 0 ? 1 : ((draft.value * 1e9) / draft.volume) ** densityPower
  return draft.value * draft.boxes ** -countPower * density
}

function columns(drafts: readonly Draft[], kinds: readonly Kind[], limits: BlockLimits): Blocks {
  const ranked = drafts
    .map((draft, i) => ({ draft, i, rank: rankOf(draft, limits) }))
    .sort((p, q) => q.rank - p.rank || p.i - q.i)
  const n = ranked.length
  const ints = (of: (d: Draft) => number): Int32Array => Int32Array.from(ranked, (r) => of(r.draft))
  const floats = (of: (d: Draft) => number): Float64Array => Float64Array.from(ranked, (r) => of(r.draft))
  const useStart = new Int32Array(n + 1)
  const partStart = new Int32Array(n + 1)
  const useKind: number[] = []
  const useCount: number[] = []
  const parts: Part[] = []
  ranked.forEach(({ draft }, b) => {
    for (const [k, c] of draft.uses) {
      useKind.push(k)
      useCount.push(c)
    }
    parts.push(...draft.parts)
    useStart[b + 1] = useKind.length
    partStart[b + 1] = parts.length
  })
  return {
    count: n,
    dx: ints((d) => d.dx),
    dy: ints((d) => d.dy),
    dz: ints((d) => d.dz),
    topX: ints((d) => d.topX),
    topY: ints((d) => d.topY),
    value: floats((d) => d.value),
    volume: floats((d) => d.volume),
    mass: floats((d) => d.mass),
    carriesMm: floats((d) => carriesMm(d, kinds, limits.kgPerMm3)),
    rank: Float64Array.from(ranked, (r) => r.rank),
    useStart,
    useKind: Int32Array.from(useKind),
    useCount: Int32Array.from(useCount),
    partStart,
    parts,
  }
}
