import { balanced, balancedAcross, centreOfGravity, type Weighed } from './balance.js'
import type { Kind } from './kinds.js'
import { addToLine, fixedLine, mostInBinKg } from './line-load.js'
import { type Loaded, loadingOrder } from './order.js'
import { pieceValue, planOf, withoutRoom } from './plan-of.js'
import type { Box, Hold, LeftOut, LoadPlan, LoadRules, Piece } from './types.js'
import type { Standing } from './unpack.js'

/**
 * The plan of a load that was found: pieces in an order in which they can be loaded, the load mirrored and moved until it
 * is balanced; as a last resort pieces are taken out again, and the plan says so.
 *
 * @param refused pieces that cannot go into the hold at all
 * @param loaded where the search put the others
 */
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
  const { standing, taken } = lengthwise(hold, inOrder, levelMm, rules.frontMm ?? 0, seed)
  const out = [...refused, ...taken]
  return planOf(hold, standing, [...out, ...withoutRoom(hold, kinds, out, standing)], rules)
}

/** The load inside the limit along the hold, if there is a way, and what had to be taken out for it. */
function lengthwise(
  hold: Hold,
  inOrder: readonly Standing[],
  levelMm: number,
  frontMm: number,
  seed: number,
): { readonly standing: readonly Standing[]; readonly taken: readonly LeftOut[] } {
  const boxes: Weighed[] = inOrder.map(({ piece, at }) => ({ ...at, massKg: piece.massKg }))
  const offset = centreOfGravity(hold, boxes).x / hold.lengthMm - 0.5
  if (Math.abs(offset) <= hold.balanceShare) return { standing: inOrder, taken: [] }
  const accept = (xs: readonly number[]): boolean => {
    const moved = moveTo(inOrder, xs)
    return mayMove(hold, moved) && orderable(hold, moved, levelMm).length === moved.length
  }
  const xs = balanced(hold, boxes, seed, frontMm, accept)
  if (xs !== undefined) return { standing: orderable(hold, moveTo(inOrder, xs), levelMm), taken: [] }
  const trimmed = trimToBalance(hold, inOrder, levelMm)
  if (trimmed === undefined) return { standing: inOrder, taken: [] }
  const kept = new Set(trimmed)
  const taken = inOrder.filter((s) => !kept.has(s)).map(({ piece }) => forBalance(hold, piece))
  return { standing: trimmed, taken }
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

function moveTo(standing: readonly Standing[], xs: readonly number[]): Standing[] {
  return standing.map(({ piece, at }, i) => ({ piece, at: { ...at, x: xs[i] ?? at.x } }))
}

// Doors and mass per metre depend on where along the hold a piece stands; all else moves with its section.
function mayMove(hold: Hold, moved: readonly Standing[]): boolean {
  const line = fixedLine(hold)
  const most = mostInBinKg(hold.lineLoadKgPerM)
  const fixedOnly = Float64Array.from(line)
  for (const { piece, at } of moved) {
    if (at.z + at.dz > hold.doorHeightMm && hold.lengthMm - at.x - at.dx < at.dx) return false
    addToLine(line, at.x, at.dx, piece.massKg)
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
