import { balanced, balancedAcross, centreOfGravity, type Weighed } from './balance.js'
import { type BeamLimits, beamSearch } from './beam.js'
import { blocks } from './blocks.js'
import { type Kind, sortIntoKinds, stances, stowedM3 } from './kinds.js'
import { type Loaded, loadingOrder } from './order.js'
import { lineBinMm, loadScore, type SearchModel, type State } from './search.js'
import { stageNumbers } from './stages.js'
import type { Box, Hold, LeftOut, LoadPlan, LoadRules, Piece, Placement } from './types.js'

/** How the packer searches, and when it stops. All may be left out. */
export interface PackOptions {
  readonly rules?: LoadRules
  /** Start of the random numbers; the same seed and `work` give the same plan. */
  readonly seed?: number
  /**
   * Most pieces or blocks moved into place in all, the measure of work that is the same on every machine.
   * Left out: no limit when a stop is given, else 200,000.
   */
  readonly work?: number
  /** Asked again and again; true ends the search with the best plan so far. */
  readonly stop?: () => boolean
  /** Together: stop `seconds` after the call by this clock in milliseconds. */
  readonly now?: () => number
  readonly seconds?: number
  /** Told of every better load; `plan()` makes the whole plan of it. */
  readonly onBetter?: (progress: PackProgress) => void
  /** Widest beam; 1 is quick and plain. Left out: 1024. */
  readonly widest?: number
  /** `front`: from the front wall to the door, as a crew works (usual); `corners`: for the fullest hold. */
  readonly from?: 'front' | 'corners'
}

/** A plan with the work it took: blocks moved into place, the measure that is the same on every machine. */
export interface PackedPlan extends LoadPlan {
  readonly workUsed: number
}

/** How far the search has come. */
export interface PackProgress {
  readonly pieces: number
  readonly placed: number
  readonly volumeShare: number
  readonly plan: () => LoadPlan
}

/**
 * Packs pieces into a hold: as much value as will go in, every base fully supported, within the hard limits of
 * pieces and hold, in an order in which it can be loaded.
 *
 * The method is beam search over blocks and largest free spaces, after the literature named in `beam.ts`,
 * `blocks.ts` and `search.ts`. Throws when a piece or hold has a size that is not a whole number of mm above 0,
 * or a mass below 0, or when two pieces share an id.
 */
export function pack(hold: Hold, pieces: readonly Piece[], options: PackOptions = {}): PackedPlan {
  checkInput(hold, pieces)
  const rules = options.rules ?? {}
  const { kinds, refused } = sortIntoKinds(hold, pieces, rules)
  const out: LeftOut[] = refused.map(({ piece, reason }) => ({ pieceId: piece.id, reason }))
  const stop = stopper(options)
  const totalValue = kinds.reduce((sum, kind) => sum + kind.value * kind.pieces.length, 0)
  const total = kinds.reduce((sum, kind) => sum + kind.pieces.length, 0)
  const work = options.work ?? (isEndless(options) ? 200_000 : Number.POSITIVE_INFINITY)
  const seed = options.seed ?? 1
  const tried = likely(hold, kinds)
  let workUsed = 0
  const search = (model: SearchModel, limits: BeamLimits): State => {
    const { best, work: used } = beamSearch(model, limits)
    workUsed += used
    return best
  }
  const attempt = (ceilingMm: number, share: number, quiet: boolean): LoadPlan => {
    const limits = (model: SearchModel): BeamLimits => ({
      stop,
      work: work * share,
      widest: options.widest ?? 1024,
      enough: (state) => total > 0 && loadScore(model, state) >= totalValue - 1e-9,
      better: (state) => {
        if (quiet || options.onBetter === undefined) return
        const boxes = unpackState(model, state)
        options.onBetter({
          pieces: pieces.length,
          placed: boxes.length,
          volumeShare: boxes.reduce((sum, b) => sum + b.at.dx * b.at.dy * b.at.dz, 0) / holdMm3(hold),
          plan: () => finish(hold, kinds, out, boxes, seed),
        })
      },
      remeasure: tried.length <= 120 && hold.lengthMm <= 2000,
    })
    const models = densityPowers(tried).map(
      (densityPower) => (): SearchModel =>
        searchModel(hold, tried, rules, { from: options.from ?? 'front', ceilingMm, densityPower }),
    )
    const model = bestAtFirstSight(models, limits, search)
    return finish(hold, kinds, out, unpackState(model, search(model, limits(model))), seed)
  }
  let plan = attempt(hold.heightMm, 1, false)
  // A part load that is heavy at one end is better spread out low: the same search under a lower ceiling.
  for (const share of [0.8, 0.65, 0.5, 0.35]) {
    if (!isLowerBetter(hold, plan)) break
    const low = attempt(Math.floor(hold.heightMm * share), 0.2, true)
    if (low.unmet.length === 0 && low.placements.length >= plan.placements.length) plan = low
  }
  return { ...plan, workUsed }
}

function isLowerBetter(hold: Hold, plan: LoadPlan): boolean {
  const high = plan.centreOfGravity.z / hold.heightMm > (hold.balanceHeightShare ?? Number.POSITIVE_INFINITY)
  return plan.unmet.length > 0 && (high || Math.abs(plan.balanceOffsetShare) > hold.balanceShare)
}

function isEndless(options: PackOptions): boolean {
  return options.stop === undefined && options.seconds === undefined
}

function stopper(options: PackOptions): () => boolean {
  const { now, seconds, stop } = options
  if (now === undefined || seconds === undefined) return stop ?? (() => false)
  const end = now() + seconds * 1000
  return () => now() >= end || (stop?.() ?? false)
}

function checkInput(hold: Hold, pieces: readonly Piece[]): void {
  const whole = (n: number): boolean => Number.isInteger(n) && n > 0
  if (![hold.lengthMm, hold.widthMm, hold.heightMm, hold.doorWidthMm, hold.doorHeightMm].every(whole)) {
    throw new Error(
      `hold ${hold.id}: found ${hold.lengthMm} × ${hold.widthMm} × ${hold.heightMm} mm, door ${hold.doorWidthMm} × ${hold.doorHeightMm} mm; expected whole mm above 0.`,
    )
  }
  const ids = new Set<string>()
  for (const p of pieces) {
    if (![p.lengthMm, p.widthMm, p.heightMm].every(whole)) {
      throw new Error(
        `piece ${p.id}: found ${p.lengthMm} × ${p.widthMm} × ${p.heightMm} mm, expected whole mm above 0.`,
      )
    }
    if (!(p.massKg >= 0)) throw new Error(`piece ${p.id}: found ${p.massKg} kg, expected 0 or more.`)
    if (ids.has(p.id)) throw new Error(`piece ${p.id}: found twice, expected every id once.`)
    ids.add(p.id)
  }
}

function holdMm3(hold: Hold): number {
  return hold.lengthMm * hold.widthMm * hold.heightMm
}

// Where a cubic metre of one thing is worth more than of another, it is worth trying how far the choice of what goes in
// first should go by that.
function densityPowers(kinds: readonly Kind[]): readonly number[] {
  const densities = kinds.flatMap((kind) => {
    const s = kind.stances[0]
    return s === undefined ? [] : [(kind.value * 1e9) / (s.dx * s.dy * s.dz)]
  })
  const [least, most] = [Math.min(...densities), Math.max(...densities)]
  return kinds.length > 1 && most > least * (1 + 1e-6) ? [0, 0.25, 0.5, 1, 2] : [0]
}

/** The model whose plain fill, without any search, is worth most; the first is filled and told of in any case. */
function bestAtFirstSight(
  models: readonly (() => SearchModel)[],
  limits: (model: SearchModel) => BeamLimits,
  search: (model: SearchModel, limits: BeamLimits) => State,
): SearchModel {
  const [first, ...others] = models
  if (first === undefined) throw new Error('packing: found no way to choose, expected one or more.')
  let model = first()
  if (others.length === 0) return model
  let most = loadScore(model, search(model, { ...limits(model), widest: 0 }))
  for (const other of others) {
    const next = other()
    const l = limits(next)
    if (l.stop()) break
    const value = loadScore(next, search(next, { ...l, widest: 0, better: () => {} }))
    if (value <= most) continue
    model = next
    most = value
  }
  return model
}

/** Goods worth looking at, as a multiple of the room there is: more only slows every step down. */
const likelyRooms = 6

// Of far more goods than there is room for, those of the most value per m³ are tried; among equals an even sample, so
// that large and small stay mixed as they came.
function likely(hold: Hold, kinds: readonly Kind[]): readonly Kind[] {
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

/** The search's view of a hold and its kinds, under a ceiling that may be lower than the roof. */
function searchModel(
  hold: Hold,
  kinds: readonly Kind[],
  rules: LoadRules,
  way: { readonly from: 'front' | 'corners'; readonly ceilingMm: number; readonly densityPower: number },
): SearchModel {
  const { from, ceilingMm, densityPower } = way
  const heavyFromKg = rules.heavyFromKg ?? 25
  const fixed = hold.fixed ?? []
  const limited =
    fixed.length > 0 ||
    hold.doorHeightMm < ceilingMm ||
    hold.payloadKg !== Number.POSITIVE_INFINITY ||
    kinds.some((k) => k.limitKg !== Number.POSITIVE_INFINITY || k.floorOnly || k.massKg >= heavyFromKg)
  const wishes = kinds.some((k) => k.firstNeeded || k.group !== '')
  const decks = fixed.flatMap(({ deck }) =>
    deck === undefined
      ? []
      : [[deck.x, deck.y, deck.x + deck.dx, deck.y + deck.dy, deck.zMm, deck.maxLoadKg, deck.maxPieceKg]],
  )
  const fixedOnly = centreOfGravity(hold, [])
  const simple = kinds.length > 300 ? 6000 : 3000
  return {
    lengthMm: hold.lengthMm,
    widthMm: hold.widthMm,
    heightMm: hold.heightMm,
    kinds,
    blocks: blocks(kinds, {
      lengthMm: hold.lengthMm,
      widthMm: hold.widthMm,
      heightMm: ceilingMm,
      simple,
      total: limited || wishes || kinds.length < 8 ? 0 : 3000,
      fill: 0.98,
      kgPerMm3: usualDensity(kinds),
      countPower: limited ? 0 : 0.2,
      densityPower,
    }),
    startSpaces: startSpaces(hold, ceilingMm),
    decks,
    limited,
    payloadKg: hold.payloadKg,
    fixedKg: fixedOnly.massKg,
    fixedMoment: fixedOnly.massKg * fixedOnly.x,
    balanceShare: hold.balanceShare,
    balanceAcrossShare: hold.balanceAcrossShare ?? Number.POSITIVE_INFINITY,
    fixedAcrossMoment: fixedOnly.massKg * (fixedOnly.y - hold.widthMm / 2),
    lineLoadKgPerM: hold.lineLoadKgPerM,
    fixedLineKg: fixedLine(hold),
    doorHeightMm: hold.doorHeightMm,
    heavyFromKg,
    frontFirst: from === 'front',
    mergeTops: limited,
    sidesPower: 1,
  }
}

/** Mass over volume of all that is to be stowed, kg per mm³. */
function usualDensity(kinds: readonly Kind[]): number {
  let kg = 0
  let mm3 = 0
  for (const kind of kinds) {
    const s = kind.stances[0]
    if (s === undefined) continue
    kg += kind.massKg * kind.pieces.length
    mm3 += s.dx * s.dy * s.dz * kind.pieces.length
  }
  return mm3 === 0 ? 0 : kg / mm3
}

function startSpaces(hold: Hold, ceilingMm: number): number[] {
  let floor: (readonly [number, number, number, number])[] = [[0, 0, hold.lengthMm, hold.widthMm]]
  const spaces: number[] = []
  for (const { clear, deck } of hold.fixed ?? []) {
    const x1 = clear.x + clear.dx
    const y1 = clear.y + clear.dy
    floor = floor
      .flatMap(([a0, b0, a1, b1]): (readonly [number, number, number, number])[] => {
        if (a0 >= x1 || a1 <= clear.x || b0 >= y1 || b1 <= clear.y) return [[a0, b0, a1, b1]]
        return [
          [a0, b0, clear.x, b1],
          [x1, b0, a1, b1],
          [a0, b0, a1, clear.y],
          [a0, y1, a1, b1],
        ]
      })
      .filter(([a0, b0, a1, b1]) => a1 > a0 && b1 > b0)
    if (deck !== undefined && deck.zMm < ceilingMm) {
      const right = Math.min(deck.x + deck.dx, hold.lengthMm)
      spaces.push(deck.x, deck.y, right, Math.min(deck.y + deck.dy, hold.widthMm), deck.zMm, ceilingMm)
    }
  }
  for (const [a0, b0, a1, b1] of floor) spaces.push(a0, b0, a1, b1, 0, ceilingMm)
  return spaces
}

function fixedLine(hold: Hold): Float64Array {
  const line = new Float64Array(Math.ceil(hold.lengthMm / lineBinMm) + 1)
  for (const block of hold.fixed ?? []) {
    const from = Math.min(...block.boxes.map((b) => b.x))
    const to = Math.max(...block.boxes.map((b) => b.x + b.dx))
    for (let bin = 0; bin < line.length; bin++) {
      const inBin = Math.min(to, (bin + 1) * lineBinMm) - Math.max(from, bin * lineBinMm)
      if (inBin > 0) line[bin] = (line[bin] ?? 0) + (block.massKg * inBin) / (to - from)
    }
  }
  return line
}

interface Standing {
  readonly piece: Piece
  readonly at: Box
}

/** The single boxes of a load, each with its piece; pieces of a kind are given out in the order they came. */
function unpackState(model: SearchModel, state: State): Standing[] {
  const { blocks: all, kinds } = model
  const next = kinds.map(() => 0)
  const standing: Standing[] = []
  for (let p = 0; p < state.placedCount; p++) {
    const b = state.placed[p * 4] as number
    const x = state.placed[p * 4 + 1] as number
    const y = state.placed[p * 4 + 2] as number
    const z = state.placed[p * 4 + 3] as number
    for (const part of all.parts.slice(all.partStart[b], all.partStart[b + 1])) {
      const kind = kinds[part.kind]
      const stance = kind?.stances[part.stance]
      if (kind === undefined || stance === undefined) continue
      const { dx, dy, dz } = stance
      for (let i = 0; i < part.nx; i++) {
        for (let j = 0; j < part.ny; j++) {
          for (let k = 0; k < part.nz; k++) {
            const piece = kind.pieces[next[part.kind] ?? 0]
            next[part.kind] = (next[part.kind] ?? 0) + 1
            if (piece === undefined) continue
            const at = { x: x + part.x + i * dx, y: y + part.y + j * dy, z: z + part.z + k * dz, dx, dy, dz }
            standing.push({ piece, at })
          }
        }
      }
    }
  }
  return standing
}

function finish(
  hold: Hold,
  kinds: readonly Kind[],
  refused: readonly LeftOut[],
  loaded: readonly Standing[],
  seed: number,
): LoadPlan {
  const inOrder = mirrored(hold, orderable(hold, loaded))
  const boxes: Weighed[] = inOrder.map(({ piece, at }) => ({ ...at, massKg: piece.massKg }))
  const offset = centreOfGravity(hold, boxes).x / hold.lengthMm - 0.5
  let standing = inOrder
  let isBalanced = Math.abs(offset) <= hold.balanceShare
  if (!isBalanced) {
    const accept = (xs: readonly number[]): boolean => {
      const moved = moveTo(inOrder, xs)
      return mayMove(hold, moved) && orderable(hold, moved).length === moved.length
    }
    const xs = balanced(hold, boxes, seed, accept)
    if (xs !== undefined) {
      standing = orderable(hold, moveTo(inOrder, xs))
      isBalanced = true
    }
  }
  if (!isBalanced) {
    const trimmed = trimToBalance(hold, inOrder)
    if (trimmed !== undefined) {
      const kept = new Set(trimmed)
      const taken = inOrder.filter((s) => !kept.has(s)).map(({ piece }) => forBalance(hold, piece))
      return planOf(hold, kinds, [...refused, ...taken], trimmed, true)
    }
  }
  return planOf(hold, kinds, refused, standing, isBalanced)
}

// Left and right are alike to every rule but the balance.
function mirrored(hold: Hold, standing: readonly Standing[]): Standing[] {
  const { balanceAcrossShare } = hold
  const boxes: Weighed[] = standing.map(({ piece, at }) => ({ ...at, massKg: piece.massKg }))
  const offset = centreOfGravity(hold, boxes).y / hold.widthMm - 0.5
  if (balanceAcrossShare === undefined || Math.abs(offset) <= balanceAcrossShare) return [...standing]
  const ys = balancedAcross(hold, boxes)
  return orderable(
    hold,
    standing.map(({ piece, at }, i) => ({ piece, at: { ...at, y: ys[i] ?? at.y } })),
  )
}

function forBalance(hold: Hold, piece: Piece): LeftOut {
  const limit = (hold.balanceShare * 100).toFixed(1)
  const name = piece.label ?? piece.id
  return {
    pieceId: piece.id,
    reason: `${name}, ${piece.massKg} kg, was taken out again to bring the centre of gravity within ${limit} % of the length from the middle.`,
  }
}

// Last resort: take pieces off the heavy end, those with nothing on them first, the most moment for the least value.
function trimToBalance(hold: Hold, inOrder: readonly Standing[]): Standing[] | undefined {
  let standing = [...inOrder]
  while (standing.length > 0) {
    const centre = centreOfGravity(
      hold,
      standing.map(({ piece, at }) => ({ ...at, massKg: piece.massKg })),
    )
    const offset = centre.x - hold.lengthMm / 2
    if (Math.abs(offset) <= hold.lengthMm * hold.balanceShare) return standing
    const bare = standing.filter((s) => !standing.some((o) => standsOn(o.at, s.at)))
    const gain = ({ piece, at }: Standing): number =>
      (Math.sign(offset) * piece.massKg * (at.x + at.dx / 2 - centre.x)) / (pieceValue(piece) + 1e-6)
    const worst = bare.sort((a, b) => gain(b) - gain(a))[0]
    if (worst === undefined || gain(worst) <= 0) return undefined
    standing = standing.filter((s) => s !== worst)
  }
  return undefined
}

function pieceValue(piece: Piece): number {
  return piece.value ?? stowedM3(piece)
}

function moveTo(standing: readonly Standing[], xs: readonly number[]): Standing[] {
  return standing.map(({ piece, at }, i) => ({ piece, at: { ...at, x: xs[i] ?? at.x } }))
}

// Doors and mass per metre depend on where along the hold a piece stands; all else moves with its section.
function mayMove(hold: Hold, moved: readonly Standing[]): boolean {
  const line = fixedLine(hold)
  const most = (hold.lineLoadKgPerM * 0.8 * lineBinMm) / 1000
  const fixedOnly = Float64Array.from(line)
  for (const { piece, at } of moved) {
    if (at.z + at.dz > hold.doorHeightMm && hold.lengthMm - at.x - at.dx < at.dx) return false
    for (let bin = Math.floor(at.x / lineBinMm); bin * lineBinMm < at.x + at.dx; bin++) {
      const inBin = Math.min(at.x + at.dx, (bin + 1) * lineBinMm) - Math.max(at.x, bin * lineBinMm)
      line[bin] = (line[bin] ?? 0) + (piece.massKg * inBin) / at.dx
    }
  }
  return line.every((kg, bin) => kg <= most || kg <= (fixedOnly[bin] ?? 0))
}

/** Standing pieces in loading order. Pieces that wait for each other are left out, least volume first. */
function orderable(hold: Hold, loaded: readonly Standing[]): Standing[] {
  const fixed: Loaded[] = (hold.fixed ?? []).map(({ boxes, deck }) =>
    deck === undefined
      ? boxes
      : [...boxes, { x: deck.x, y: deck.y, z: deck.zMm, dx: deck.dx, dy: deck.dy, dz: 0 }],
  )
  let standing = [...loaded]
  for (;;) {
    const n = standing.length
    const { order, stuck } = loadingOrder([...standing.map(({ at }) => [at]), ...fixed])
    if (stuck.length === 0) return order.filter((i) => i < n).map((i) => standing[i] as Standing)
    const candidates = stuck.filter((i) => i < n).map((i) => standing[i] as Standing)
    const least = candidates.sort((a, b) => volumeOf(a.at) - volumeOf(b.at) || a.at.x - b.at.x)[0]
    if (least === undefined) return []
    const gone = new Set<Standing>([least])
    // What stands on a piece goes with it; lower pieces are met first.
    for (const s of [...standing].sort((a, b) => a.at.z - b.at.z)) {
      for (const g of gone) if (standsOn(s.at, g.at)) gone.add(s)
    }
    standing = standing.filter((s) => !gone.has(s))
  }
}

function standsOn(upper: Box, lower: Box): boolean {
  return (
    upper.z === lower.z + lower.dz &&
    upper.x < lower.x + lower.dx &&
    lower.x < upper.x + upper.dx &&
    upper.y < lower.y + lower.dy &&
    lower.y < upper.y + upper.dy
  )
}

function volumeOf(b: Box): number {
  return b.dx * b.dy * b.dz
}

function planOf(
  hold: Hold,
  kinds: readonly Kind[],
  refused: readonly LeftOut[],
  standing: readonly Standing[],
  isBalanced: boolean,
): LoadPlan {
  const stages = stageNumbers(standing.map((s) => s.at))
  const placements: Placement[] = standing.map(({ piece, at }, i) => {
    const stance = stances(piece).find((s) => s.dx === at.dx && s.dy === at.dy && s.dz === at.dz)
    return {
      pieceId: piece.id,
      ...at,
      upright: stance?.upright ?? 'height',
      along: stance?.along ?? 'length',
      stage: stages[i] ?? 1,
    }
  })
  const known = new Set([...placements, ...refused].map((p) => p.pieceId))
  const centre = centreOfGravity(
    hold,
    standing.map(({ piece, at }) => ({ ...at, massKg: piece.massKg })),
  )
  const left = kinds.flatMap((kind) => kind.pieces.filter((piece) => !known.has(piece.id)))
  const usedMm3 = standing.reduce((sum, s) => sum + volumeOf(s.at), 0)
  const leftOut = left
    .sort((a, b) => perM3(a) - perM3(b))
    .map((piece) => ({ pieceId: piece.id, reason: noRoom(hold, piece, usedMm3, centre.massKg) }))
  const offset = centre.massKg === 0 ? 0 : centre.x / hold.lengthMm - 0.5
  const unmet = [
    ...(isBalanced ? [] : [outOfBalance('of the length from the middle', offset, hold.balanceShare)]),
    ...unmetAcrossAndHigh(hold, centre),
  ]
  return {
    holdId: hold.id,
    placements,
    leftOut: [...refused, ...leftOut],
    volumeM3: usedMm3 / 1e9,
    volumeShare: usedMm3 / holdMm3(hold),
    massKg: centre.massKg,
    massShare: hold.payloadKg === Number.POSITIVE_INFINITY ? 0 : centre.massKg / hold.payloadKg,
    centreOfGravity: { x: centre.x, y: centre.y, z: centre.z },
    balanceOffsetShare: offset,
    usedLengthMm: standing.reduce((most, s) => Math.max(most, s.at.x + s.at.dx), 0),
    unmet,
  }
}

function outOfBalance(where: string, offset: number, limit: number): string {
  return `The centre of gravity is ${(offset * 100).toFixed(1)} % ${where}, expected within ${(limit * 100).toFixed(1)} % either way; no arrangement tried puts it right.`
}

function unmetAcrossAndHigh(
  hold: Hold,
  centre: { readonly y: number; readonly z: number; readonly massKg: number },
): readonly string[] {
  const { widthMm, heightMm, balanceAcrossShare, balanceHeightShare } = hold
  if (centre.massKg === 0) return []
  const unmet: string[] = []
  const across = centre.y / widthMm - 0.5
  if (balanceAcrossShare !== undefined && Math.abs(across) > balanceAcrossShare + 1e-9) {
    unmet.push(outOfBalance('of the width from the middle', across, balanceAcrossShare))
  }
  const high = centre.z / heightMm
  if (balanceHeightShare !== undefined && high > balanceHeightShare + 1e-9) {
    unmet.push(
      `The centre of gravity is at ${(high * 100).toFixed(1)} % of the height, expected at most ${(balanceHeightShare * 100).toFixed(1)} %; no arrangement tried puts it right.`,
    )
  }
  return unmet
}

function perM3(piece: Piece): number {
  return pieceValue(piece) / stowedM3(piece)
}

function noRoom(hold: Hold, piece: Piece, usedMm3: number, massKg: number): string {
  const name = piece.label ?? piece.id
  if (massKg + piece.massKg > hold.payloadKg) {
    return `${name} is ${piece.massKg} kg; the load is ${massKg.toFixed(0)} kg already and ${hold.payloadKg} kg is the limit.`
  }
  const free = (holdMm3(hold) - usedMm3) / 1e9
  return `No place left for ${name}, ${stowedM3(piece).toFixed(2)} m³, among the ${free.toFixed(1)} m³ still free, within the rules of support and stacking; it is of the least value per m³ or the hardest to place.`
}
