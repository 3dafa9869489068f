import { describe, expect, it } from 'vitest'
import type { LoadRules } from '../../../src/stowage/packing/index.js'
import { stowedM3, validate } from '../../../src/stowage/packing/index.js'
import type { LoadPiece } from '../../../src/stowage/pieces/index.js'
import {
  type ContainerPlan,
  keepRooms,
  packContainer,
  type Split,
  tornRooms,
} from '../../../src/stowage/plan/index.js'
import { container } from '../../bench/packing/households.js'

// A made-up home in cartons of 0.096 m³: 29.8 m³ for a container that takes some 265 cartons, so that 4 m³ or so stay out.
const carton = (room: string, i: number, more: Partial<LoadPiece> = {}): LoadPiece => ({
  id: `${room}-${i}`,
  label: `carton ${i}`,
  kind: 'carton',
  room,
  lines: ['1'],
  sizeFrom: 'carton',
  worth: 100,
  lengthMm: 600,
  widthMm: 400,
  heightMm: 400,
  massKg: 12,
  ...more,
})
const roomOf = (room: string, n: number, more: Partial<LoadPiece> = {}): LoadPiece[] =>
  Array.from({ length: n }, (_, i) => carton(room, i + 1, more))
const m3 = (pieces: readonly LoadPiece[]): number => pieces.reduce((sum, p) => sum + stowedM3(p), 0)

const hold = container('22G1')
const candidate = { hold, stands: [{ fixed: [] }] }
const rules: LoadRules = { heavyFromKg: 30 }
const search = { rules, work: 4000, seed: 1 }

function fullest(pieces: readonly LoadPiece[]): ContainerPlan {
  const found = packContainer(hold, candidate.stands, pieces, search)
  if (found === undefined) throw new Error('no plan')
  return found
}

function expectWhole({ first, rest }: Split, pieces: readonly LoadPiece[]): void {
  const out = new Set(rest.map(({ id }) => id))
  const inside = pieces.filter(({ id }) => !out.has(id))
  expect(first.plan.placements.map((p) => p.pieceId).toSorted()).toEqual(
    inside.map(({ id }) => id).toSorted(),
  )
  const missing = first.plan.leftOut.map(({ pieceId }) => pieceId)
  const asked = pieces.filter(({ id }) => !out.has(id) || missing.includes(id))
  expect(validate(first.hold, asked, first.plan, rules)).toEqual([])
}

describe('what stays out of a container that does not take everything', () => {
  const home = [
    ...roomOf('Living room', 120),
    ...roomOf('Bedroom', 100),
    ...roomOf('Study', 50),
    ...roomOf('Cellar', 40),
  ]

  it('is a whole room where that costs no more than is allowed', () => {
    const found = fullest(home)
    const leftM3 = found.plan.leftOut.length * 0.096
    expect(leftM3).toBeGreaterThan(2)
    const limits = { restM3: 0.096 * 52, takesRest: () => true, tries: 6 }
    const split = keepRooms(candidate, home, found, limits, search)
    expect(tornRooms(home, split.rest)).toEqual([])
    // One room is enough, and it is one of the two that the limit has room for.
    const rooms = new Set(split.rest.map(({ room }) => room))
    expect(rooms.size).toBe(1)
    expect(m3(split.rest)).toBeLessThanOrEqual(limits.restM3 + 1e-9)
    expectWhole(split, home)
  })

  it('is never more than the limit, nor what the other consignment does not take', () => {
    const found = fullest(home)
    const least = m3(home.filter(({ id }) => found.plan.leftOut.some((l) => l.pieceId === id)))
    const tight = keepRooms(
      candidate,
      home,
      found,
      { restM3: least, takesRest: () => true, tries: 6 },
      search,
    )
    expect(m3(tight.rest)).toBeLessThanOrEqual(least + 1e-9)
    expect(tornRooms(home, tight.rest).length).toBeLessThanOrEqual(
      tornRooms(
        home,
        home.filter(({ id }) => found.plan.leftOut.some((l) => l.pieceId === id)),
      ).length,
    )
    const refused = keepRooms(
      candidate,
      home,
      found,
      { restM3: 99, takesRest: () => false, tries: 6 },
      search,
    )
    expect(refused.first).toBe(found)
  })

  it('is the room that is not needed first, of two alike', () => {
    const alike = [
      ...roomOf('Living room', 200),
      ...roomOf('Kitchen', 55, { firstNeeded: true }),
      ...roomOf('Cellar', 55),
    ]
    const found = fullest(alike)
    const split = keepRooms(candidate, alike, found, { restM3: 7, takesRest: () => true, tries: 4 }, search)
    expect(new Set(split.rest.map(({ room }) => room))).toEqual(new Set(['Cellar']))
    expectWhole(split, alike)
  })

  it('is torn from one room only where no whole room may go', () => {
    const large = ['North', 'East', 'South', 'West'].flatMap((room) => roomOf(room, 75))
    const found = fullest(large)
    const rest = large.filter(({ id }) => found.plan.leftOut.some((l) => l.pieceId === id))
    const limits = { restM3: m3(rest) * 1.5, takesRest: () => true, tries: 6 }
    const split = keepRooms(candidate, large, found, limits, search)
    expect(tornRooms(large, split.rest)).toHaveLength(1)
    expectWhole(split, large)
  })
})
