import type { Decimal } from 'decimal.js'
import type { Change } from '../plan/inputs.js'
import { type Move, type Plan, planOf, scenariosOf } from '../plan/move.js'
import { Refusal } from '../plan/refusal.js'
import { packVerdict, type VerdictQuestion, verdictKey } from '../stowage/plan/index.js'
import { clearanceOf, holdsOf } from './hold-of.js'
import { loadOf, stowageFigures } from './pieces-of.js'

/** What packing one household into one container came to. Plain data, to be kept by the content of the question. */
export interface PackedRoom {
  readonly complete: boolean
  /** Of the room that all pieces take, the share that went in. */
  readonly aboardShare: number
  /** How many pieces stay out; not known of what an older edition packed. */
  readonly out?: number | undefined
}

/** What is known of packed containers, by `verdictKey`. */
export type PackedRooms = Map<string, PackedRoom>

/**
 * Blocks moved into place before a container counts as too small, some six seconds of one core: the first demo
 * household's 45-foot container takes everything within 120,000 and not within 20,000.
 */
const WORK = 120_000

/** Above this multiple of the usable volume there is no point in trying to pack a container. */
const HOPELESS = 1.25

/**
 * The household's scenarios planned with what packing found: whether everything goes in is asked of the packer for the
 * carriage that a scenario takes, and for smaller containers that fail by volume only just; then the plan is made
 * again, until the carriage taken has been packed. What was found is part of `plan.changes`, so that a what-if on top
 * of the plan keeps it: packing belongs to the household's files, not to every change tried on them.
 *
 * @param rooms what is known already; what is found is added
 * @param set changes on top of every scenario, made after packing
 * @param tell told before each container that is packed, because it may take seconds
 *
 * Throws a Refusal where a change does not fit.
 */
export function planPacked(
  move: Move,
  rooms: PackedRooms,
  set: readonly Change[] = [],
  tell: (text: string) => void = () => {},
): readonly Plan[] {
  return scenariosOf(move).map(({ name, changes }) => {
    const { found, plan } = packedPlan(move, name, changes, rooms, tell)
    return set.length === 0 ? plan : planned(move, name, [...changes, ...found, ...set])
  })
}

/**
 * What packing finds for one scenario of a household, as changes that go before whatever is tried on top of it, and
 * the plan that comes of them.
 */
export function packedPlan(
  move: Move,
  name: string,
  changes: readonly Change[],
  rooms: PackedRooms,
  tell: (text: string) => void,
): { readonly found: readonly Change[]; readonly plan: Plan } {
  let found: readonly Change[] = []
  const asked = new Set<string>()
  for (;;) {
    const plan = planned(move, name, [...changes, ...found])
    const open = toBeAsked(move, plan).filter((container) => !asked.has(container))
    if (open.length === 0) return { found, plan }
    for (const container of open) {
      asked.add(container)
      const room = roomOf(move, plan, container, rooms, tell)
      found = [...found, ...roomChanges(plan, container, room)]
      // A smaller one that takes everything is probably taken, and then nobody asks about the larger.
      if (room.complete) break
    }
  }
}

/**
 * The containers that the packer will be asked about first for a scenario, by the key of what is not known yet: for
 * whoever can have several packed at once. Fewer may be needed in the end.
 */
export function firstContainers(
  move: Move,
  name: string,
  changes: readonly Change[],
  rooms: PackedRooms,
): ReadonlyMap<string, string> {
  const plan = planned(move, name, changes)
  const keys = toBeAsked(move, plan).map(
    (container) => [verdictKey(questionOf(move, plan, container)), container] as const,
  )
  return new Map(keys.filter(([key]) => !rooms.has(key)))
}

/**
 * Whether everything of a plan goes into one container of a kind, packed piece by piece: by the same work as the
 * containers of the scenarios, so that planning with the same changes later finds the answer kept.
 *
 * @param rooms what is known already; what is found is added
 */
export function packedInto(
  move: Move,
  plan: Plan,
  container: string,
  rooms: PackedRooms,
  tell: (text: string) => void = () => {},
): { readonly complete: boolean; readonly out: number } {
  const key = verdictKey(questionOf(move, plan, container))
  const known = rooms.get(key)
  if (known && !known.complete && known.out === undefined) rooms.delete(key)
  const { complete, out = 0 } = roomOf(move, plan, container, rooms, tell)
  return { complete, out }
}

/** One container of a scenario, packed. */
export const packedRoom = (
  move: Move,
  name: string,
  changes: readonly Change[],
  container: string,
): PackedRoom => answered(questionOf(move, planned(move, name, changes), container))

function answered(question: VerdictQuestion): PackedRoom {
  const { complete, aboardPackedM3, allPackedM3, leftOut } = packVerdict(question)
  return {
    complete,
    aboardShare: allPackedM3 === 0 ? 1 : aboardPackedM3 / allPackedM3,
    out: leftOut.length,
  }
}

/** The containers on which the plan hangs: the smaller ones that only just fail by volume, then the one taken. */
function toBeAsked(move: Move, plan: Plan): string[] {
  const taken = plan.sheet.choices.get('transport')?.split('+')[0] ?? ''
  const cell = (id: string): Decimal | undefined => plan.sheet.cells.get(id)?.value
  const nominal = (id: string) => cell(`options.${id}.nominal-m3`)?.div(cell(`options.${id}.containers`) ?? 1)
  const own = nominal(taken)
  if (own === undefined) return []
  const stated = plan.inputs.choices.get('transport')?.value !== 'cheapest'
  const smaller = move.reference.containers.filter(({ id }) => {
    const room = nominal(id)
    const usable = cell(`options.${id}.first-m3`)
    const fits = cell(`options.${id}.fits`)?.gte(1)
    const packed = cell('volume.packed')
    return (
      !stated &&
      fits &&
      room?.lt(own) &&
      usable?.gt(0) &&
      packed?.gt(usable) &&
      packed.lte(usable.times(HOPELESS))
    )
  })
  return [...smaller.map(({ id }) => id), taken]
}

function roomOf(
  move: Move,
  plan: Plan,
  container: string,
  rooms: PackedRooms,
  tell: (text: string) => void,
): PackedRoom {
  const question = questionOf(move, plan, container)
  const key = verdictKey(question)
  const known = rooms.get(key)
  if (known) return known
  const label = move.reference.containers.find(({ id }) => id === container)?.label ?? container
  tell(`Packing the ${label} piece by piece for “${plan.name}” (kept for next time) ...`)
  const room = answered(question)
  rooms.set(key, room)
  return room
}

/** What the packer is asked about a plan and a container. Throws one sentence where the container is not known. */
export function questionOf(move: Move, plan: Plan, container: string): VerdictQuestion {
  const { pieces, vehicles } = loadOf(move, plan)
  const [hold] = holdsOf(move, plan, [container])
  if (!hold) throw new Error(`no container "${container}"`)
  return {
    pieces,
    vehicles,
    clearance: clearanceOf(move, plan),
    hold,
    figures: stowageFigures(move),
    work: WORK,
  }
}

/** What packing found, as inputs of the plan. */
function roomChanges(plan: Plan, container: string, { complete, aboardShare }: PackedRoom): Change[] {
  const packed = plan.sheet.cells.get('volume.packed')?.value.toNumber() ?? 0
  const place = { file: 'packing', line: 1 }
  return [
    { id: `packed.${container}`, value: complete ? 'everything' : 'not everything', place },
    // Rounded up where everything went in, down where not: the volume itself must stay on its side.
    {
      id: `packed.${container}.m3`,
      value: String((complete ? Math.ceil : Math.floor)(packed * aboardShare * 1e4) / 1e4),
      place,
    },
  ]
}

function planned(move: Move, name: string, changes: readonly Change[]): Plan {
  const plan = planOf(move, name, changes)
  if (plan.ok) return plan.value
  throw new Refusal(plan.problems)
}
