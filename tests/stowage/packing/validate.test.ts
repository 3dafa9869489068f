import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { type Hold, type Piece, type Placement, validate } from '../../../src/stowage/packing/index.js'
import { drawn, room } from './sample.js'

const hold: Hold = { ...room, doorWidthMm: 1900, doorHeightMm: 1800, payloadKg: 1000, lineLoadKgPerM: 400 }

function piece(id: string, more: Partial<Piece> = {}): Piece {
  return { id, lengthMm: 1000, widthMm: 1000, heightMm: 500, massKg: 20, ...more }
}

function at(pieceId: string, x: number, y: number, z: number, more: Partial<Placement> = {}): Placement {
  return {
    pieceId,
    x,
    y,
    z,
    dx: 1000,
    dy: 1000,
    dz: 500,
    upright: 'height',
    along: 'length',
    stage: 1,
    ...more,
  }
}

const a = piece('a')
const b = piece('b')

describe('a plan drawn by hand', () => {
  it('is sound when everything is in order', () => {
    expect(validate(hold, [a, b], drawn([at('a', 0, 0, 0), at('b', 0, 0, 500)]))).toEqual([])
  })

  it.each<[rule: string, figure: string, pieces: Piece[], placements: Placement[], hold?: Partial<Hold>]>([
    ['list', '0 times', [a, b], [at('a', 0, 0, 0)]],
    ['list', '2 times', [a], [at('a', 0, 0, 0), at('a', 1000, 0, 0)]],
    ['inside', '4000', [a], [at('a', 3001, 0, 0)]],
    ['inside', 'whole mm', [a], [at('a', 0.5, 0, 0)]],
    ['overlap', '1 × 1000 × 500', [a, b], [at('a', 0, 0, 0), at('b', 999, 0, 0)]],
    ['size', '900', [a], [at('a', 0, 0, 0, { dx: 900 })]],
    ['size', 'allowed: height', [a], [at('a', 0, 0, 0, { upright: 'length', along: 'width' })]],
    ['support', '50 %', [a, b], [at('a', 0, 0, 0), at('b', 500, 0, 500)]],
    ['load', '20 kg', [piece('a', { maxLoadOnTopKg: 19 }), b], [at('a', 0, 0, 0), at('b', 0, 0, 500)]],
    [
      'load',
      'at most 0',
      [piece('a', { fragile: true }), piece('b', { massKg: 0 })],
      [at('a', 0, 0, 0), at('b', 0, 0, 500)],
    ],
    ['heavy', '30 kg', [a, piece('b', { massKg: 30 })], [at('a', 0, 0, 0), at('b', 0, 0, 500)]],
    ['floor', '500 mm', [a, piece('b', { floorOnly: true })], [at('a', 0, 0, 0), at('b', 0, 0, 500)]],
    ['mass', '1001', [piece('a', { massKg: 1001 })], [at('a', 0, 0, 0)], { lineLoadKgPerM: 5000 }],
    ['line', '401', [piece('a', { massKg: 401 })], [at('a', 0, 0, 0)]],
    ['balance', '-37.5 %', [a], [at('a', 0, 0, 0)], { balanceShare: 0.37 }],
    // Middle of a piece of 1 m at 600 mm in a room of 2 m: 100 mm off, a twentieth of the width.
    ['balance', '5 % of the width', [a], [at('a', 0, 600, 0)], { balanceAcrossShare: 0.0499 }],
    // Middle of a piece of 0.5 m on the floor of a room of 2 m: an eighth of the height.
    ['balance', '12.5 % of the height', [a], [at('a', 0, 0, 0)], { balanceHeightShare: 0.1249 }],
    // 3 : 4 : 5, so a base of 1.2 × 1.6 m sweeps a circle of 2.0 m.
    [
      'door',
      'cannot be turned',
      [piece('a', { lengthMm: 1600, widthMm: 1200 })],
      [at('a', 0, 0, 0, { dx: 1200, dy: 1600, along: 'width' })],
      { doorWidthMm: 1500, widthMm: 1999 },
    ],
    ['door', '1799', [a], [at('a', 0, 0, 0)], { doorWidthMm: 999, doorHeightMm: 1799 }],
    ['order', 'shuts off', [a, b], [at('b', 1000, 0, 0), at('a', 0, 0, 0)]],
    ['order', 'carries', [a, b], [at('b', 0, 0, 500), at('a', 0, 0, 0)]],
    ['order', 'stage 2', [a, b], [at('a', 0, 0, 0, { stage: 2 }), at('b', 1000, 0, 0)]],
  ])('breaks the rule "%s" (%s)', (rule, figure, pieces, placements, other) => {
    const found = validate({ ...hold, ...other }, pieces, drawn(placements))
    expect(found.map((v) => v.rule)).toEqual([rule])
    expect(found[0]?.text).toContain(figure)
  })

  it('lets a piece be turned or stood up inside where its diagonal fits', () => {
    const table = piece('a', { lengthMm: 1600, widthMm: 1200, upright: ['height', 'length'] })
    const turned = drawn([at('a', 0, 0, 0, { dx: 1200, dy: 1600, along: 'width' })])
    expect(validate({ ...hold, doorWidthMm: 1500 }, [table], turned)).toEqual([])
    // On end it is 1.6 m high; its side of 1.6 × 0.5 m sweeps 1.676 m.
    const onEnd = drawn([
      at('a', 0, 0, 0, { dx: 500, dy: 1200, dz: 1600, upright: 'length', along: 'height' }),
    ])
    const low = { ...hold, doorHeightMm: 1500 }
    expect(validate({ ...low, heightMm: 1677 }, [table], onEnd)).toEqual([])
    expect(validate({ ...low, heightMm: 1676 }, [table], onEnd).map((v) => v.rule)).toEqual(['door'])
  })

  it('needs room before the header for what stands higher than the door', () => {
    const tall = piece('a', { heightMm: 500 })
    const stack = [piece('x'), piece('y'), piece('w'), tall]
    const column = (x: number): Placement[] => [
      at('x', x, 0, 0),
      at('y', x, 0, 500),
      at('w', x, 0, 1000),
      at('a', x, 0, 1500),
    ]
    expect(validate(hold, stack, drawn(column(2000)))).toEqual([])
    expect(validate(hold, stack, drawn(column(2001))).map((v) => v.rule)).toEqual(['door'])
  })

  it('shares a load out by area of contact, down to the lowest piece', () => {
    // 20 kg on two supporters, three quarters on the first: 15 and 5 kg.
    const pieces = [piece('p', { maxLoadOnTopKg: 14.9 }), piece('q', { maxLoadOnTopKg: 5 }), piece('r')]
    const placements = [at('p', 0, 0, 0), at('q', 1000, 0, 0), at('r', 250, 0, 500)]
    const found = validate(hold, pieces, drawn(placements))
    expect(found.map((v) => [v.rule, ...v.pieceIds])).toEqual([['load', 'p']])
    expect(found[0]?.text).toContain('15 kg')
  })

  it('takes the heaviest metre wherever it begins: 15 t over 6 m is 2.5 t a metre', () => {
    // German insurers' transport information service, container loading capacity (looked up in a fact file).
    const long: Hold = { ...hold, lengthMm: 12000, payloadKg: 30000, lineLoadKgPerM: 2500 }
    const machine = { ...piece('a'), lengthMm: 6000, massKg: 15000 }
    const placed = drawn([at('a', 3000, 0, 0, { dx: 6000 })])
    expect(validate(long, [machine], placed)).toEqual([])
    const found = validate({ ...long, lineLoadKgPerM: 2499 }, [machine], placed)
    expect(found.map((v) => v.rule)).toEqual(['line'])
    expect(found[0]?.text).toContain('2500 kg')
  })

  it('keeps goods out of a car and the room around it, and limits what stands on its deck', () => {
    const car = {
      id: 'car',
      massKg: 0,
      boxes: [{ x: 100, y: 100, z: 0, dx: 1500, dy: 1800, dz: 1000 }],
      clear: { x: 0, y: 0, dx: 1700, dy: 2000 },
    }
    const deck = { x: 0, y: 0, dx: 1700, dy: 2000, zMm: 1100, maxLoadKg: 30, maxPieceKg: 20 }
    const low = { ...hold, fixed: [car] }
    const decked = { ...hold, fixed: [{ ...car, deck }] }
    const rulesOf = (h: Hold, pieces: Piece[], placements: Placement[]): string[] =>
      validate(h, pieces, drawn(placements)).map((v) => v.rule)
    expect(rulesOf(low, [a], [at('a', 1000, 0, 0)])).toEqual(['overlap', 'clear'])
    expect(rulesOf(low, [a], [at('a', 1650, 0, 0)])).toEqual(['clear'])
    expect(rulesOf(low, [a], [at('a', 1700, 0, 0)])).toEqual([])
    expect(rulesOf(decked, [a], [at('a', 0, 0, 1100)])).toEqual([])
    expect(rulesOf(decked, [piece('a', { massKg: 21 })], [at('a', 0, 0, 1100)])).toEqual(['deck'])
    expect(rulesOf(decked, [a, b], [at('a', 0, 0, 1100), at('b', 0, 1000, 1100)])).toEqual(['deck'])
  })
})

describe('the check and the packer', () => {
  it('share the shapes of their inputs and no code', () => {
    const folder = new URL('../../../src/stowage/packing/validate/', import.meta.url)
    const files = readdirSync(folder)
    expect(files.length).toBeGreaterThan(5)
    const outside = files.flatMap((file) =>
      [
        ...readFileSync(new URL(file, folder), 'utf8').matchAll(
          /^import (.*?) ?from '(\.\.[^']*|[^.'][^']*)'/gm,
        ),
      ].map(([, what, from]) => `${what?.startsWith('type ') ? 'type' : 'code'} ${from}`),
    )
    expect(new Set(outside)).toEqual(new Set(['type ../types.js']))
  })
})
