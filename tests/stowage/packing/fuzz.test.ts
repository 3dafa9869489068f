import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Hold, type LoadRules, type Piece, pack, validate } from '../../../src/stowage/packing/index.js'
import { carAtFront, container, randomPieces } from '../../bench/packing/households.js'

// A hundred or so in the ordinary run; QUAYBOOK_FUZZ=5000 for a long one.
const runs = Number(process.env.QUAYBOOK_FUZZ ?? 120)

// As a rug: folded once it is half as long and twice as thick.
function soft(piece: Piece): Piece {
  const { lengthMm, widthMm, heightMm } = piece
  return { ...piece, soft: true, foldedMm: [[Math.ceil(lengthMm / 2), widthMm, heightMm * 2]] }
}

describe('random households', () => {
  it(`get a plan in which the independent check finds nothing (${runs} households)`, () => {
    const codes = ['22G1', '42G1', '45G1'] as const
    let unmet = 0
    fc.assert(
      fc.property(
        fc.record({
          pieces: fc.integer({ min: 0, max: 90 }),
          seed: fc.integer({ min: 1, max: 1_000_000_000 }),
          code: fc.constantFrom(...codes),
          vehicle: fc.constantFrom('none', 'none', 'car', 'deck'),
          payloadKg: fc.constantFrom(28_000, 4000, 900),
          from: fc.constantFrom('front' as const, 'corners' as const),
          widest: fc.constantFrom(1, 2),
          // A usual door, and openings through which much has to be turned or stood up.
          door: fc.constantFrom('usual', 'usual', 'narrow', 'low'),
          balance: fc.constantFrom({}, { balanceAcrossShare: 0.05, balanceHeightShare: 0.5 }),
          rules: fc.constantFrom<LoadRules>(
            {},
            { supportShare: 0.75, lift: { fromKg: 30, highestMm: 1300 } },
            { supportShare: 0.7, softSupportShare: 0.5, levelMm: 25 },
            { supportShare: 0.75, frontMm: 50, slender: { ratio: 3, reachMm: 150 }, reachMm: 700 },
            { levelMm: 40, heavyFromKg: 15 },
          ),
        }),
        ({ pieces: n, seed, code, vehicle, payloadKg, from, widest, door, balance, rules }) => {
          const empty = container(code)
          const hold: Hold = {
            ...empty,
            ...balance,
            ...(door === 'narrow' ? { doorWidthMm: 1000 } : {}),
            ...(door === 'low' ? { doorHeightMm: 1500 } : {}),
            payloadKg: payloadKg + (vehicle === 'none' ? 0 : 1350),
            ...(vehicle === 'none' ? {} : { fixed: [carAtFront(empty, vehicle === 'deck')] }),
          }
          const pieces = randomPieces(n, seed).map((piece, i) => (i % 9 === 0 ? soft(piece) : piece))
          const plan = pack(hold, pieces, { rules, work: 300, widest, seed, from })
          const found = validate(hold, pieces, plan, rules)
          // A car alone at one end cannot be balanced: the plan then has to say so itself.
          if (plan.unmet.length > 0) unmet++
          const expected = plan.unmet.length > 0 ? ['balance'] : []
          expect(found.filter((v) => !expected.includes(v.rule)).map((v) => v.text)).toEqual([])
        },
      ),
      { numRuns: runs, seed: 20261125 },
    )
    expect(unmet).toBeLessThan(runs)
  }, 600_000)
})
