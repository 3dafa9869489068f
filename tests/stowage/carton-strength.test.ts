import { describe, expect, it } from 'vitest'
import { boxCompressionN, cartonBearsKg } from '../../src/stowage/pieces/index.js'

describe('what a carton bears', () => {
  it('32 lb/in, 0.16 in and 56 in round give about 562 lb: worked example of a published calculator of the short McKee formula (looked up 2026-11-26)', () => {
    const newtons = boxCompressionN(
      { edgeCrushNPerMm: (32 * 4.44822) / 25.4, thickMm: 0.16 * 25.4 },
      56 * 25.4,
    )
    expect(newtons / 4.44822).toBeCloseTo(562, 0)
  })

  const rows: Readonly<Record<string, number>> = {
    'board.edge-crush.single': 5.604,
    'board.edge-crush.double': 8.406,
    'board.thickness.single': 4.06,
    'board.thickness.double': 6.6,
    'board.time-factor': 0.6,
    'board.humidity-factor': 0.68,
    'board.stack-factor': 0.5,
    'board.walls.book': 1,
    'board.walls.dish-pack': 2,
    'stack.carton.lamp': 12,
    'stack.carton.other': 40,
  }
  const figures = (id: string): number | undefined => rows[id]
  const carton = (id: string, sides: readonly [number, number, number]) => ({ id, label: id, sides })

  it('is its strength less weeks under load, damp and stacking out of line', () => {
    // By hand: 5.87 × 5.604 × √(4.06 × 1474) = 2545 N, 259.5 kg; × 0.6 × 0.68 × 0.5 = 52.9 kg.
    expect(cartonBearsKg(carton('book', [416, 321, 321]), figures)).toBe(52)
  })

  it('is more with double wall, less in damp, and a row of its own comes first', () => {
    const dish = carton('dish-pack', [458, 458, 712])
    expect(cartonBearsKg(dish, figures)).toBeGreaterThan(100)
    const damp = (id: string): number | undefined => (id === 'board.humidity-factor' ? 0.48 : rows[id])
    expect(cartonBearsKg(dish, damp)).toBeLessThan(cartonBearsKg(dish, figures))
    expect(cartonBearsKg(carton('lamp', [458, 458, 686]), figures)).toBe(12)
    expect(cartonBearsKg(carton('tube', [100, 100, 900]), figures)).toBe(40)
  })
})
