import { describe, expect, it } from 'vitest'
import { gaps, type Piece, pack, validate } from '../../../src/stowage/packing/index.js'
import { carAtFront, container, randomPieces } from '../../bench/packing/households.js'
import { cubes, room } from './sample.js'

// Where not everything goes in, the search goes on until its work is spent.
const few = { work: 2000 }

describe('packing by hand-made cases', () => {
  it('fills a room exactly', () => {
    const plan = pack(room, cubes(16))
    expect(plan.placements).toHaveLength(16)
    expect(plan.volumeShare).toBe(1)
    expect(validate(room, cubes(16), plan)).toEqual([])
  })

  it('leaves out what is worth least, and says why', () => {
    const pieces = cubes(17).map((p, i) => ({ ...p, value: i === 4 ? 0.5 : 1 }))
    const plan = pack(room, pieces, few)
    expect(plan.leftOut.map((out) => out.pieceId)).toEqual(['c5'])
    expect(plan.leftOut[0]?.reason).toContain('c5')
  })

  it.each<[what: string, piece: Partial<Piece>, says: string]>([
    [
      'too high by 100 mm',
      { heightMm: 2100, widthMm: 990, lengthMm: 2200, upright: ['height', 'width', 'length'] },
      'Its height is 100 mm too much',
    ],
    ['too wide by 50 mm', { lengthMm: 2500, widthMm: 1050, heightMm: 2000 }, 'Its width is 50 mm too much'],
    ['lying it passes', { heightMm: 2100, lengthMm: 900, widthMm: 900 }, 'It would lying on another side'],
  ])('says of what is larger than the door by which side, and what would help: %s', (_, sides, says) => {
    const large: Piece = { id: 'large', lengthMm: 1000, widthMm: 1000, heightMm: 1000, massKg: 50, ...sides }
    const narrow = {
      ...room,
      lengthMm: 4000,
      widthMm: 2200,
      heightMm: 2200,
      doorWidthMm: 1000,
      doorHeightMm: 2000,
    }
    const [left] = pack(narrow, [large], { work: 100 }).leftOut
    expect(left?.reason).toContain('does not pass the door')
    expect(left?.reason).toContain(says)
    expect(left?.reason).toMatch(/taken apart|open-top|sent apart|send it apart/i)
  })

  it('names a piece that does not pass the door', () => {
    const plan = pack({ ...room, doorWidthMm: 999 }, cubes(1))
    expect(plan.leftOut[0]?.reason).toContain('does not pass the door of 999 × 2000 mm')
  })

  it('stops at the payload', () =>
    expect(pack({ ...room, payloadKg: 45 }, cubes(16), few).placements).toHaveLength(4))

  it('uses only one layer when nothing may stand on anything', () => {
    const plan = pack(room, cubes(16, { fragile: true }), few)
    expect(plan.placements).toHaveLength(8)
    expect(plan.placements.every((p) => p.z === 0)).toBe(true)
  })

  it('presses soft pieces and widens irregular ones by their share', () => {
    const soft = pack({ ...room, widthMm: 1900 }, cubes(2, { squeezeShare: 0.05 }))
    expect(soft.placements.map((p) => [p.dx, p.dy, p.dz])).toEqual([
      [950, 950, 1000],
      [950, 950, 1000],
    ])
    expect(pack({ ...room, widthMm: 2199 }, cubes(16, { squeezeShare: -0.1 }), few).placements).toHaveLength(
      6,
    )
  })

  it('puts what is needed first nearest to the door', () => {
    const pieces = cubes(16).map((p, i) => (i < 4 ? { ...p, firstNeeded: true } : p))
    const plan = pack(room, pieces)
    const first = plan.placements.filter((p) => Number(p.pieceId.slice(1)) <= 4)
    expect(first.map((p) => p.x)).toEqual([3000, 3000, 3000, 3000])
  })

  it('moves a part load until its centre of gravity is inside the limits', () => {
    const even = { ...room, balanceShare: 0.05 }
    const plan = pack(even, cubes(4))
    expect(plan.unmet).toEqual([])
    expect(Math.abs(plan.balanceOffsetShare)).toBeLessThanOrEqual(0.05)
    expect(validate(even, cubes(4), plan)).toEqual([])
  })

  it('says which limit could not be kept when only a car stands at one end', () => {
    const empty = container('45G1')
    const plan = pack({ ...empty, fixed: [carAtFront(empty, false)] }, [])
    expect(plan.unmet[0]).toContain('centre of gravity')
  })

  it('reports room to be filled: 400 mm across and 1000 mm before the door', () => {
    const wide = { ...room, lengthMm: 2000, widthMm: 2400 }
    const packed = pack(wide, cubes(4))
    const drawn = packed.placements.map((p, i) => ({
      ...p,
      x: 0,
      y: i % 2 === 0 ? 0 : 1400,
      z: i < 2 ? 0 : 1000,
    }))
    const plan = { ...packed, placements: drawn }
    expect(gaps(wide, plan, 150).map((g) => [g.direction, g.sumMm])).toEqual([
      ['across', 400],
      ['along', 1000],
    ])
    expect(gaps(wide, plan, 1000)).toEqual([])
  })

  it('keeps a load short once everything is in', () => expect(pack(room, cubes(4)).usedLengthMm).toBe(1000))

  it('refuses sizes that are not whole millimetres, naming the piece', () => {
    const [half] = cubes(1, { lengthMm: 10.5 })
    expect(() => pack(room, half === undefined ? [] : [half])).toThrow(
      'piece c1: found 10.5 × 1000 × 1000 mm',
    )
    expect(() => pack(room, [...cubes(1), ...cubes(1)])).toThrow('piece c1: found twice')
  })
})

describe('any-time search', () => {
  const empty = container('45G1')
  const hold = { ...empty, fixed: [carAtFront(empty, true)] }
  const pieces = randomPieces(120, 7)

  it('gives the same plan for the same seed and work', () => {
    const options = { work: 2000, seed: 3 }
    expect(pack(hold, pieces, options)).toEqual(pack(hold, pieces, options))
  })

  it('has a sound plan at every step, and stops when asked', () => {
    let told = 0
    const full = randomPieces(300, 8)
    const plan = pack(hold, full, {
      stop: () => told >= 3,
      onBetter: (progress) => {
        told++
        const now = progress.plan()
        expect(
          validate(hold, full, now).filter((v) => now.unmet.length === 0 || v.rule !== 'balance'),
        ).toEqual([])
      },
    })
    expect(told).toBeGreaterThanOrEqual(3)
    expect(plan.placements.length).toBeGreaterThan(0)
  })

  it('fills the hold at first sight, however many times too much there is', () => {
    // A hold without a car: a plain fill of ordinary goods takes more than half of it.
    for (const n of [500, 2000, 5000]) {
      const many = randomPieces(n, n).map(({ value: _, ...piece }) => piece)
      const plan = pack(empty, many, { stop: () => true })
      expect(plan.volumeShare).toBeGreaterThan(0.5)
      expect(plan.placements.length + plan.leftOut.length).toBe(n)
      expect(validate(empty, many, plan).map((v) => v.text)).toEqual([])
    }
  })

  it('takes small dear things before large cheap ones', () => {
    const dear = cubes(8, { lengthMm: 500, widthMm: 500, heightMm: 500, value: 0.9 })
    const cheap = cubes(16, { value: 1 }).map((p, i) => ({ ...p, id: `large ${i}` }))
    const plan = pack(room, [...dear, ...cheap], { work: 20_000 })
    // Eight small ones fill the place of one large one.
    expect(plan.leftOut.map((out) => out.pieceId.slice(0, 5))).toEqual(['large'])
  })

  it('never packs less with more work', () => {
    const full = randomPieces(300, 9).map(({ value: _, ...piece }) => piece)
    const shares = [300, 1200, 4800].map((work) => pack(empty, full, { work }).volumeShare)
    expect(shares).toEqual([...shares].sort((a, b) => a - b))
  })
})
