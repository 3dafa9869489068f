import { expect, test } from 'vitest'
import { contradictions } from '../../src/load/index.js'
import type { LoadPiece } from '../../src/stowage/pieces/index.js'
import { container } from '../bench/packing/households.js'

const piece = (id: string, more: Partial<LoadPiece> = {}): LoadPiece => ({
  id,
  label: id,
  kind: 'piece',
  room: 'Hall',
  lines: [id],
  sizeFrom: 'stated',
  worth: 1,
  lengthMm: 2000,
  widthMm: 1000,
  heightMm: 500,
  massKg: 20,
  upright: ['height'],
  ...more,
})
const many = (n: number, more: Partial<LoadPiece>): LoadPiece[] =>
  Array.from({ length: n }, (_, i) => piece(`p${i}`, more))

// A 20-foot floor of 5.898 × 2.352 m is 13.87 m²; seven bases of 2 m² are 14 m², by hand.
test.each<[string, LoadPiece[], RegExp[]]>([
  ['six bases of 2 m² on the floor', many(6, { floorOnly: true }), []],
  ['seven of them', many(7, { floorOnly: true }), [/at least 14\.0 m² and there are 13\.9 m²/]],
  ['seven that may stand on end', many(7, { floorOnly: true, upright: ['length', 'width', 'height'] }), []],
  [
    'floor only and nothing on top',
    many(1, { floorOnly: true, maxLoadOnTopKg: 0 }),
    [/whole height above it: p0/],
  ],
  ['half of all first needed', [...many(1, { firstNeeded: true }), piece('q')], []],
  [
    'more than half of them',
    [...many(2, { firstNeeded: true }), piece('q')],
    [/2 of 3 pieces are first needed/],
  ],
])('%s', (_, pieces, expected) => {
  const found = contradictions(container('22G1'), pieces)
  expect(found).toHaveLength(expected.length)
  expected.forEach((pattern, i) => {
    expect(found[i]).toMatch(pattern)
  })
})
