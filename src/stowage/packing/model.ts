import { centreOfGravity } from './balance.js'
import { type Blocks, blocks } from './blocks.js'
import type { Kind } from './kinds.js'
import { fixedLine } from './line-load.js'
import type { Hold, LoadRules } from './types.js'

/** Everything the search may not change while it runs. */
export interface SearchModel {
  readonly lengthMm: number
  readonly widthMm: number
  readonly heightMm: number
  readonly kinds: readonly Kind[]
  readonly blocks: Blocks
  /** Height up to which goods may be stowed, mm: the roof, or lower. */
  readonly ceilingMm: number
  /** Free spaces at the start: the floor and decks, as rows of six numbers. */
  readonly startSpaces: readonly number[]
  /** Decks as x0, y0, x1, y1, top, limit kg, heaviest piece kg. */
  readonly decks: readonly (readonly number[])[]
  /** Whether mass, stack limits, doors and decks matter at all. */
  readonly limited: boolean
  readonly payloadKg: number
  readonly fixedKg: number
  /** Sum of mass times distance from the front wall of fixed blocks, kg mm. */
  readonly fixedMoment: number
  readonly balanceShare: number
  /** Infinite where nobody asks for balance across. */
  readonly balanceAcrossShare: number
  /** Sum of mass times distance from mid-width of fixed blocks, to the right above zero, kg mm. */
  readonly fixedAcrossMoment: number
  readonly lineLoadKgPerM: number
  /** Mass per bin of `lineBinMm` that fixed blocks put on the floor. */
  readonly fixedLineKg: Float64Array
  readonly doorHeightMm: number
  readonly heavyFromKg: number
  /** Share of each base that must rest on something, for hard and for soft pieces. */
  readonly supportShare: number
  readonly softSupportShare: number
  /** Pieces may hang in the air: a share of 0, for test problems. */
  readonly floats: boolean
  /** How far goods may hang over what carries them, mm; 0 with full support. */
  readonly overhangMm: number
  /** A piece of `liftFromKg` or more has its base no higher than `liftHighestMm`. */
  readonly liftFromKg: number
  readonly liftHighestMm: number
  /** Fill from the front wall towards the door rather than from all four corners. */
  readonly frontFirst: boolean
  readonly mergeTops: boolean
  readonly sidesPower: number
}

const outOfReachMm = 1 << 30

/** Edge of a usual piece, mm: with it the share of a base that may hang over becomes a length. */
const usualEdgeMm = 600

/** Sections are mirrored at the end: up to this multiple of the limit across, a load that leans is none the worse. */
const mirrorsAway = 3

/** The search's view of a hold and its kinds, under a ceiling that may be lower than the roof. */
export function searchModel(
  hold: Hold,
  kinds: readonly Kind[],
  rules: LoadRules,
  way: { readonly from: 'front' | 'corners'; readonly ceilingMm: number; readonly densityPower: number },
): SearchModel {
  const { from, ceilingMm, densityPower } = way
  const heavyFromKg = rules.heavyFromKg ?? 30
  const fixed = hold.fixed ?? []
  const supportShare = rules.supportShare ?? 1
  const floats = supportShare === 0
  const limited =
    fixed.length > 0 ||
    (supportShare < 1 && !floats) ||
    hold.doorHeightMm < ceilingMm ||
    hold.payloadKg !== Number.POSITIVE_INFINITY ||
    kinds.some(
      (k) =>
        k.limitKg !== Number.POSITIVE_INFINITY ||
        k.floorOnly ||
        k.massKg >= Math.min(heavyFromKg, rules.lift?.fromKg ?? heavyFromKg),
    )
  const wishes = kinds.some((k) => k.firstNeeded || k.group !== '')
  const decks = fixed.map(({ clear, deck }) => {
    // Without a deck the clear floor is a surface out of reach, so that nothing hangs over it.
    const { x, y, dx, dy } = deck ?? clear
    const [topMm, mostKg, pieceKg] = [deck?.zMm ?? outOfReachMm, deck?.maxLoadKg ?? 0, deck?.maxPieceKg ?? 0]
    return [x, y, x + dx, y + dy, topMm, mostKg, pieceKg]
  })
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
    ceilingMm,
    startSpaces: startSpaces(hold, ceilingMm),
    decks,
    limited,
    payloadKg: hold.payloadKg,
    fixedKg: fixedOnly.massKg,
    fixedMoment: fixedOnly.massKg * fixedOnly.x,
    balanceShare: hold.balanceShare,
    balanceAcrossShare: (hold.balanceAcrossShare ?? Number.POSITIVE_INFINITY) * mirrorsAway,
    fixedAcrossMoment: fixedOnly.massKg * (fixedOnly.y - hold.widthMm / 2),
    lineLoadKgPerM: hold.lineLoadKgPerM,
    fixedLineKg: fixedLine(hold),
    doorHeightMm: hold.doorHeightMm,
    heavyFromKg,
    supportShare,
    softSupportShare: Math.min(supportShare, rules.softSupportShare ?? supportShare),
    floats,
    overhangMm: Math.round((1 - supportShare) * usualEdgeMm),
    liftFromKg: rules.lift?.fromKg ?? Number.POSITIVE_INFINITY,
    liftHighestMm: rules.lift?.highestMm ?? Number.POSITIVE_INFINITY,
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
