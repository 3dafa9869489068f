import { centreOfGravity } from './balance.js'
import { massStepKg, type Stance, stances, topLimitKg } from './kinds.js'
import { addToLine, fixedLine, mostInBinKg } from './line-load.js'
import { planOf } from './plan-of.js'
import { StackLoads } from './stack-loads.js'
import { turningLengthMm } from './turning.js'
import type { Box, Hold, LoadPlan, LoadRules, Piece } from './types.js'
import type { Standing } from './unpack.js'

/**
 * A finished plan in which pieces of one outer size have changed places: what is needed first stands nearer to the door, the
 * heavier lower and, of those about as heavy, what bears more. Places stay as they are, and with them the order of loading;
 * what a rule or a wish is against is left: what pieces and decks bear, lifting, turning, mass on a metre, balance, groups
 * that stand together. Mass times height, and so the centre of gravity, is never above that of the plan given.
 *
 * @param pieces all pieces that were to be stowed
 * @param plan a plan that keeps the rules
 */
export function tradePlaces(
  hold: Hold,
  pieces: readonly Piece[],
  plan: LoadPlan,
  rules: LoadRules,
): LoadPlan {
  const byId = new Map(pieces.map((piece) => [piece.id, piece]))
  const standing = plan.placements.flatMap(({ pieceId, x, y, z, dx, dy, dz }): Standing[] => {
    const piece = byId.get(pieceId)
    return piece === undefined ? [] : [{ piece, at: { x, y, z, dx, dy, dz } }]
  })
  const exchange = new Exchange(hold, standing, rules)
  const groups = alike(standing)
  const lower = (): boolean => groups.map((places) => exchange.heavierLower(places)).includes(true)
  const nearer = (): boolean => groups.map((places) => exchange.neededNearer(places)).includes(true)
  // Heavy goods that went down give what is needed first the height it may cost; in the end all is settled once more.
  let traded = false
  while (lower() || nearer()) traded = true
  return traded ? planOf(hold, exchange.standing, plan.leftOut, rules) : plan
}

/** Places whose pieces are of one outer size and kind, where there are two or more, the lowest first. */
function alike(standing: readonly Standing[]): readonly (readonly number[])[] {
  const groups = new Map<string, number[]>()
  standing.forEach(({ piece }, i) => {
    const { lengthMm, widthMm, heightMm, squeezeShare, soft, foldedMm, keepTogether } = piece
    const edges = [lengthMm, widthMm, heightMm].sort((a, b) => a - b)
    const key = JSON.stringify([edges, squeezeShare ?? 0, soft ?? false, foldedMm, keepTogether ?? ''])
    const known = groups.get(key)
    if (known === undefined) groups.set(key, [i])
    else known.push(i)
  })
  const middle = (i: number): number => middleMm((standing[i] as Standing).at)
  return [...groups.values()]
    .filter((places) => places.length > 1)
    .map((places) => places.sort((a, b) => middle(a) - middle(b)))
}

/** Below zero where the first of two pieces belongs lower: by mass in steps, then by what it bears, then by mass. */
function lowerFirst(a: Piece, b: Piece): number {
  const step = (piece: Piece): number => Math.ceil(piece.massKg / massStepKg)
  const [x, y] = [topLimitKg(a), topLimitKg(b)]
  return step(b) - step(a) || (x === y ? 0 : y - x) || b.massKg - a.massKg
}

function middleMm(at: Box): number {
  return at.z + at.dz / 2
}

/** Sum of mass times distance from front wall, left wall and floor, kg mm. */
interface Moments {
  x: number
  y: number
  z: number
}

/** The loads of a plan while pieces change places in it. */
class Exchange {
  private readonly hold: Hold
  private readonly rules: LoadRules
  private readonly who: Piece[]
  private readonly at: readonly Box[]
  private readonly loads: StackLoads
  /** Of each place its row in the loads, and of each row what stands on it. */
  private readonly row: Int32Array
  private readonly on: readonly (readonly number[])[]
  private readonly line: Float64Array
  private readonly mostInBin: Float64Array
  private readonly massKg: number
  private readonly begun: Moments
  private readonly moments: Moments
  /** The load stands off the front wall for the balance: no mass moves towards the door, or it need not. */
  private readonly offWall: boolean
  private readonly stancesOf = new Map<Piece, readonly Stance[]>()

  constructor(hold: Hold, standing: readonly Standing[], rules: LoadRules) {
    this.hold = hold
    this.rules = rules
    this.who = standing.map(({ piece }) => piece)
    this.at = standing.map(({ at }) => at)
    const levelMm = Math.max(1, rules.levelMm ?? 0)
    const decks = (hold.fixed ?? []).flatMap(({ deck }) => (deck === undefined ? [] : [deck]))
    this.loads = new StackLoads(standing.length + decks.length)
    for (const d of decks) this.loads.addSurface(d.x, d.y, d.x + d.dx, d.y + d.dy, d.zMm, d.maxLoadKg)
    this.row = new Int32Array(standing.length)
    const upwards = standing.map((_, i) => i).sort((a, b) => this.box(a).z - this.box(b).z)
    for (const i of upwards) {
      const { x, y, z, dx, dy, dz } = this.box(i)
      const piece = this.piece(i)
      this.row[i] = this.loads.count
      const levelled = Math.ceil(dz / levelMm) * levelMm
      this.loads.put(x, y, z, dx, dy, levelled, 1, piece.massKg, topLimitKg(piece))
    }
    this.on = standingOn(this.loads)
    this.line = fixedLine(hold)
    for (const { piece, at } of standing) addToLine(this.line, at.x, at.dx, piece.massKg)
    const most = mostInBinKg(hold.lineLoadKgPerM)
    this.mostInBin = this.line.map((kg) => Math.max(kg, most) + 1e-9)
    const centre = centreOfGravity(
      hold,
      standing.map(({ piece, at }) => ({ ...at, massKg: piece.massKg })),
    )
    this.massKg = centre.massKg
    this.begun = { x: centre.x * this.massKg, y: centre.y * this.massKg, z: centre.z * this.massKg }
    this.moments = { ...this.begun }
    const begins = Math.min(...this.at.map(({ x }) => x), ...(hold.fixed ?? []).map(({ clear }) => clear.x))
    this.offWall = begins > (rules.frontMm ?? Number.POSITIVE_INFINITY)
  }

  get standing(): readonly Standing[] {
    return this.who.map((piece, i) => ({ piece, at: this.box(i) }))
  }

  /** One round in which heavier pieces take lower places, the lowest first; whether there was an exchange. */
  heavierLower(places: readonly number[]): boolean {
    const high = (i: number): number => middleMm(this.box(i))
    return this.round(places, (low) =>
      places
        .filter((i) => high(i) > high(low) && lowerFirst(this.piece(i), this.piece(low)) < 0)
        .sort((a, b) => lowerFirst(this.piece(a), this.piece(b))),
    )
  }

  /** One round in which what is needed first takes places nearer to the door; whether there was an exchange. */
  neededNearer(places: readonly number[]): boolean {
    const isNeeded = (i: number): boolean => this.piece(i).firstNeeded === true
    const inwards = places.toSorted((a, b) => this.faceMm(a) - this.faceMm(b))
    return this.round(inwards, (far) =>
      isNeeded(far) ? inwards.filter((i) => !isNeeded(i) && this.faceMm(i) > this.faceMm(far)).reverse() : [],
    )
  }

  /** For each place in turn the first of those named for it with which it may exchange; whether any did. */
  private round(places: readonly number[], others: (place: number) => readonly number[]): boolean {
    let traded = false
    for (const place of places) {
      if (others(place).some((other) => this.exchanged(place, other))) traded = true
    }
    return traded
  }

  private exchanged(i: number, j: number): boolean {
    const [p, q] = [this.piece(i), this.piece(j)]
    if (!this.mayTake(i, q) || !this.mayTake(j, p) || !this.keepsDoor(p, i, j)) return false
    if (!this.keepsDoor(q, j, i)) return false
    const towardsDoor = (q.massKg - p.massKg) * (this.faceMm(i) - this.faceMm(j))
    if (this.offWall && towardsDoor > 0) return false
    this.put(i, q)
    this.put(j, p)
    if (this.isSound(i) && this.isSound(j) && this.isBalanced()) return true
    this.put(i, p)
    this.put(j, q)
    return false
  }

  /** Whether a piece may stand in a place, whatever is on it and beneath. */
  private mayTake(i: number, piece: Piece): boolean {
    const { hold, rules } = this
    const at = this.box(i)
    const known = this.stancesOf.get(piece) ?? stances(piece)
    this.stancesOf.set(piece, known)
    const stance = known.find((s) => s.dx === at.dx && s.dy === at.dy && s.heightMm === at.dz)
    if (stance === undefined) return false
    if ((turningLengthMm(hold, piece, stance) ?? Number.POSITIVE_INFINITY) > hold.lengthMm - at.x)
      return false
    if (piece.floorOnly === true && at.z > 0) return false
    const { lift } = rules
    if (lift !== undefined && piece.massKg >= lift.fromKg && at.z > lift.highestMm) return false
    return (hold.fixed ?? []).every(
      ({ deck }) =>
        deck === undefined || piece.massKg <= deck.maxPieceKg || at.z < deck.zMm || !overlaps(at, deck),
    )
  }

  /** What is needed first comes no farther from the door for the sake of what is not. */
  private keepsDoor(piece: Piece, from: number, to: number): boolean {
    const alone = piece.firstNeeded === true && this.piece(to).firstNeeded !== true
    return !alone || this.faceMm(to) >= this.faceMm(from)
  }

  private put(i: number, piece: Piece): void {
    const at = this.box(i)
    const more = piece.massKg - this.piece(i).massKg
    this.who[i] = piece
    this.loads.reweigh(this.row[i] as number, piece.massKg, topLimitKg(piece))
    addToLine(this.line, at.x, at.dx, more)
    this.moments.x += more * (at.x + at.dx / 2)
    this.moments.y += more * (at.y + at.dy / 2)
    this.moments.z += more * middleMm(at)
  }

  /** Whether the stack of a place and the metres under it bear what they now have to. */
  private isSound(i: number): boolean {
    const heavyFromKg = this.rules.heavyFromKg ?? 30
    const row = this.row[i] as number
    const above = this.on[row] ?? []
    const piece = this.piece(i)
    if (topLimitKg(piece) === 0 && above.length > 0) return false
    const { mass } = this.loads
    const tooHeavy = (kg: number): boolean => kg >= heavyFromKg && kg > piece.massKg
    if (above.some((u) => tooHeavy(mass[u] as number))) return false
    return (
      this.loads.bears(row, heavyFromKg) &&
      this.line.every((kg, bin) => kg <= (this.mostInBin[bin] as number))
    )
  }

  /** Within the limits, or no farther outside than the plan was; and no higher. */
  private isBalanced(): boolean {
    const { hold, massKg, begun, moments } = this
    const within = (now: number, before: number, length: number, share: number): boolean => {
      const off = (moment: number): number => Math.abs(moment / massKg / length - 0.5)
      return off(now) <= Math.max(share, off(before)) + 1e-10
    }
    return (
      moments.z <= begun.z + 1e-6 &&
      within(moments.x, begun.x, hold.lengthMm, hold.balanceShare) &&
      within(moments.y, begun.y, hold.widthMm, hold.balanceAcrossShare ?? 1)
    )
  }

  private faceMm(i: number): number {
    const { x, dx } = this.box(i)
    return x + dx
  }

  private box(i: number): Box {
    return this.at[i] as Box
  }

  private piece(i: number): Piece {
    return this.who[i] as Piece
  }
}

function overlaps(
  at: Box,
  deck: { readonly x: number; readonly y: number; readonly dx: number; readonly dy: number },
) {
  return at.x < deck.x + deck.dx && deck.x < at.x + at.dx && at.y < deck.y + deck.dy && deck.y < at.y + at.dy
}

function standingOn({ count, from, by }: StackLoads): readonly (readonly number[])[] {
  const on: number[][] = Array.from({ length: count }, () => [])
  for (let i = 0; i < count; i++) {
    for (let r = from[i] as number; r < (from[i + 1] as number); r++) on[by[r] as number]?.push(i)
  }
  return on
}
