import type { Decimal } from 'decimal.js'
import type { Move, Plan } from '../plan/move.js'
import { exact } from '../quantity/exact.js'
import {
  type LeaveItem,
  type LeaveTable,
  leaveTable,
  planWithout,
  type Remaining,
  savedBesideCarriage,
} from './items.js'
import type { LeastLoss, Leavable } from './least-loss.js'

/** What has to stay behind for everything else to go in one container of a kind. */
export interface LeaveSet {
  /** The container aimed at, by its id and label. */
  readonly transport: string
  readonly label: string
  readonly items: readonly LeaveItem[]
  readonly m3: Decimal
  /** What the move costs less, what sales bring, what replacing costs, and what remains of it. */
  readonly saved: Decimal
  readonly resale: Decimal
  readonly replacement: Decimal
  readonly gain: Decimal
  readonly total: Decimal
  /** How full the container is then, of one. */
  readonly fill: Decimal
}

/** A point of the curve: the best that leaving at least so much comes to. */
export interface CurvePoint {
  readonly m3: Decimal
  readonly saved: Decimal
  readonly gain: Decimal
  readonly count: number
}

/** How often a set is enlarged where whole cartons kept more room than was counted. */
const TRIES = 8
/** Steps of the search from a starting set, and the size up to which lines are exchanged as well. */
const ROUNDS = 60
const MOST_EXCHANGED = 12

/** What may be left: all that need not travel and whose worth is known. */
const leavable = (items: readonly LeaveItem[]): readonly LeaveItem[] =>
  items.filter(({ mustTravel, gain, m3 }) => !mustTravel && gain !== undefined && m3.gte(0))

/** What leaving each thing loses: replacing it, less what selling it brings and what is saved besides carriage. */
const asLeavable = (
  items: readonly LeaveItem[],
  saved: ReadonlyMap<string, Decimal>,
  volumes: ReadonlyMap<string, number>,
): Leavable[] =>
  items.map(({ id, resale, replacement }) => ({
    id,
    m3: volumes.get(id) ?? 0,
    loss: (replacement ?? exact.of(0))
      .minus(resale ?? exact.of(0))
      .minus(saved.get(id) ?? exact.of(0))
      .toNumber(),
  }))

/**
 * Sets that are large enough, from which the search starts: solved without what each line saves, with what it
 * saves beside the set found so, and with what it saves beside nothing. Where whole cartons keep more room than was counted, more is left.
 */
function startingSets(
  table: LeaveTable,
  items: readonly LeaveItem[],
  room: ReadonlyMap<string, number>,
  solve: LeastLoss,
  need: number,
): readonly (readonly string[])[] {
  const lines = items.map(({ id }) => id)
  const enough = (things: readonly Leavable[]): readonly string[] | undefined => {
    for (let attempt = 0; attempt < TRIES; attempt += 1) {
      const set = solve(things, Math.max(0, need) + attempt * attempt * 0.1)
      if (set === undefined) return undefined
      const [after] = table.without([set])
      if (after?.containers.eq(1)) return set
    }
    return undefined
  }
  const first = enough(asLeavable(items, new Map(), room))
  if (first === undefined) return [lines]
  const measured = [first, []].map((left) =>
    enough(asLeavable(items, savedBesideCarriage(table, lines, left), room)),
  )
  return [first, ...measured.flatMap((set) => (set === undefined ? [] : [set]))]
}

/**
 * The best set in reach of some sets, one line left or taken back or exchanged at a time, each planned anew: what whole
 * cartons and crew hours save together is not the sum of what they save one by one.
 */
function improved(
  table: LeaveTable,
  items: readonly LeaveItem[],
  starts: readonly (readonly string[])[],
): readonly string[] | undefined {
  const worth = new Map(
    items.map(({ id, resale, replacement }) => [
      id,
      (resale ?? exact.of(0)).minus(replacement ?? exact.of(0)).toNumber(),
    ]),
  )
  const score = (set: readonly string[], after: Remaining | undefined): number =>
    after?.containers.eq(1)
      ? set.reduce((sum, id) => sum + (worth.get(id) ?? 0), 0) - after.total.toNumber()
      : Number.NEGATIVE_INFINITY
  const bestOf = (sets: readonly (readonly string[])[]) => {
    const after = table.without(sets)
    const scores = sets.map((set, at) => score(set, after[at]))
    const top = scores.indexOf(Math.max(...scores))
    return { set: sets[top], score: scores[top] ?? Number.NEGATIVE_INFINITY }
  }
  const lines = items.map(({ id }) => id)
  let best = bestOf(starts)
  for (let round = 0; round < ROUNDS && best.set !== undefined; round += 1) {
    const { set } = best
    const others = lines.filter((id) => !set.includes(id))
    const near = [
      ...set.map((id) => set.filter((each) => each !== id)),
      ...others.map((id) => [...set, id]),
      ...(set.length <= MOST_EXCHANGED
        ? set.flatMap((out) => others.map((id) => [...set.filter((each) => each !== out), id]))
        : []),
    ]
    const next = bestOf(near)
    if (next.set === undefined || next.score <= best.score + 0.005) break
    best = next
  }
  return best.score === Number.NEGATIVE_INFINITY ? undefined : best.set
}

/**
 * Room that each line takes, m³. One carton less is only saved when the last thing is out of it, so a line that shares
 * cartons counts with its own volume as packed in them.
 */
function roomOf(plan: Plan, items: readonly LeaveItem[]): ReadonlyMap<string, number> {
  const cell = (id: string) => plan.sheet.cells.get(id)?.value.toNumber()
  const fill = plan.inputs.numbers.get('volume.carton-fill')?.likely.toNumber() ?? 1
  return new Map(
    items.map(({ id }) => {
      const packed = cell(`volume.line.${id}.packed`)
      return [id, packed ?? (cell(`volume.line.${id}.net`) ?? 0) / fill]
    }),
  )
}

/**
 * For each container of which everything takes more than one by volume: the set to leave that loses least, so that the rest
 * goes into one of it. Every set is planned anew in full; the gain is what that plan says, not a sum of parts.
 *
 * @returns the greatest gain first; containers are left out that cannot take the vehicles, or that even leaving all
 *   that may stay would not be enough for. By volume: not yet packed piece by piece.
 */
export function leaveSets(
  move: Move,
  plan: Plan,
  items: readonly LeaveItem[],
  solve: LeastLoss,
): readonly LeaveSet[] {
  const may = leavable(items)
  const room = roomOf(plan, may)
  const value = (of: Plan, id: string) => of.sheet.cells.get(id)?.value
  const total = value(plan, 'cost.total') ?? exact.of(0)
  return move.reference.containers
    .flatMap(({ id, label }): LeaveSet[] => {
      const cell = (name: string, of = plan) => value(of, `options.${id}.${name}`)
      const packed = value(plan, 'volume.packed') ?? exact.of(0)
      if (!cell('containers')?.gt(1) || cell('fits')?.lt(1)) return []
      // Beside a vehicle one container is not half of two: its room is read where only one is needed.
      const least = planWithout(
        move,
        plan,
        may.map((item) => item.id),
        id,
      )
      const space = cell('usable-m3', least)
      if (!space || !cell('containers', least)?.eq(1)) return []
      const need = packed.minus(space).toNumber()
      const table = leaveTable(move, planWithout(move, plan, [], id), id)
      const starts = startingSets(table, may, room, solve, need)
      const best = improved(table, may, starts)
      if (best === undefined) return []
      const after = planWithout(move, plan, best, id)
      if (cell('fits', after)?.lt(1) || cell('mass-share', after)?.gt(1)) return []
      return [
        setOf(
          id,
          label,
          may.filter((item) => best.includes(item.id)),
          total,
          after,
        ),
      ]
    })
    .sort((a, b) => b.gain.cmp(a.gain))
}

function setOf(
  transport: string,
  label: string,
  items: readonly LeaveItem[],
  before: Decimal,
  after: Plan,
): LeaveSet {
  const of = (id: string) => after.sheet.cells.get(id)?.value ?? exact.of(0)
  const total = of('cost.total')
  const resale = exact.sum(items.map((item) => item.resale ?? exact.of(0)))
  const replacement = exact.sum(items.map((item) => item.replacement ?? exact.of(0)))
  const saved = before.minus(total)
  return {
    transport,
    label,
    items,
    m3: exact.sum(items.map(({ m3 }) => m3)),
    saved,
    resale,
    replacement,
    gain: saved.plus(resale).minus(replacement),
    total,
    fill: of(`options.${transport}.fill`),
  }
}

/** What leaving more and more comes to, from nothing to all that may stay, the plan made anew at each point. */
export function leaveCurve(
  move: Move,
  plan: Plan,
  items: readonly LeaveItem[],
  solve: LeastLoss,
  points: number,
): readonly CurvePoint[] {
  const may = leavable(items)
  const way = plan.sheet.choices.get('transport') ?? ''
  const room = roomOf(plan, may)
  const table = leaveTable(move, planWithout(move, plan, [], way), way)
  const lines = may.map(({ id }) => id)
  const things = asLeavable(may, savedBesideCarriage(table, lines, []), room)
  const all = things.reduce((sum, { m3 }) => sum + m3, 0)
  const sets = Array.from({ length: points + 1 }, (_, at) => {
    // Rounding down keeps the last point from asking for more than there is.
    const ids = at === 0 ? [] : solve(things, Math.floor(((all * at) / points) * 1e5) / 1e5)
    return may.filter(({ id }) => ids?.includes(id))
  })
  const chosen = sets.filter((set, at) => at === 0 || set.length !== sets[at - 1]?.length)
  const open = leaveTable(move, plan)
  const after = open.without(chosen.map((set) => set.map(({ id }) => id)))
  return chosen.map((set, at) => {
    const saved = open.whole.total.minus(after[at]?.total ?? open.whole.total)
    const money = exact.sum(
      set.map(({ resale, replacement }) => (resale ?? exact.of(0)).minus(replacement ?? exact.of(0))),
    )
    return {
      m3: open.whole.packedM3.minus(after[at]?.packedM3 ?? open.whole.packedM3),
      saved,
      gain: saved.plus(money),
      count: set.length,
    }
  })
}
