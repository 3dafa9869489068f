import type { Box, Edge, FixedBlock, Hold, LoadPlan, LoadRules, Piece, Placement } from './types.js'

// Checks a plan from first principles. It shares nothing with the packer but the shapes of its inputs, so that a
// mistake in one is not repeated in the other.

/** What a plan breaks. */
export type Rule =
  | 'list'
  | 'inside'
  | 'overlap'
  | 'clear'
  | 'size'
  | 'support'
  | 'load'
  | 'heavy'
  | 'floor'
  | 'lift'
  | 'deck'
  | 'mass'
  | 'line'
  | 'balance'
  | 'door'
  | 'order'
  | 'front'
  | 'slender'
  | 'reach'

/** One broken rule, with the pieces concerned and a sentence with the figures. */
export interface Violation {
  readonly rule: Rule
  readonly pieceIds: readonly string[]
  readonly text: string
}

interface Stowed {
  readonly piece: Piece
  readonly at: Placement
  readonly name: string
}

/** Figures in a sentence: at most one decimal. */
function fig(n: number): string {
  return String(Math.round(n * 10) / 10)
}

function boxText(b: Box): string {
  return `${b.dx} × ${b.dy} × ${b.dz} mm at ${b.x}, ${b.y}, ${b.z}`
}

function meets(a0: number, aLength: number, b0: number, bLength: number): boolean {
  return a0 < b0 + bLength && b0 < a0 + aLength
}

function overlapMm(a0: number, aLength: number, b0: number, bLength: number): number {
  return Math.max(0, Math.min(a0 + aLength, b0 + bLength) - Math.max(a0, b0))
}

/**
 * Everything a load plan breaks: pieces missing or twice, outside, overlapping, pressed too far, in a position they
 * may not have, hanging in the air, overloaded, heavy on light, too much mass in all or on a metre, out of balance, not
 * through the door, not loadable in the order given, off the front wall without need, slender and neither held nor tied, or out of reach unannounced.
 *
 * @param pieces all pieces that were to be stowed
 * @param plan placements in loading order
 * @param rules the same rules the plan was made under
 * @returns an empty list for a sound plan; never throws
 */
export function validate(
  hold: Hold,
  pieces: readonly Piece[],
  plan: LoadPlan,
  rules: LoadRules = {},
): Violation[] {
  const found: Violation[] = []
  const stowed = checkList(pieces, plan, found)
  for (const s of stowed) {
    checkInside(hold, s, found)
    checkStance(s, found)
    checkDoor(hold, s, found)
    checkClear(hold, s, found)
  }
  checkOverlap(stowed, found)
  checkStacks(hold, stowed, rules, found)
  checkLift(stowed, rules, found)
  checkMass(hold, stowed, found)
  checkLine(hold, stowed, found)
  checkBalance(hold, stowed, found)
  checkOrder(hold, stowed, rules, found)
  checkFront(hold, stowed, rules, found)
  checkSlender(hold, stowed, plan, rules, found)
  checkReach(hold, stowed, plan, rules, found)
  return found
}

function checkList(pieces: readonly Piece[], plan: LoadPlan, found: Violation[]): Stowed[] {
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  const seen = new Map<string, number>()
  const stowed: Stowed[] = []
  const count = (id: string): void => {
    seen.set(id, (seen.get(id) ?? 0) + 1)
  }
  for (const at of plan.placements) {
    count(at.pieceId)
    const piece = byId.get(at.pieceId)
    if (piece === undefined) {
      found.push({
        rule: 'list',
        pieceIds: [at.pieceId],
        text: `The plan places ${at.pieceId}, which is not among the ${pieces.length} pieces.`,
      })
    } else stowed.push({ piece, at, name: piece.label ?? piece.id })
  }
  for (const out of plan.leftOut) count(out.pieceId)
  for (const piece of pieces) {
    const times = seen.get(piece.id) ?? 0
    if (times !== 1) {
      found.push({
        rule: 'list',
        pieceIds: [piece.id],
        text: `${piece.label ?? piece.id} is in the plan ${times} times, expected once, placed or left out.`,
      })
    }
  }
  return stowed
}

function checkInside(hold: Hold, { at, name }: Stowed, found: Violation[]): void {
  const whole = [at.x, at.y, at.z, at.dx, at.dy, at.dz].every(Number.isInteger)
  const inside =
    at.x >= 0 &&
    at.y >= 0 &&
    at.z >= 0 &&
    at.x + at.dx <= hold.lengthMm &&
    at.y + at.dy <= hold.widthMm &&
    at.z + at.dz <= hold.heightMm
  if (whole && inside) return
  found.push({
    rule: 'inside',
    pieceIds: [at.pieceId],
    text: `${name}, ${boxText(at)}, is not inside ${hold.lengthMm} × ${hold.widthMm} × ${hold.heightMm} mm in whole mm.`,
  })
}

function ownEdge(piece: Piece, edge: Edge): number {
  switch (edge) {
    case 'length':
      return piece.lengthMm
    case 'width':
      return piece.widthMm
    case 'height':
      return piece.heightMm
  }
}

/** Least and greatest size of a horizontal edge once pressed or widened. */
function pressed(piece: Piece, mm: number): readonly [number, number] {
  const share = piece.squeezeShare ?? 0
  const least = Math.ceil(mm * (1 - share) - 1e-6)
  return share > 0 ? [least, mm] : [least, least]
}

/** The piece as it is given: its own size, or one of its folded ones, which may stand any way up. */
function asGiven(piece: Piece, at: Placement): Piece | undefined {
  if (at.folded === undefined) return piece
  const size = piece.foldedMm?.[at.folded - 1]
  if (size === undefined) return undefined
  const [lengthMm, widthMm, heightMm] = size
  return { ...piece, lengthMm, widthMm, heightMm, upright: ['length', 'width', 'height'] }
}

function checkStance({ piece: own, at, name }: Stowed, found: Violation[]): void {
  const piece = asGiven(own, at)
  if (piece === undefined) {
    found.push({
      rule: 'size',
      pieceIds: [own.id],
      text: `${name} is given its folded size ${at.folded}, expected one of ${own.foldedMm?.length ?? 0}.`,
    })
    return
  }
  const allowed = piece.upright ?? ['height']
  if (!allowed.includes(at.upright) || at.along === at.upright) {
    found.push({
      rule: 'size',
      pieceIds: [piece.id],
      text: `${name} stands on end with its ${at.upright} up; allowed: ${allowed.join(', ')}.`,
    })
    return
  }
  const across = (['length', 'width', 'height'] as const).find((e) => e !== at.upright && e !== at.along)
  if (across === undefined) return
  const [xLeast, xMost] = pressed(piece, ownEdge(piece, at.along))
  const [yLeast, yMost] = pressed(piece, ownEdge(piece, across))
  const z = ownEdge(piece, at.upright)
  const right = at.dx >= xLeast && at.dx <= xMost && at.dy >= yLeast && at.dy <= yMost && at.dz === z
  if (right) return
  found.push({
    rule: 'size',
    pieceIds: [piece.id],
    text: `${name} is given ${at.dx} × ${at.dy} × ${at.dz} mm, expected ${xLeast} to ${xMost} × ${yLeast} to ${yMost} × ${z} mm.`,
  })
}

function checkDoor(hold: Hold, { piece, at, name }: Stowed, found: Violation[]): void {
  const edges: readonly Edge[] = ['length', 'width', 'height']
  // What bends may be carried through folded, any way up.
  const carried: Piece[] = [
    piece,
    ...(piece.foldedMm ?? []).map(([lengthMm, widthMm, heightMm]): Piece => {
      return { ...piece, lengthMm, widthMm, heightMm, upright: edges }
    }),
  ]
  const passes = carried.some((as) =>
    (as.upright ?? ['height']).some((up) =>
      edges.some(
        (across) =>
          across !== up &&
          pressed(as, ownEdge(as, across))[0] <= hold.doorWidthMm &&
          ownEdge(as, up) <= hold.doorHeightMm,
      ),
    ),
  )
  if (!passes) {
    found.push({
      rule: 'door',
      pieceIds: [piece.id],
      text: `${name}, ${piece.lengthMm} × ${piece.widthMm} × ${piece.heightMm} mm, does not pass the door of ${hold.doorWidthMm} × ${hold.doorHeightMm} mm.`,
    })
  }
  const asItStands = at.dy <= hold.doorWidthMm && at.dz <= hold.doorHeightMm
  const allowed = piece.upright ?? ['height']
  if (
    passes &&
    !asItStands &&
    at.folded === undefined &&
    allowed.includes(at.upright) &&
    !comesToStand(hold, piece, at)
  ) {
    found.push({
      rule: 'door',
      pieceIds: [piece.id],
      text: `${name}, ${piece.lengthMm} × ${piece.widthMm} × ${piece.heightMm} mm, passes the door, but cannot be turned inside to stand ${at.dx} × ${at.dy} × ${at.dz} mm.`,
    })
  }
  const top = at.z + at.dz
  const room = hold.lengthMm - at.x - at.dx
  if (top > hold.doorHeightMm && room < at.dx) {
    found.push({
      rule: 'door',
      pieceIds: [piece.id],
      text: `${name} reaches ${top} mm, above the door's ${hold.doorHeightMm} mm, with ${room} mm to the door, expected at least its own ${at.dx} mm to lift it in.`,
    })
  }
}

type Pose = readonly [along: Edge, across: Edge, up: Edge]

// Every pose that is reached from the door by turning on the floor and by tipping over an edge, step by step.
function comesToStand(hold: Hold, piece: Piece, at: Placement): boolean {
  const all: readonly Edge[] = ['length', 'width', 'height']
  const allowed = piece.upright ?? ['height']
  const flat = (edge: Edge): number => pressed(piece, ownEdge(piece, edge))[0]
  const diagonal = (a: number, b: number): number => Math.sqrt(a * a + b * b) - 1e-6
  const poses = all.flatMap((along) =>
    all.flatMap((across): Pose[] =>
      all.filter((up) => along !== across && up !== along && up !== across).map((up) => [along, across, up]),
    ),
  )
  const reached = poses.filter(
    ([, across, up]) =>
      allowed.includes(up) && flat(across) <= hold.doorWidthMm && ownEdge(piece, up) <= hold.doorHeightMm,
  )
  const step = ([along, across, up]: Pose): Pose[] => {
    const next: Pose[] = []
    if (diagonal(flat(along), flat(across)) <= hold.widthMm) next.push([across, along, up])
    if (diagonal(ownEdge(piece, along), ownEdge(piece, up)) <= hold.heightMm) next.push([up, across, along])
    if (diagonal(ownEdge(piece, across), ownEdge(piece, up)) <= hold.heightMm) next.push([along, up, across])
    return next.filter((pose) => allowed.includes(pose[2]))
  }
  const same = (a: Pose, b: Pose): boolean => a.every((edge, i) => edge === b[i])
  for (const pose of reached) {
    for (const next of step(pose)) if (!reached.some((known) => same(known, next))) reached.push(next)
  }
  return reached.some(([along, , up]) => up === at.upright && along === at.along)
}

function checkClear(hold: Hold, { at, name }: Stowed, found: Violation[]): void {
  for (const block of hold.fixed ?? []) {
    const blockName = block.label ?? block.id
    for (const b of block.boxes) {
      const hit =
        meets(at.x, at.dx, b.x, b.dx) && meets(at.y, at.dy, b.y, b.dy) && meets(at.z, at.dz, b.z, b.dz)
      if (hit) {
        found.push({
          rule: 'overlap',
          pieceIds: [at.pieceId],
          text: `${name}, ${boxText(at)}, runs into ${blockName}, ${boxText(b)}.`,
        })
      }
    }
    const { clear, deck } = block
    const over = meets(at.x, at.dx, clear.x, clear.dx) && meets(at.y, at.dy, clear.y, clear.dy)
    const onDeckLevel = deck !== undefined && at.z >= deck.zMm
    if (over && !onDeckLevel) {
      found.push({
        rule: 'clear',
        pieceIds: [at.pieceId],
        text: `${name}, ${boxText(at)}, stands in the room kept clear for ${blockName}.`,
      })
    }
    if (deck === undefined) continue
    const cuts =
      meets(at.x, at.dx, deck.x, deck.dx) &&
      meets(at.y, at.dy, deck.y, deck.dy) &&
      at.z < deck.zMm &&
      at.z + at.dz > deck.zMm
    if (cuts) {
      found.push({
        rule: 'overlap',
        pieceIds: [at.pieceId],
        text: `${name}, ${boxText(at)}, goes through the deck over ${blockName} at ${deck.zMm} mm.`,
      })
    }
  }
}

function checkOverlap(stowed: readonly Stowed[], found: Violation[]): void {
  const byX = [...stowed].sort((a, b) => a.at.x - b.at.x)
  let open: Stowed[] = []
  for (const s of byX) {
    open = open.filter((o) => o.at.x + o.at.dx > s.at.x)
    for (const o of open) {
      const dx = overlapMm(s.at.x, s.at.dx, o.at.x, o.at.dx)
      const dy = overlapMm(s.at.y, s.at.dy, o.at.y, o.at.dy)
      const dz = overlapMm(s.at.z, s.at.dz, o.at.z, o.at.dz)
      if (dx > 0 && dy > 0 && dz > 0) {
        found.push({
          rule: 'overlap',
          pieceIds: [o.at.pieceId, s.at.pieceId],
          text: `${o.name} and ${s.name} overlap by ${dx} × ${dy} × ${dz} mm.`,
        })
      }
    }
    open.push(s)
  }
}

/** Whether a top carries a base: they meet, or blankets of less than so many mm lie between. */
function carries(top: number, base: number, blanketsMm: number): boolean {
  return base === top || (base > top && base - top < blanketsMm)
}

function checkLift(stowed: readonly Stowed[], { lift }: LoadRules, found: Violation[]): void {
  if (lift === undefined) return
  for (const { piece, at, name } of stowed) {
    if (piece.massKg < lift.fromKg || at.z <= lift.highestMm) continue
    found.push({
      rule: 'lift',
      pieceIds: [piece.id],
      text: `${name}, ${fig(piece.massKg)} kg, is lifted to ${at.z} mm, expected at most ${lift.highestMm} mm from ${fig(lift.fromKg)} kg on.`,
    })
  }
}

interface Bearer {
  readonly name: string
  readonly ids: readonly string[]
  readonly index: number
  readonly limitKg: number
  readonly massKg: number
  readonly x: number
  readonly y: number
  readonly dx: number
  readonly dy: number
  readonly heaviestKg: number
  readonly isDeck: boolean
}

function checkStacks(hold: Hold, stowed: readonly Stowed[], rules: LoadRules, found: Violation[]): void {
  const heavyFromKg = rules.heavyFromKg ?? 30
  const blanketsMm = rules.levelMm ?? 0
  const bearers: Bearer[] = []
  const tops: number[] = []
  const add = (top: number, bearer: Bearer): void => {
    bearers.push(bearer)
    tops.push(top)
  }
  stowed.forEach(({ piece, at, name }, index) => {
    const limitKg = piece.fragile === true ? 0 : (piece.maxLoadOnTopKg ?? Number.POSITIVE_INFINITY)
    const { x, y, dx, dy } = at
    const massKg = piece.massKg
    const heaviestKg = Number.POSITIVE_INFINITY
    add(at.z + at.dz, {
      name,
      ids: [piece.id],
      index,
      limitKg,
      massKg,
      x,
      y,
      dx,
      dy,
      heaviestKg,
      isDeck: false,
    })
  })
  for (const block of hold.fixed ?? []) {
    if (block.deck === undefined) continue
    const { x, y, dx, dy, zMm, maxLoadKg, maxPieceKg } = block.deck
    add(zMm, {
      name: `the deck over ${block.label ?? block.id}`,
      ids: [],
      index: bearers.length,
      limitKg: maxLoadKg,
      massKg: Number.POSITIVE_INFINITY,
      x,
      y,
      dx,
      dy,
      heaviestKg: maxPieceKg,
      isDeck: true,
    })
  }
  const load = new Float64Array(bearers.length)
  const resting = new Int32Array(bearers.length)
  const fromTop = stowed.map((_, i) => i).sort((a, b) => (stowed[b]?.at.z ?? 0) - (stowed[a]?.at.z ?? 0))
  for (const i of fromTop) {
    const s = stowed[i]
    if (s === undefined) continue
    const { at, piece, name } = s
    if (at.z === 0) continue
    if (piece.floorOnly === true) {
      found.push({
        rule: 'floor',
        pieceIds: [piece.id],
        text: `${name} must stand on the floor and stands ${at.z} mm above it.`,
      })
    }
    const under = bearers
      .filter((_, b) => carries(tops[b] ?? 0, at.z, blanketsMm))
      .map((b) => ({ b, mm2: overlapMm(at.x, at.dx, b.x, b.dx) * overlapMm(at.y, at.dy, b.y, b.dy) }))
      .filter(({ mm2 }) => mm2 > 0)
    const held = under.reduce((sum, { mm2 }) => sum + mm2, 0)
    const share = held / (at.dx * at.dy)
    const supportShare =
      piece.soft === true
        ? Math.min(rules.softSupportShare ?? 1, rules.supportShare ?? 1)
        : (rules.supportShare ?? 1)
    if (share < supportShare - 1e-9) {
      found.push({
        rule: 'support',
        pieceIds: [piece.id],
        text: `${name}, ${boxText(at)}, rests on ${fig(share * 100)} % of its base, expected ${fig(supportShare * 100)} %.`,
      })
    }
    for (const { b, mm2 } of under) {
      const kg = ((piece.massKg + (load[i] ?? 0)) * mm2) / held
      load[b.index] = (load[b.index] ?? 0) + kg
      resting[b.index] = (resting[b.index] ?? 0) + 1
      if (!b.isDeck && piece.massKg >= heavyFromKg && piece.massKg > b.massKg) {
        found.push({
          rule: 'heavy',
          pieceIds: [piece.id, ...b.ids],
          text: `${name}, ${fig(piece.massKg)} kg, stands on ${b.name}, only ${fig(b.massKg)} kg.`,
        })
      }
      if (piece.massKg > b.heaviestKg) {
        found.push({
          rule: 'deck',
          pieceIds: [piece.id],
          text: `${name}, ${fig(piece.massKg)} kg, stands on ${b.name}, which takes pieces of ${fig(b.heaviestKg)} kg at most.`,
        })
      }
    }
  }
  for (const b of bearers) {
    const kg = load[b.index] ?? 0
    const nothing = b.limitKg === 0 && (resting[b.index] ?? 0) > 0
    if (kg > b.limitKg + 1e-6 || nothing) {
      found.push({
        rule: b.isDeck ? 'deck' : 'load',
        pieceIds: b.ids,
        text: `${b.name} carries ${fig(kg)} kg, expected at most ${fig(b.limitKg)} kg.`,
      })
    }
  }
}

function checkMass(hold: Hold, stowed: readonly Stowed[], found: Violation[]): void {
  const fixedKg = (hold.fixed ?? []).reduce((sum, block) => sum + block.massKg, 0)
  const kg = stowed.reduce((sum, s) => sum + s.piece.massKg, fixedKg)
  if (kg > hold.payloadKg + 1e-6) {
    found.push({
      rule: 'mass',
      pieceIds: [],
      text: `The load is ${fig(kg)} kg, expected at most ${fig(hold.payloadKg)} kg.`,
    })
  }
}

function blockSpan(block: FixedBlock): { x: number; dx: number } {
  const from = Math.min(...block.boxes.map((b) => b.x))
  return { x: from, dx: Math.max(...block.boxes.map((b) => b.x + b.dx)) - from }
}

// Mass up to x grows in straight lines between the ends of pieces, so the heaviest metre begins or ends at one of them.
function checkLine(hold: Hold, stowed: readonly Stowed[], found: Violation[]): void {
  if (hold.lineLoadKgPerM === Number.POSITIVE_INFINITY) return
  const spans = [
    ...stowed.map((s) => ({ x: s.at.x, dx: s.at.dx, kg: s.piece.massKg })),
    ...(hold.fixed ?? []).map((block) => ({ ...blockSpan(block), kg: block.massKg })),
  ]
  const slope = new Map<number, number>()
  for (const { x, dx, kg } of spans) {
    slope.set(x, (slope.get(x) ?? 0) + kg / dx)
    slope.set(x + dx, (slope.get(x + dx) ?? 0) - kg / dx)
  }
  const xs = [...slope.keys()].sort((a, b) => a - b)
  const upTo: number[] = []
  const slopes: number[] = []
  let kg = 0
  let now = 0
  xs.forEach((x, i) => {
    if (i > 0) kg += now * (x - (xs[i - 1] ?? x))
    upTo.push(kg)
    now += slope.get(x) ?? 0
    slopes.push(now)
  })
  const massUpTo = (x: number): number => {
    let low = 0
    let high = xs.length
    while (low < high) {
      const mid = (low + high) >> 1
      if ((xs[mid] ?? 0) <= x) low = mid + 1
      else high = mid
    }
    if (low === 0) return 0
    return (upTo[low - 1] ?? 0) + (slopes[low - 1] ?? 0) * (x - (xs[low - 1] ?? 0))
  }
  const metre = Math.min(1000, hold.lengthMm)
  let worst = { from: 0, kg: 0 }
  for (const x of xs) {
    for (const from of [x, x - metre]) {
      if (from < 0 || from + metre > hold.lengthMm) continue
      const here = massUpTo(from + metre) - massUpTo(from)
      if (here > worst.kg) worst = { from, kg: here }
    }
  }
  const perM = (worst.kg * 1000) / metre
  if (perM > hold.lineLoadKgPerM + 1e-6) {
    found.push({
      rule: 'line',
      pieceIds: [],
      text: `The metre from ${worst.from} mm carries ${fig(perM)} kg, expected at most ${fig(hold.lineLoadKgPerM)} kg.`,
    })
  }
}

function checkBalance(hold: Hold, stowed: readonly Stowed[], found: Violation[]): void {
  let kg = 0
  const moment = { x: 0, y: 0, z: 0 }
  const add = (mass: number, b: Box): void => {
    kg += mass
    moment.x += mass * (b.x + b.dx / 2)
    moment.y += mass * (b.y + b.dy / 2)
    moment.z += mass * (b.z + b.dz / 2)
  }
  for (const { piece, at } of stowed) add(piece.massKg, at)
  for (const block of hold.fixed ?? []) {
    const volumes = block.boxes.map((b) => b.dx * b.dy * b.dz)
    const all = volumes.reduce((sum, v) => sum + v, 0)
    block.boxes.forEach((b, i) => {
      add((block.massKg * (volumes[i] ?? 0)) / all, b)
    })
  }
  if (kg === 0) return
  const broken = (text: string): void => {
    found.push({ rule: 'balance', pieceIds: [], text: `The centre of gravity is ${text}` })
  }
  const x = moment.x / kg
  const along = x / hold.lengthMm - 0.5
  if (Math.abs(along) > hold.balanceShare + 1e-9) {
    broken(
      `${fig(x)} mm from the front wall, ${fig(along * 100)} % of the length from the middle, expected within ${fig(hold.balanceShare * 100)} % either way.`,
    )
  }
  const y = moment.y / kg
  const across = y / hold.widthMm - 0.5
  const acrossLimit = hold.balanceAcrossShare ?? Number.POSITIVE_INFINITY
  if (Math.abs(across) > acrossLimit + 1e-9) {
    broken(
      `${fig(y)} mm from the left wall, ${fig(across * 100)} % of the width from the middle, expected within ${fig(acrossLimit * 100)} % either way.`,
    )
  }
  const z = moment.z / kg
  const heightLimit = hold.balanceHeightShare ?? Number.POSITIVE_INFINITY
  if (z / hold.heightMm > heightLimit + 1e-9) {
    broken(
      `${fig(z)} mm above the floor, ${fig((z / hold.heightMm) * 100)} % of the height, expected at most ${fig(heightLimit * 100)} %.`,
    )
  }
}

function checkOrder(hold: Hold, stowed: readonly Stowed[], rules: LoadRules, found: Violation[]): void {
  const shutIn = (inner: Box, outer: Box): boolean =>
    outer.x >= inner.x + inner.dx &&
    meets(inner.y, inner.dy, outer.y, outer.dy) &&
    meets(inner.z, inner.dz, outer.z, outer.dz)
  stowed.forEach((later, i) => {
    for (let j = 0; j < i; j++) {
      const earlier = stowed[j]
      if (earlier === undefined) continue
      if (shutIn(later.at, earlier.at)) {
        found.push({
          rule: 'order',
          pieceIds: [later.at.pieceId, earlier.at.pieceId],
          text: `${later.name} is loaded as number ${i + 1}, when ${earlier.name}, number ${j + 1}, already shuts off its place.`,
        })
      }
      const isUnder =
        carries(later.at.z + later.at.dz, earlier.at.z, rules.levelMm ?? 0) &&
        meets(later.at.x, later.at.dx, earlier.at.x, earlier.at.dx) &&
        meets(later.at.y, later.at.dy, earlier.at.y, earlier.at.dy)
      if (isUnder) {
        found.push({
          rule: 'order',
          pieceIds: [later.at.pieceId, earlier.at.pieceId],
          text: `${earlier.name}, number ${j + 1}, is loaded before ${later.name}, number ${i + 1}, which carries it.`,
        })
      }
    }
    const before = stowed[i - 1]
    if (before !== undefined && before.at.stage > later.at.stage) {
      found.push({
        rule: 'order',
        pieceIds: [later.at.pieceId],
        text: `${later.name} of stage ${later.at.stage} is loaded after ${before.name} of stage ${before.at.stage}.`,
      })
    }
  })
  for (const block of hold.fixed ?? []) {
    let lastBefore = -1
    let firstAfter = stowed.length
    stowed.forEach(({ at }, i) => {
      if (block.boxes.some((b) => shutIn(at, b))) lastBefore = i
      const { deck } = block
      const onDeck =
        deck !== undefined &&
        at.z >= deck.zMm &&
        meets(at.x, at.dx, deck.x, deck.dx) &&
        meets(at.y, at.dy, deck.y, deck.dy)
      if ((onDeck || block.boxes.some((b) => shutIn(b, at))) && i < firstAfter) firstAfter = i
    })
    if (lastBefore > firstAfter) {
      const inner = stowed[lastBefore]
      const outer = stowed[firstAfter]
      found.push({
        rule: 'order',
        pieceIds: [inner?.at.pieceId ?? '', outer?.at.pieceId ?? ''],
        text: `${inner?.name ?? ''}, number ${lastBefore + 1}, must go in before ${block.label ?? block.id}, and ${outer?.name ?? ''}, number ${firstAfter + 1}, after it.`,
      })
    }
  }
}

// A load stands off the front wall for the balance alone: half the way back to the wall would already break it.
function checkFront(hold: Hold, stowed: readonly Stowed[], rules: LoadRules, found: Violation[]): void {
  const limitMm = rules.frontMm
  if (limitMm === undefined || stowed.length === 0) return
  const blocks = hold.fixed ?? []
  const gapMm = Math.min(...stowed.map(({ at }) => at.x), ...blocks.map(({ clear }) => clear.x))
  if (gapMm <= limitMm) return
  const firstBlock = Math.min(...blocks.map(({ clear }) => clear.x))
  const back = stowed.map((s) => (s.at.x < firstBlock ? { ...s, at: { ...s.at, x: s.at.x - gapMm / 2 } } : s))
  const off: Violation[] = []
  checkBalance({ ...hold, balanceAcrossShare: 1, balanceHeightShare: 1 }, back, off)
  if (off.length > 0) return
  found.push({
    rule: 'front',
    pieceIds: [],
    text: `The load begins ${gapMm} mm behind the front wall, expected at most ${limitMm} mm; the balance does not ask for it.`,
  })
}

// Looked at from the middle of each broad face, half way up: a straight line to both sides must meet something soon.
function checkSlender(
  hold: Hold,
  stowed: readonly Stowed[],
  plan: LoadPlan,
  rules: LoadRules,
  found: Violation[],
): void {
  const { slender } = rules
  if (slender === undefined) return
  const tied = new Set(plan.tied ?? [])
  for (const { at, piece, name } of stowed) {
    const thin = Math.min(at.dx, at.dy)
    if (piece.soft === true || tied.has(piece.id) || at.dz / thin < slender.ratio) continue
    const alongX = at.dx === thin
    const up = at.z + at.dz / 2
    const meetsSide = (from: number, to: number): boolean => {
      const zone: Box = alongX
        ? { x: from, y: at.y, z: up, dx: to - from, dy: at.dy, dz: 0 }
        : { x: at.x, y: from, z: up, dx: at.dx, dy: to - from, dz: 0 }
      const touches = (b: Box): boolean =>
        b.x <= zone.x + zone.dx &&
        zone.x <= b.x + b.dx &&
        b.y <= zone.y + zone.dy &&
        zone.y <= b.y + b.dy &&
        // A corner is no side: across the line of sight the two must really overlap.
        (alongX ? meets(b.y, b.dy, zone.y, zone.dy) : meets(b.x, b.dx, zone.x, zone.dx)) &&
        b.z < up &&
        up <= b.z + b.dz
      return (
        stowed.some((o) => o.at !== at && touches(o.at)) ||
        (hold.fixed ?? []).some(({ boxes }) => boxes.some(touches))
      )
    }
    const near = alongX ? at.x : at.y
    const far = near + thin
    const nearWall = near - slender.reachMm <= 0
    const farWall = !alongX && far + slender.reachMm >= hold.widthMm
    const near1 = nearWall || meetsSide(near - slender.reachMm, near)
    const far1 = farWall || meetsSide(far, far + slender.reachMm)
    if (near1 && far1) continue
    found.push({
      rule: 'slender',
      pieceIds: [piece.id],
      text: `${name}, ${boxText(at)}, is ${fig(at.dz / thin)} times as high as deep with nothing beside it within ${slender.reachMm} mm on one side, and the plan does not tie it.`,
    })
  }
}

// A person of half a metre either way is tried on the floor every centimetre across, before the place and a little to its
// sides, walking from the place to the door until he stands free of everything below head height.
function checkReach(
  hold: Hold,
  stowed: readonly Stowed[],
  plan: LoadPlan,
  rules: LoadRules,
  found: Violation[],
): void {
  const { reachMm } = rules
  if (reachMm === undefined) return
  const announced = new Set(plan.handedOn ?? [])
  const [size, side, head] = [500, 300, 1800]
  const isOnDeck = (at: Box): boolean =>
    (hold.fixed ?? []).some(
      ({ deck }) =>
        deck !== undefined &&
        at.z >= deck.zMm &&
        meets(at.x, at.dx, deck.x, deck.dx) &&
        meets(at.y, at.dy, deck.y, deck.dy),
    )
  stowed.forEach(({ at, piece, name }, i) => {
    if (announced.has(piece.id) || isOnDeck(at)) return
    const face = at.x + at.dx
    const earlier = stowed
      .slice(0, i)
      .map((s) => s.at)
      .filter((o) => o.z < head)
    let least = Number.POSITIVE_INFINITY
    const right = Math.min(hold.widthMm, at.y + at.dy + side)
    for (let y = Math.max(0, at.y - side); least > reachMm; y += 10) {
      const left = Math.min(y, hold.widthMm - size)
      let x = face
      for (;;) {
        const inWay = earlier.filter((o) => meets(o.x, o.dx, x, size) && meets(o.y, o.dy, left, size))
        if (inWay.length === 0) break
        x = Math.max(...inWay.map((o) => o.x + o.dx))
      }
      least = Math.min(least, x - face)
      if (y + size >= right) break
    }
    if (least <= reachMm) return
    found.push({
      rule: 'reach',
      pieceIds: [piece.id],
      text: `${name}, number ${i + 1}, is handed ${fig(least)} mm over what stands before its place, expected at most ${reachMm} mm or told in the plan.`,
    })
  })
}
