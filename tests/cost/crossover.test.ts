import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { costAt, costCurve, switches } from '../../src/cost/crossover.js'
import { piecewiseUpTo } from '../../src/cost/piecewise.js'
import { exact } from '../../src/quantity/exact.js'

const d = exact.of

/** A share of a container at a price for each gross m³, and own boxes of a fixed price. */
function shareAndBoxes(mostM3: string) {
  const m = piecewiseUpTo(d(mostM3))
  const share = m.variable.times(m.of('1.2')).times(m.of(140))
  const boxes = m.of(3200).times(m.ceil(m.variable.div(m.of('33.2').times(m.of('0.85')))))
  return [costCurve('share', share), costCurve('box', boxes)]
}

describe('volumes at which the cheapest carriage changes', () => {
  test.each([
    // up to m³   m³ shown     from     to        source
    [
      28,
      0,
      '19.048',
      'share',
      'box',
      '140 a gross m³, factor 1.20, against 3 200 a box: 22.857 gross, 19.048 net (by hand)',
    ],
    [
      60,
      1,
      '28.220',
      'box',
      'share',
      'a box is full at 33.2 × 0.85 = 28.22 m³, and a second one costs more than the share (by hand)',
    ],
    [60, 2, '38.095', 'share', 'box', '6 400 for two boxes over 168 a net m³ (by hand)'],
  ])('over 0 to %i m³, switch %i is at %s m³: %s → %s: %s', (most, at, m3, from, to) => {
    const found = switches(shareAndBoxes(String(most)))[at]
    expect([found?.m3.toFixed(3), found?.from, found?.to]).toEqual([m3, from, to])
  })

  it('agrees with the closed form for the first switch', () => {
    const [first] = switches(shareAndBoxes('28'))
    expect(first?.m3.toString()).toBe(d(3200).div(140).div('1.2').toString())
    expect(first?.m3.times('1.2').toFixed(3)).toBe('22.857')
  })

  it('names the switch of a jump by the way that is left, with what it costs there', () => {
    const full = switches(shareAndBoxes('60'))[1]
    expect(full?.cost.toString()).toBe('3200')
  })
})

/** A small language of formulas, to run in both arithmetics. */
type Pair = { op: 'plus' | 'minus' | 'max' | 'min'; a: Formula; b: Formula }
type Formula =
  | { op: 'v' }
  | { op: 'c'; c: number }
  | { op: 'times'; a: Formula; c: number }
  | { op: 'steps'; a: Formula; c: number }
  | Pair

const { formula } = fc.letrec<{ formula: Formula }>((tie) => ({
  formula: fc.oneof(
    { maxDepth: 4 },
    fc.constant<Formula>({ op: 'v' }),
    fc.integer({ min: -50, max: 50 }).map((c): Formula => ({ op: 'c', c })),
    fc
      .tuple(fc.constantFrom('plus', 'minus', 'max', 'min'), tie('formula'), tie('formula'))
      .map(([op, a, b]): Formula => ({ op: op as Pair['op'], a: a as Formula, b: b as Formula })),
    fc
      .tuple(fc.constantFrom('times', 'steps'), tie('formula'), fc.integer({ min: 1, max: 9 }))
      .map(([op, a, c]): Formula => ({ op: op as 'times', a: a as Formula, c })),
  ),
}))

describe('functions of the volume', () => {
  it('give at every volume that is no bend what the exact arithmetic gives', () => {
    const m = piecewiseUpTo(d(40))
    const asPieces = (f: Formula): ReturnType<typeof m.of> => {
      if (f.op === 'v') return m.variable
      if (f.op === 'c') return m.of(f.c)
      if (f.op === 'times') return asPieces(f.a).times(m.of(f.c))
      if (f.op === 'steps') return m.ceil(asPieces(f.a).div(m.of(f.c)))
      const [a, b] = [asPieces(f.a), asPieces(f.b)]
      return f.op === 'plus' ? a.plus(b) : f.op === 'minus' ? a.minus(b) : m[f.op](a, b)
    }
    const asNumber = (f: Formula, v: ReturnType<typeof d>): ReturnType<typeof d> => {
      if (f.op === 'v') return v
      if (f.op === 'c') return d(f.c)
      if (f.op === 'times') return asNumber(f.a, v).times(f.c)
      if (f.op === 'steps') return exact.ceil(asNumber(f.a, v).div(f.c))
      const [a, b] = [asNumber(f.a, v), asNumber(f.b, v)]
      return f.op === 'plus' ? a.plus(b) : f.op === 'minus' ? a.minus(b) : exact[f.op](a, b)
    }
    fc.assert(
      fc.property(formula, fc.integer({ min: 1, max: 3_999_983 }), (f, millionths) => {
        // A volume with this many odd decimals is on no bend: bends are quotients of small whole numbers.
        const v = d(millionths).div('100003.7')
        const shown = asPieces(f).at(v).toFixed(9)
        expect(shown).toBe(asNumber(f, v).toFixed(9))
      }),
      { numRuns: 300 },
    )
  })

  it('refuse a maximum of what is not linear', () => {
    const m = piecewiseUpTo(d(10))
    const square = m.variable.times(m.variable)
    expect(() => m.max(square.plus(m.variable), m.of(3))).toThrow('not linear')
  })

  it('are worth what the curve says', () => {
    const [share] = shareAndBoxes('60')
    expect(share && costAt(share, d(10)).toString()).toBe('1680')
  })
})
