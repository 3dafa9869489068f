import { centreOfGravity } from './balance.js'
import { type Kind, stances, stowedM3 } from './kinds.js'
import { reachesMm } from './reach.js'
import { stageNumbers } from './stages.js'
import { tipping } from './steady.js'
import {
  type Hold,
  holdMm3,
  type LeftOut,
  type LoadPlan,
  type LoadRules,
  type Piece,
  type Placement,
} from './types.js'
import type { Standing } from './unpack.js'

/** Beyond a limit of balance by more than what rounding does. */
const roundingShare = 1e-9

/**
 * The plan of pieces that stand: stages, mass and balance, what is tied and handed on, and which limits are not kept.
 *
 * @param standing in loading order
 */
export function planOf(
  hold: Hold,
  standing: readonly Standing[],
  leftOut: readonly LeftOut[],
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
  const centre = centreOfGravity(
    hold,
    standing.map(({ piece, at }) => ({ ...at, massKg: piece.massKg })),
  )
  const usedMm3 = usedBy(standing)
  const offset = centre.massKg === 0 ? 0 : centre.x / hold.lengthMm - 0.5
  return {
    holdId: hold.id,
    placements,
    leftOut,
    volumeM3: usedMm3 / 1e9,
    volumeShare: usedMm3 / holdMm3(hold),
    massKg: centre.massKg,
    massShare: hold.payloadKg === Number.POSITIVE_INFINITY ? 0 : centre.massKg / hold.payloadKg,
    centreOfGravity: { x: centre.x, y: centre.y, z: centre.z },
    balanceOffsetShare: offset,
    usedLengthMm: standing.reduce((most, s) => Math.max(most, s.at.x + s.at.dx), 0),
    unmet: unmetBalance(hold, centre),
    ...(rules.slender === undefined ? {} : { tied: tipping(hold, standing, rules.slender) }),
    ...handedOn(hold, standing, rules),
    ...notesOf(hold, standing, centre, rules),
  }
}

/** What stays out for want of room, the most valuable per m³ last, each with the reason. */
export function withoutRoom(
  hold: Hold,
  kinds: readonly Kind[],
  refused: readonly LeftOut[],
  standing: readonly Standing[],
): LeftOut[] {
  const known = new Set([...standing.map(({ piece }) => piece.id), ...refused.map((p) => p.pieceId)])
  const usedMm3 = usedBy(standing)
  const massKg = centreOfGravity(
    hold,
    standing.map(({ piece, at }) => ({ ...at, massKg: piece.massKg })),
  ).massKg
  return kinds
    .flatMap((kind) => kind.pieces.filter((piece) => !known.has(piece.id)))
    .sort((a, b) => perM3(a) - perM3(b))
    .map((piece) => ({ pieceId: piece.id, reason: noRoom(hold, piece, usedMm3, massKg) }))
}

/** What leaving a piece behind costs: its value, or its room. */
export function pieceValue(piece: Piece): number {
  return piece.value ?? stowedM3(piece)
}

function usedBy(standing: readonly Standing[]): number {
  return standing.reduce((sum, { at }) => sum + at.dx * at.dy * at.dz, 0)
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

function unmetBalance(
  hold: Hold,
  centre: { readonly x: number; readonly y: number; readonly z: number; readonly massKg: number },
): readonly string[] {
  const { lengthMm, widthMm, heightMm, balanceShare, balanceAcrossShare, balanceHeightShare } = hold
  if (centre.massKg === 0) return []
  const unmet: string[] = []
  const along = centre.x / lengthMm - 0.5
  if (Math.abs(along) > balanceShare + roundingShare) {
    unmet.push(outOfBalance('of the length from the middle', along, balanceShare))
  }
  const across = centre.y / widthMm - 0.5
  if (balanceAcrossShare !== undefined && Math.abs(across) > balanceAcrossShare + roundingShare) {
    unmet.push(outOfBalance('of the width from the middle', across, balanceAcrossShare))
  }
  const high = centre.z / heightMm
  if (balanceHeightShare !== undefined && high > balanceHeightShare + roundingShare) {
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
