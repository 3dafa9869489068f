import { balanced, balancedAcross, centreOfGravity, type Weighed } from './balance.js'
import { type Kind, stances, stowedM3 } from './kinds.js'
import { fixedLine, lineBinMm, type SearchModel } from './model.js'
import { type Loaded, loadingOrder } from './order.js'
import { reachesMm } from './reach.js'
import { stageNumbers } from './stages.js'
import type { State } from './state.js'
import { tipping } from './steady.js'
import {
  type Box,
  type Hold,
  holdMm3,
  type LeftOut,
  type LoadPlan,
  type LoadRules,
  type Piece,
  type Placement,
} from './types.js'

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

export function finish(
  hold: Hold,
  kinds: readonly Kind[],
  refused: readonly LeftOut[],
  loaded: readonly Standing[],
  rules: LoadRules,
  seed: number,
): LoadPlan {
  const levelMm = rules.levelMm ?? 0
  const inOrder = mirrored(hold, orderable(hold, loaded, levelMm), levelMm)
  const boxes: Weighed[] = inOrder.map(({ piece, at }) => ({ ...at, massKg: piece.massKg }))
  const offset = centreOfGravity(hold, boxes).x / hold.lengthMm - 0.5
  let standing = inOrder
  let isBalanced = Math.abs(offset) <= hold.balanceShare
  if (!isBalanced) {
    const accept = (xs: readonly number[]): boolean => {
      const moved = moveTo(inOrder, xs)
      return mayMove(hold, moved) && orderable(hold, moved, levelMm).length === moved.length
    }
    const xs = balanced(hold, boxes, seed, rules.frontMm ?? 0, accept)
    if (xs !== undefined) {
      standing = orderable(hold, moveTo(inOrder, xs), levelMm)
      isBalanced = true
    }
  }
  if (!isBalanced) {
    const trimmed = trimToBalance(hold, inOrder, levelMm)
    if (trimmed !== undefined) {
      const kept = new Set(trimmed)
      const taken = inOrder.filter((s) => !kept.has(s)).map(({ piece }) => forBalance(hold, piece))
      return planOf(hold, kinds, [...refused, ...taken], trimmed, true, rules)
    }
  }
  return planOf(hold, kinds, refused, standing, isBalanced, rules)
}

// Left and right are alike to every rule but the balance.
function mirrored(hold: Hold, standing: readonly Standing[], levelMm: number): Standing[] {
  const { balanceAcrossShare } = hold
  const boxes: Weighed[] = standing.map(({ piece, at }) => ({ ...at, massKg: piece.massKg }))
  const offset = centreOfGravity(hold, boxes).y / hold.widthMm - 0.5
  if (balanceAcrossShare === undefined || Math.abs(offset) <= balanceAcrossShare) return [...standing]
  const ys = balancedAcross(hold, boxes)
  return orderable(
    hold,
    standing.map(({ piece, at }, i) => ({ piece, at: { ...at, y: ys[i] ?? at.y } })),
    levelMm,
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
function trimToBalance(hold: Hold, inOrder: readonly Standing[], levelMm: number): Standing[] | undefined {
  let standing = [...inOrder]
  while (standing.length > 0) {
    const centre = centreOfGravity(
      hold,
      standing.map(({ piece, at }) => ({ ...at, massKg: piece.massKg })),
    )
    const offset = centre.x - hold.lengthMm / 2
    if (Math.abs(offset) <= hold.lengthMm * hold.balanceShare) return standing
    const bare = standing.filter((s) => !standing.some((o) => standsOn(o.at, s.at, levelMm)))
    const gain = ({ piece, at }: Standing): number =>
      (Math.sign(offset) * piece.massKg * (at.x + at.dx / 2 - centre.x)) / (pieceValue(piece) + 1e-6)
    const worst = bare.sort((a, b) => gain(b) - gain(a))[0]
    if (worst === undefined || gain(worst) <= 0) return undefined
    standing = standing.filter((s) => s !== worst)
  }
  return undefined
}

export function pieceValue(piece: Piece): number {
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
function orderable(hold: Hold, loaded: readonly Standing[], levelMm: number): Standing[] {
  const fixed: Loaded[] = (hold.fixed ?? []).map(({ boxes, deck }) =>
    deck === undefined
      ? boxes
      : [...boxes, { x: deck.x, y: deck.y, z: deck.zMm, dx: deck.dx, dy: deck.dy, dz: 0 }],
  )
  let standing = [...loaded]
  for (;;) {
    const n = standing.length
    const { order, stuck } = loadingOrder([...standing.map(({ at }) => [at]), ...fixed], levelMm)
    if (stuck.length === 0) return order.filter((i) => i < n).map((i) => standing[i] as Standing)
    const candidates = stuck.filter((i) => i < n).map((i) => standing[i] as Standing)
    const least = candidates.sort((a, b) => volumeOf(a.at) - volumeOf(b.at) || a.at.x - b.at.x)[0]
    if (least === undefined) return []
    const gone = new Set<Standing>([least])
    // What stands on a piece goes with it; lower pieces are met first.
    for (const s of [...standing].sort((a, b) => a.at.z - b.at.z)) {
      for (const g of gone) if (standsOn(s.at, g.at, levelMm)) gone.add(s)
    }
    standing = standing.filter((s) => !gone.has(s))
  }
}

function standsOn(upper: Box, lower: Box, levelMm: number): boolean {
  const gap = upper.z - lower.z - lower.dz
  return (
    gap >= 0 &&
    gap <= Math.max(0, levelMm - 1) &&
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
  rules: LoadRules,
): LoadPlan {
  const stages = stageNumbers(standing.map((s) => s.at))
  const placements: Placement[] = standing.map(({ piece, at }, i) => {
    const stance = stances(piece).find((s) => s.dx === at.dx && s.dy === at.dy && s.heightMm === at.dz)
    return {
      pieceId: piece.id,
      ...at,
      upright: stance?.upright ?? 'height',
      along: stance?.along ?? 'length',
      ...(stance === undefined || stance.folded === 0 ? {} : { folded: stance.folded }),
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
    ...(rules.slender === undefined ? {} : { tied: tipping(hold, standing, rules.slender) }),
    ...handedOn(hold, standing, rules),
    ...notesOf(hold, standing, centre, rules),
  }
}

/** Which pieces are farther from where a person can stand than the rules let an arm reach. */
function handedOn(
  hold: Hold,
  standing: readonly Standing[],
  { reachMm }: LoadRules,
): Pick<LoadPlan, 'handedOn'> {
  if (reachMm === undefined) return {}
  const reaches = reachesMm(
    hold,
    standing.map(({ at }) => at),
  )
  return { handedOn: standing.flatMap(({ piece }, i) => ((reaches[i] ?? 0) > reachMm ? [piece.id] : [])) }
}

/** Where a load does not begin at the front wall, that it is the balance that asks for it. */
function notesOf(
  hold: Hold,
  standing: readonly Standing[],
  centre: { readonly x: number; readonly massKg: number },
  { frontMm }: LoadRules,
): Pick<LoadPlan, 'notes'> {
  const begins = standing.reduce((least, { at }) => Math.min(least, at.x), Number.POSITIVE_INFINITY)
  const block = Math.min(...(hold.fixed ?? []).map(({ clear }) => clear.x))
  if (frontMm === undefined || begins === Number.POSITIVE_INFINITY || Math.min(begins, block) <= frontMm)
    return {}
  // Only what stands before a vehicle could be pushed up.
  const movesKg = standing.reduce((sum, { piece, at }) => (at.x < block ? sum + piece.massKg : sum), 0)
  const tight = (centre.x - (begins * movesKg) / centre.massKg) / hold.lengthMm - 0.5
  const offset = `${Math.abs(tight * 100).toFixed(1)} % of the length towards the ${tight < 0 ? 'front' : 'door'}`
  return {
    notes: [
      `The load begins ${(begins / 1000).toFixed(2)} m behind the front wall: against it the centre of gravity would lie ${offset}, and ${(hold.balanceShare * 100).toFixed(0)} % is the limit. Brace the gap.`,
    ],
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
