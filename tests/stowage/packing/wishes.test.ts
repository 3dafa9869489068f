import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import {
  type Piece,
  pack,
  stances,
  turningLengthMm,
  turnings,
  validate,
  wishes,
} from '../../../src/stowage/packing/index.js'
import { cubes, room } from './sample.js'

describe('wishes met', () => {
  it('counts the largest cluster of a group and the way to the door', () => {
    const pieces = cubes(4, { keepTogether: 'study' }).map((p, i) =>
      i === 3 ? { ...p, firstNeeded: true } : p,
    )
    const plan = pack(room, pieces)
    const xs = [0, 1000, 3000, 3000]
    const ys = [0, 100, 0, 1000]
    const placements = plan.placements.map((at, i) => ({
      ...at,
      pieceId: `c${i + 1}`,
      x: xs[i] ?? 0,
      y: ys[i] ?? 0,
      z: 0,
    }))
    const drawn = { ...plan, placements }
    const found = wishes(room, pieces, drawn)
    expect(found.groups).toEqual([{ name: 'study', aboard: 4, together: 2 }])
    expect(found.togetherShare).toBe(0.5)
    expect([found.firstNeeded, found.firstNeededToDoorMm]).toEqual([1, 0])
    expect(found.allToDoorMm).toBe((3000 + 2000 + 0 + 0) / 4)
    // A gap of 1000 mm is bridged by a longer reach.
    expect(wishes(room, pieces, drawn, 1000).togetherShare).toBe(1)
  })

  it('are all met by an empty plan, and by one that has nothing to wish for', () => {
    expect(wishes(room, [], pack(room, [])).togetherShare).toBe(1)
    expect(wishes(room, cubes(2), pack(room, cubes(2))).groups).toEqual([])
  })
})

describe('turning inside the door', () => {
  // Right triangles of 3 : 4 : 5: an edge of 1.2 m and one of 1.6 m sweep 2.0 m.
  const [crate] = cubes(1, { lengthMm: 1600, widthMm: 1200, heightMm: 900 })
  const piece = crate as Piece
  const [long, wide] = stances(piece)

  it('needs no more than its own length when it goes in as it stands', () => {
    expect(long && turningLengthMm({ ...room, doorWidthMm: 1500 }, piece, long)).toBe(1600)
  })

  it('needs the diagonal of its base when it is turned, and the width to do so', () => {
    expect(wide && turningLengthMm({ ...room, doorWidthMm: 1500 }, piece, wide)).toBe(2000)
    expect(
      wide && turningLengthMm({ ...room, doorWidthMm: 1500, widthMm: 1999 }, piece, wide),
    ).toBeUndefined()
  })

  it('needs the diagonal of its side when it is stood up, and the height to do so', () => {
    const tall: Piece = {
      ...piece,
      heightMm: 900,
      lengthMm: 1600,
      widthMm: 1200,
      upright: ['width', 'length'],
    }
    const onEnd = stances(tall).find((s) => s.upright === 'length' && s.along === 'width')
    const low = { ...room, doorHeightMm: 1500 }
    expect(onEnd && turningLengthMm(low, tall, onEnd)).toBe(2000)
    expect(onEnd && turningLengthMm({ ...low, heightMm: 1999 }, tall, onEnd)).toBeUndefined()
  })

  it('keeps the packer to positions a piece can be brought into, and warns where it is near the door', () => {
    const narrow = { ...room, doorWidthMm: 1500, widthMm: 1999 }
    const plan = pack(narrow, [piece])
    expect(plan.placements.map((p) => [p.dx, p.dy])).toEqual([[1600, 1200]])
    expect(turnings(narrow, [piece], plan)).toEqual([])
    const wider = { ...room, doorWidthMm: 1500 }
    const at = { pieceId: 'c1', x: 0, y: 0, z: 0, dx: 1200, dy: 1600, dz: 900, stage: 1 } as const
    const near = (x: number): boolean[] =>
      turnings(wider, [piece], {
        ...plan,
        placements: [{ ...at, x, upright: 'height', along: 'width' }],
      }).map((t) => t.fits)
    expect(near(2000)).toEqual([true])
    expect(near(2001)).toEqual([false])
  })
})

describe('balance across and in height', () => {
  it('mirrors sections until the load is even across', () => {
    const even = { ...room, balanceAcrossShare: 0.05 }
    // Four slices, each heavy on one side: packed alike they lean to the left, mirrored by twos they do not.
    const pieces = [
      ...cubes(4, { massKg: 100, floorOnly: true, fragile: true }),
      ...cubes(4, { fragile: true }),
    ].map((p, i) => ({ ...p, id: `p${i}` }))
    const plan = pack(even, pieces)
    expect(plan.placements).toHaveLength(8)
    expect(plan.unmet).toEqual([])
    expect(Math.abs(plan.centreOfGravity.y / 2000 - 0.5)).toBeLessThanOrEqual(0.05)
    expect(validate(even, pieces, plan)).toEqual([])
  })

  it('moves a section that is narrower than the hold towards the middle, as little as the limit asks', () => {
    const even = { ...room, balanceAcrossShare: 0.05 }
    const lone = cubes(1)
    const plan = pack(even, lone)
    expect(plan.unmet).toEqual([])
    // A cube of 1 m in 2 m: against a side its middle is a quarter off, 450 to 500 mm of room beside it bring it in.
    expect(Math.abs(plan.centreOfGravity.y - 1000)).toBeGreaterThan(90)
    expect(validate(even, lone, plan)).toEqual([])
  })

  it('says so where a load must lean to a side or stand too high', () => {
    // 100 and 20 kg side by side in a hold that is filled by them: (100 × 0.5 + 20 × 1.5) / 120 m, a sixth off.
    const pieces = cubes(2, { floorOnly: true }).map((p, i) => ({ ...p, massKg: i === 0 ? 100 : 20 }))
    const hold = { ...room, lengthMm: 1000, balanceAcrossShare: 0.05, balanceHeightShare: 0.2 }
    const plan = pack(hold, pieces)
    expect(plan.placements).toHaveLength(2)
    expect(plan.unmet.map((text) => text.replace('-', '').slice(0, 54))).toEqual([
      'The centre of gravity is 16.7 % of the width from the ',
      'The centre of gravity is at 25.0 % of the height, expe',
    ])
  })
})

describe('the mass from which a piece counts as heavy', () => {
  it('is the figure of the reference table where the caller passes none', () => {
    const table = readFileSync(new URL('../../../data/reference/stowage.csv', import.meta.url), 'utf8')
    const row = table.split('\n').find((line) => line.startsWith('stack.heavy-from,'))
    const kg = Number(row?.split(',')[2])
    expect(kg).toBeGreaterThan(0)
    const [below] = cubes(1, { massKg: kg - 1 })
    const [on] = cubes(1, { massKg: kg })
    const pieces = [{ ...below, id: 'low' } as Piece, { ...on, id: 'high' } as Piece]
    const at = {
      x: 0,
      y: 0,
      dx: 1000,
      dy: 1000,
      dz: 1000,
      upright: 'height',
      along: 'length',
      stage: 1,
    } as const
    const plan = pack(room, pieces)
    const stacked = {
      ...plan,
      placements: [
        { ...at, pieceId: 'low', z: 0 },
        { ...at, pieceId: 'high', z: 1000 },
      ],
    }
    expect(validate(room, pieces, stacked).map((v) => v.rule)).toEqual(['heavy'])
    expect(validate(room, pieces, stacked, { heavyFromKg: kg + 0.1 })).toEqual([])
  })
})
