import type { Household } from '../tables/household.js'

const known = new WeakMap<Household['inventory'], ReadonlyMap<string, string>>()

/** Two spellings of one room differ in capitals, blanks or the way an accent is stored; anything else is another room. */
const spelling = (room: string): string => room.normalize('NFC').toLowerCase().replace(/\s+/g, ' ').trim()

/**
 * A name as a part of an id: lower case, without the accents of Latin letters, letters of other scripts as they are,
 * hyphens for the rest. Examples: `Child's room` → `child-s-room`, `Café` → `cafe`, `台所` → `台所`.
 */
function plain(room: string): string {
  const letters = room
    .normalize('NFD')
    .replace(/(\p{Script=Latin})\p{M}+/gu, '$1')
    .normalize('NFKC')
    .toLowerCase()
  return letters.replace(/[^\p{L}\p{M}\p{N}]+/gu, '-').replace(/^-|-$/g, '') || 'room'
}

/**
 * The part of an id that stands for each room of a household. Rooms whose names would come out alike (`Room 1`,
 * `Room-1`) are told apart by a number from the second on, in the order of the inventory, whatever is shipped.
 */
export function roomId({ inventory }: Pick<Household, 'inventory'>, room: string): string {
  let ids = known.get(inventory)
  if (!ids) {
    ids = idsOf(inventory.map((line) => line.room))
    known.set(inventory, ids)
  }
  const id = ids.get(spelling(room))
  if (id === undefined) throw new Error(`unknown room "${room}"`)
  return id
}

function idsOf(rooms: readonly string[]): ReadonlyMap<string, string> {
  const ids = new Map<string, string>()
  const taken = new Set<string>()
  for (const room of rooms) {
    const key = spelling(room)
    if (ids.has(key)) continue
    const base = plain(room)
    let id = base
    for (let n = 2; taken.has(id); n += 1) id = `${base}-${n}`
    taken.add(id)
    ids.set(key, id)
  }
  return ids
}
