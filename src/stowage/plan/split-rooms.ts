import { type Hold, stowedM3 } from '../packing/index.js'
import type { LoadPiece } from '../pieces/index.js'
import { type ContainerPlan, type ContainerSearch, packContainer } from './pack-container.js'
import type { Candidate } from './smallest.js'

/** A first container and what is left for another one or a share of one. */
export interface Split<H extends Hold = Hold> {
  readonly first: ContainerPlan<H>
  readonly rest: readonly LoadPiece[]
}

/** What a split may cost and how it is looked for. */
export interface SplitLimits {
  /** Most room that the rest may take, m³: what has been found to go elsewhere, or is paid for in any case. */
  readonly restM3: number
  /** Whether the rest goes into what is booked for it. */
  readonly takesRest: (rest: readonly LoadPiece[]) => boolean
  /** Splits that are packed at most, each with the work of the search. */
  readonly tries: number
}

/** Rooms that are told apart when rooms are put together: beyond that the smallest count as one. */
const mostRooms = 10

/** A piece that may go in the rest counts this much of its room to the search for the first container. */
const lessWanted = 0.4

/** Names of the rooms of which a part goes in the first container and a part elsewhere. */
export function tornRooms(pieces: readonly LoadPiece[], rest: readonly LoadPiece[]): readonly string[] {
  const out = new Set(rest.map(({ id }) => id))
  const rooms = new Set(rest.map(({ room }) => room))
  return [...rooms].filter((room) => pieces.some((p) => p.room === room && !out.has(p.id)))
}

/**
 * Chooses what of a household stays out of a container that does not take everything: whole rooms first, then one room
 * in part; among like splits what leaves fewer pieces needed first to the other consignment, then the fewer pieces.
 * Never a split that takes more room elsewhere than the limits say.
 *
 * @param found the fullest plan of the container, whatever it leaves
 * @returns the best split found; the one given where none is better
 */
export function keepRooms<H extends Hold>(
  candidate: Candidate<H>,
  pieces: readonly LoadPiece[],
  found: ContainerPlan<H>,
  limits: SplitLimits,
  search: ContainerSearch,
): Split<H> {
  const restOf = ({ plan }: ContainerPlan<H>, of: readonly LoadPiece[]): LoadPiece[] => {
    const out = new Set(plan.leftOut.map(({ pieceId }) => pieceId))
    return of.filter(({ id }) => out.has(id))
  }
  let best: Split<H> = { first: found, rest: restOf(found, pieces) }
  const leastM3 = m3Of(best.rest)
  let tries = 0
  for (const { whole, part } of proposals(pieces, leastM3, limits.restM3)) {
    const wouldTear = part === undefined ? 0 : 1
    // Proposals come in the order of the rooms that they tear.
    if (tries === limits.tries || tornRooms(pieces, best.rest).length < wouldTear) break
    if (search.stop?.() === true) break
    tries++
    const aside = pieces.filter(({ room }) => whole.has(room))
    const rest = pieces.filter(({ room }) => !whole.has(room))
    const weight = (p: LoadPiece): number =>
      p.room === part ? (p.firstNeeded === true ? 0.7 : lessWanted) : 1
    const first = packContainer(candidate.hold, candidate.stands, rest, { ...search, weight })
    if (first === undefined) continue
    const split = { first, rest: [...aside, ...restOf(first, rest)] }
    if (m3Of(split.rest) > limits.restM3 + 1e-9 || !isBetter(pieces, split, best)) continue
    if (limits.takesRest(split.rest)) best = split
    if (tornRooms(pieces, best.rest).length === 0) break
  }
  return best
}

function isBetter<H extends Hold>(pieces: readonly LoadPiece[], a: Split<H>, b: Split<H>): boolean {
  const rank = ({ rest }: Split<H>): readonly number[] => [
    tornRooms(pieces, rest).length,
    rest.filter((p) => p.firstNeeded === true).length,
    rest.length,
  ]
  const [x, y] = [rank(a), rank(b)]
  const at = x.findIndex((n, i) => n !== y[i])
  return at >= 0 && (x[at] as number) < (y[at] as number)
}

interface Proposal {
  readonly whole: ReadonlySet<string>
  /** A room of which as much goes in as there is room. */
  readonly part?: string
}

/**
 * Sets of rooms to hold back: first those that alone free enough, nearest to what is needed, then those that do so with
 * a part of one room more, the fewest needed-first pieces in that room first.
 */
function proposals(pieces: readonly LoadPiece[], leastM3: number, mostM3: number): readonly Proposal[] {
  const rooms = roomsOf(pieces)
  const sets = Array.from({ length: 2 ** rooms.length - 1 }, (_, bits) => {
    const chosen = rooms.filter((__, i) => (bits & (1 << i)) !== 0)
    const sum = (of: (room: Room) => number): number => chosen.reduce((all, room) => all + of(room), 0)
    return { chosen, m3: sum((room) => room.m3), first: sum((room) => room.first) }
  })
  const named = (chosen: readonly Room[]): ReadonlySet<string> =>
    new Set(chosen.flatMap(({ names }) => names))
  const enough = leastM3 - 1e-9
  const whole = sets
    .filter(({ m3 }) => m3 >= enough && m3 <= mostM3)
    .sort((a, b) => a.chosen.length - b.chosen.length || a.first - b.first || a.m3 - b.m3)
    .slice(0, 4)
    .map(({ chosen }): Proposal => ({ whole: named(chosen) }))
  const torn = sets
    .filter(({ m3 }) => m3 < enough)
    .flatMap(({ chosen, m3 }) =>
      rooms
        .filter((room) => !chosen.includes(room) && room.names.length === 1 && m3 + room.m3 >= enough)
        .map((room) => ({ chosen, room, m3 })),
    )
    .sort(
      (a, b) =>
        a.chosen.length - b.chosen.length ||
        a.room.first - b.room.first ||
        b.room.m3 - a.room.m3 ||
        b.m3 - a.m3,
    )
    .map(({ chosen, room }): Proposal => ({ whole: named(chosen), part: room.names[0] as string }))
  return [...whole, ...torn]
}

interface Room {
  readonly names: readonly string[]
  readonly m3: number
  /** Share of its pieces that are needed first. */
  readonly first: number
}

/** Rooms, largest first; the smallest together where there are many. */
function roomsOf(pieces: readonly LoadPiece[]): readonly Room[] {
  const room = (names: readonly string[]): Room => {
    const own = pieces.filter((p) => names.includes(p.room))
    return { names, m3: m3Of(own), first: own.filter((p) => p.firstNeeded === true).length / own.length }
  }
  const names = [...new Set(pieces.map((p) => p.room))]
  const all = names.map((name) => room([name])).sort((a, b) => b.m3 - a.m3)
  if (all.length <= mostRooms) return all
  return [...all.slice(0, mostRooms - 1), room(all.slice(mostRooms - 1).flatMap((r) => r.names))]
}

const m3Of = (pieces: readonly LoadPiece[]): number => pieces.reduce((sum, p) => sum + stowedM3(p), 0)
