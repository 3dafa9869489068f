import type { Box, Hold } from './types.js'

/** A box with its mass, as far as balance is concerned. */
export interface Weighed extends Box {
  readonly massKg: number
}

/** A seeded source of numbers from 0 to just under 1 (32-bit xorshift; any seed but 0 gives a full period). */
export function seeded(seed: number): () => number {
  let x = seed | 0 || 0x9e3779b9
  return () => {
    x ^= x << 13
    x ^= x >>> 17
    x ^= x << 5
    return (x >>> 0) / 4294967296
  }
}

/** Centre of gravity of boxes and fixed blocks, mm, and their mass, kg; the middle of the hold when nothing weighs. */
export function centreOfGravity(
  hold: Hold,
  boxes: readonly Weighed[],
): { readonly x: number; readonly y: number; readonly z: number; readonly massKg: number } {
  let mass = 0
  let x = 0
  let y = 0
  let z = 0
  const add = (box: Box, kg: number): void => {
    mass += kg
    x += kg * (box.x + box.dx / 2)
    y += kg * (box.y + box.dy / 2)
    z += kg * (box.z + box.dz / 2)
  }
  for (const box of boxes) add(box, box.massKg)
  for (const block of hold.fixed ?? []) {
    const volume = block.boxes.reduce((sum, b) => sum + b.dx * b.dy * b.dz, 0)
    for (const b of block.boxes) add(b, (block.massKg * b.dx * b.dy * b.dz) / volume)
  }
  if (mass === 0) return { x: hold.lengthMm / 2, y: hold.widthMm / 2, z: hold.heightMm / 2, massKg: 0 }
  return { x: x / mass, y: y / mass, z: z / mass, massKg: mass }
}

interface Segment {
  readonly from: number
  readonly to: number
  readonly members: readonly number[]
}

/**
 * Moves whole sections of a load along the hold until the centre of gravity lies inside the limits: the load is cut
 * where no box crosses, sections are shifted, turned end for end or put in another order. Of all that is tried, the one
 * that begins nearest to the front wall.
 *
 * @param tightMm so near to the front wall is near enough, mm
 * @param accept says whether boxes at these x may stand so (doors, mass per metre)
 * @returns the x of every box, in the order given, or nothing when no arrangement tried is inside the limits
 */
export function balanced(
  hold: Hold,
  boxes: readonly Weighed[],
  seed: number,
  tightMm: number,
  accept: (xs: readonly number[]) => boolean,
): readonly number[] | undefined {
  const random = seeded(seed)
  const zones = movableZones(hold, boxes)
  const fixed = centreOfGravity(hold, [])
  let best: readonly number[] | undefined
  let least = Number.POSITIVE_INFINITY
  for (let trial = 0; trial < 240 && least > tightMm; trial++) {
    const xs = boxes.map((box) => box.x)
    zones.forEach((zone) => {
      arrange(zone, boxes, xs, trial, random)
    })
    shift(hold, fixed, boxes, zones, xs)
    const begins = Math.min(...xs)
    if (begins >= least || !inLimits(hold, fixed, boxes, xs) || !accept(xs)) continue
    best = xs
    least = begins
  }
  return best
}

/**
 * Mirrors sections of a load from left to right until the centre of gravity lies as near to mid-width as they bring it,
 * then moves sections that are narrower than the hold across, as little as the limit asks. Sections are cut as for
 * `balanced`; what stands over or beside a fixed block stays. Such goods keep what carries them, their way to the door
 * and their mass on every metre.
 *
 * @returns the y of every box, in the order given
 */
export function balancedAcross(hold: Hold, boxes: readonly Weighed[]): readonly number[] {
  const ys = boxes.map((box) => box.y)
  const middle = hold.widthMm / 2
  const moment = (member: number): number => {
    const box = boxes[member] as Weighed
    return box.massKg * (box.y + box.dy / 2 - middle)
  }
  const centre = centreOfGravity(hold, boxes)
  let whole = centre.massKg * (centre.y - middle)
  const sections = movableZones(hold, boxes)
    .flatMap((zone) => zone.segments)
    .map(({ members }) => ({ members, moment: members.reduce((sum, m) => sum + moment(m), 0) }))
    .sort((a, b) => Math.abs(b.moment) - Math.abs(a.moment))
  for (const section of sections) {
    if (Math.abs(whole - 2 * section.moment) >= Math.abs(whole)) continue
    whole -= 2 * section.moment
    for (const m of section.members) ys[m] = hold.widthMm - (ys[m] as number) - (boxes[m] as Weighed).dy
  }
  const allowed = centre.massKg * hold.widthMm * (hold.balanceAcrossShare ?? 1) * 0.98
  for (const { members } of sections) {
    if (Math.abs(whole) <= allowed) break
    const left = Math.min(...members.map((m) => ys[m] as number))
    const right = hold.widthMm - Math.max(...members.map((m) => (ys[m] as number) + (boxes[m] as Weighed).dy))
    const massKg = members.reduce((sum, m) => sum + (boxes[m] as Weighed).massKg, 0)
    if (massKg === 0) continue
    const wanted = Math.ceil((Math.abs(whole) - allowed) / massKg)
    const by = whole > 0 ? -Math.min(left, wanted) : Math.min(right, wanted)
    whole += by * massKg
    for (const m of members) ys[m] = (ys[m] as number) + by
  }
  return ys
}

interface Zone {
  readonly from: number
  readonly to: number
  readonly segments: readonly Segment[]
}

function movableZones(hold: Hold, boxes: readonly Weighed[]): Zone[] {
  const barriers = (hold.fixed ?? []).map((block) => {
    const all = [
      { x: block.clear.x, dx: block.clear.dx },
      ...block.boxes,
      ...(block.deck === undefined ? [] : [block.deck]),
    ]
    return { from: Math.min(...all.map((b) => b.x)), to: Math.max(...all.map((b) => b.x + b.dx)) }
  })
  const spans = [
    ...boxes.map((box, i) => ({ from: box.x, to: box.x + box.dx, member: i })),
    ...barriers.map((b) => ({ ...b, member: -1 })),
  ].sort((a, b) => a.from - b.from || a.to - b.to)
  const clusters: { from: number; to: number; members: number[]; still: boolean }[] = []
  for (const span of spans) {
    const last = clusters.at(-1)
    if (last === undefined || span.from >= last.to) {
      const members = span.member < 0 ? [] : [span.member]
      clusters.push({ from: span.from, to: span.to, members, still: span.member < 0 })
    } else {
      last.to = Math.max(last.to, span.to)
      if (span.member < 0) last.still = true
      else last.members.push(span.member)
    }
  }
  const zones: Zone[] = []
  let from = 0
  let segments: Segment[] = []
  for (const cluster of clusters) {
    if (cluster.still) {
      zones.push({ from, to: cluster.from, segments })
      from = cluster.to
      segments = []
    } else segments.push(cluster)
  }
  zones.push({ from, to: hold.lengthMm, segments })
  return zones.filter((zone) => zone.segments.length > 0)
}

// The first trials keep the order of loading, the next turn everything end for end; only then is it shuffled.
function arrange(
  zone: Zone,
  boxes: readonly Weighed[],
  xs: number[],
  trial: number,
  random: () => number,
): void {
  const order = [...zone.segments]
  const turn = order.map(() => trial === 1)
  if (trial === 1) order.reverse()
  if (trial > 1) {
    for (let i = order.length - 1; i > 0; i--) {
      const j = Math.floor(random() * (i + 1))
      ;[order[i], order[j]] = [order[j] as Segment, order[i] as Segment]
      turn[i] = random() < 0.5
    }
    turn[0] = random() < 0.5
  }
  let at = zone.from
  order.forEach((segment, i) => {
    for (const m of segment.members) {
      const box = boxes[m] as Weighed
      const inside = turn[i] === true ? segment.to - box.x - box.dx : box.x - segment.from
      xs[m] = at + inside
    }
    at += segment.to - segment.from
  })
}

interface Fixed {
  readonly x: number
  readonly massKg: number
}

function centreX(
  fixed: Fixed,
  boxes: readonly Weighed[],
  xs: readonly number[],
): { x: number; massKg: number } {
  let massKg = fixed.massKg
  let moment = fixed.massKg * fixed.x
  for (let i = 0; i < boxes.length; i++) {
    const box = boxes[i] as Weighed
    massKg += box.massKg
    moment += box.massKg * ((xs[i] as number) + box.dx / 2)
  }
  return massKg === 0 ? fixed : { x: moment / massKg, massKg }
}

function inLimits(hold: Hold, fixed: Fixed, boxes: readonly Weighed[], xs: readonly number[]): boolean {
  const offset = Math.abs(centreX(fixed, boxes, xs).x / hold.lengthMm - 0.5)
  return offset <= hold.balanceShare
}

// Each zone is packed against its front end; what is too far forward moves towards the door, as little as it must.
function shift(
  hold: Hold,
  fixed: Fixed,
  boxes: readonly Weighed[],
  zones: readonly Zone[],
  xs: number[],
): void {
  const wanted = hold.lengthMm * (0.5 - hold.balanceShare * 0.98)
  for (const zone of [...zones].reverse()) {
    const centre = centreX(fixed, boxes, xs)
    const members = zone.segments.flatMap((s) => s.members)
    const zoneKg = members.reduce((sum, m) => sum + (boxes[m]?.massKg ?? 0), 0)
    const end = Math.max(...members.map((m) => (xs[m] ?? 0) + (boxes[m]?.dx ?? 0)))
    if (centre.x >= wanted || zoneKg === 0) continue
    const by = Math.min(zone.to - end, Math.ceil(((wanted - centre.x) * centre.massKg) / zoneKg))
    if (by > 0) for (const m of members) xs[m] = (xs[m] ?? 0) + by
  }
}
