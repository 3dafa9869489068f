import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Hold, impossible, type Piece, provenSmallest } from '../../../src/stowage/packing/index.js'

const hold: Hold = {
  id: 'room',
  lengthMm: 1000,
  widthMm: 1000,
  heightMm: 1000,
  doorWidthMm: 1000,
  doorHeightMm: 1000,
  payloadKg: 100,
  lineLoadKgPerM: 1000,
  balanceShare: 1,
}

function piece(
  id: string,
  lengthMm: number,
  widthMm: number,
  heightMm: number,
  more: Partial<Piece> = {},
): Piece {
  return { id, lengthMm, widthMm, heightMm, massKg: 1, ...more }
}

const cubes = (n: number, mm: number, more: Partial<Piece> = {}): Piece[] =>
  Array.from({ length: n }, (_, i) => piece(`c${i}`, mm, mm, mm, more))

describe('what no arrangement can get in', () => {
  it.each<[why: string, figure: string, pieces: Piece[], hold?: Partial<Hold>]>([
    ['inside', '1001', [piece('a', 1001, 10, 10)]],
    ['door', '900 × 1000', [piece('a', 950, 950, 10)], { doorWidthMm: 900 }],
    ['mass', '101 kg', [piece('a', 10, 10, 10, { massKg: 101 })]],
    ['volume', '1.02 m³', [...cubes(8, 500), piece('x', 200, 300, 300)]],
    ['floor', '1.25 m²', cubes(5, 500, { floorOnly: true })],
    ['top', '1.25 m²', cubes(5, 500, { fragile: true })],
    // Two cubes just over half the edge never stand beside or on each other, though they fill a quarter of the hold.
    ['scaled', '200 %', cubes(2, 501)],
  ])('is shown by "%s" (%s)', (why, figure, pieces, other) => {
    const found = impossible({ ...hold, ...other }, pieces)
    expect(found?.why).toBe(why)
    expect(found?.text).toContain(figure)
  })

  it('claims nothing of pieces cut from the hold itself, whatever the cuts', () => {
    const cuts = fc.array(fc.tuple(fc.nat(), fc.nat({ max: 2 }), fc.integer({ min: 1, max: 999 })), {
      maxLength: 25,
    })
    fc.assert(
      fc.property(cuts, (all) => {
        const boxes = [[1000, 1000, 1000]]
        for (const [which, axis, at] of all) {
          const box = boxes[which % boxes.length] as number[]
          const size = box[axis] as number
          if (size < 2) continue
          const first = 1 + (at % (size - 1))
          const other = [...box]
          other[axis] = size - first
          box[axis] = first
          boxes.push(other)
        }
        const pieces = boxes.map(([l = 1, w = 1, h = 1], i) => piece(`b${i}`, l, w, h, { massKg: 0 }))
        expect(impossible(hold, pieces)).toBeUndefined()
      }),
      { seed: 1, numRuns: 500 },
    )
  })

  it('proves a hold the smallest when every smaller one is ruled out, and says by what', () => {
    const large = { ...hold, id: 'large', lengthMm: 2000 }
    expect(provenSmallest(large, [hold, large], cubes(9, 500))?.map((p) => [p.holdId, p.reason.why])).toEqual(
      [['room', 'volume']],
    )
    expect(provenSmallest(large, [hold], cubes(8, 500))).toBeUndefined()
  })
})
