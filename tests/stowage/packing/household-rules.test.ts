import { describe, expect, it, test } from 'vitest'
import {
  type Hold,
  type LoadRules,
  type Piece,
  type Placement,
  pack,
  validate,
} from '../../../src/stowage/packing/index.js'
import { asHold, asPieces, problem } from '../../bench/packing/bischoff-ratcliff.js'
import { container, randomPieces } from '../../bench/packing/households.js'
import { drawn, room } from './sample.js'

const narrow: Hold = { ...room, lengthMm: 3000, widthMm: 1000, doorWidthMm: 1000 }
const box = (id: string, lengthMm: number, more: Partial<Piece> = {}): Piece => ({
  id,
  lengthMm,
  widthMm: 1000,
  heightMm: 500,
  massKg: 10,
  ...more,
})
const at = (piece: Piece, x: number, z: number, more: Partial<Placement> = {}): Placement => ({
  pieceId: piece.id,
  x,
  y: 0,
  z,
  dx: piece.lengthMm,
  dy: piece.widthMm,
  dz: piece.heightMm,
  upright: 'height',
  along: 'length',
  stage: 1,
  ...more,
})
const broken = (pieces: readonly Piece[], placements: readonly Placement[], rules: LoadRules): string[] =>
  validate(narrow, pieces, drawn(placements), rules).map((v) => v.rule)

describe('the check of how household goods stand', () => {
  const [low, wide] = [box('low', 750), box('wide', 1000)]
  // By hand: 750 of 1000 mm rest on the lower piece.
  test.each([
    [1, ['support']],
    [0.76, ['support']],
    [0.75, []],
  ])('a base of which three quarters rest, under a rule of %s', (supportShare, expected) => {
    expect(broken([low, wide], [at(low, 0, 0), at(wide, 0, 500)], { supportShare })).toEqual(expected)
  })

  it('asks less of what bends', () => {
    const rug = box('rug', 1500, { soft: true })
    const both = [at(low, 0, 0), at(rug, 0, 500)]
    expect(broken([low, rug], both, { supportShare: 0.75 })).toEqual(['support'])
    expect(broken([low, rug], both, { supportShare: 0.75, softSupportShare: 0.5 })).toEqual([])
  })

  it('lets blankets level out less than so many millimetres, and counts what rests on them', () => {
    const top = box('top', 750, { massKg: 80 })
    const on = (z: number): Placement[] => [at(low, 0, 0), at(top, 0, z)]
    expect(broken([low, top], on(520), { heavyFromKg: 999 })).toEqual(['support'])
    expect(broken([low, top], on(520), { heavyFromKg: 999, levelMm: 25 })).toEqual([])
    expect(broken([low, top], on(525), { heavyFromKg: 999, levelMm: 25 })).toEqual(['support'])
    expect(broken([{ ...low, maxLoadOnTopKg: 79 }, top], on(520), { heavyFromKg: 999, levelMm: 25 })).toEqual(
      ['load'],
    )
  })

  it('finds what is lifted above breast height, at the mass and height of the rule', () => {
    const stack = [
      box('a', 750, { massKg: 40 }),
      box('b', 750, { massKg: 35 }),
      box('c', 750, { massKg: 30 }),
    ]
    const up = stack.map((piece, i) => at(piece, 0, i * 500))
    expect(broken(stack, up, { lift: { fromKg: 30, highestMm: 1000 } })).toEqual([])
    expect(broken(stack, up, { lift: { fromKg: 30, highestMm: 999 } })).toEqual(['lift'])
    expect(broken(stack, up, { lift: { fromKg: 30.1, highestMm: 999 } })).toEqual([])
  })

  it('takes a folded size only as the piece has it', () => {
    const rug = box('rug', 3500, { foldedMm: [[1750, 1000, 600]] })
    const folded = { dx: 1750, dz: 600, folded: 1 }
    expect(broken([rug], [at(rug, 0, 0, folded)], {})).toEqual([])
    expect(broken([rug], [at(rug, 0, 0, { ...folded, dz: 500 })], {})).toEqual(['size'])
    expect(broken([rug], [at(rug, 0, 0, { ...folded, folded: 2 })], {})).toEqual(['size'])
  })
})

describe('packing by these rules', () => {
  it('folds a rug that is too long, and keeps heavy pieces below breast height', () => {
    const rug = box('rug', 3500, { soft: true, foldedMm: [[1750, 1000, 600]] })
    const heavy = Array.from({ length: 4 }, (_, i) => box(`h${i}`, 1200, { massKg: 40 }))
    const rules: LoadRules = { supportShare: 0.75, lift: { fromKg: 30, highestMm: 499 }, heavyFromKg: 25 }
    const plan = pack(narrow, [rug, ...heavy], { rules, work: 2000 })
    expect(validate(narrow, [rug, ...heavy], plan, rules)).toEqual([])
    expect(plan.placements.find((p) => p.pieceId === 'rug')?.folded).toBe(1)
    // Two of 1200 mm side by side on a floor of 3000 mm; the others would have to be lifted.
    expect(plan.leftOut.filter((l) => l.pieceId.startsWith('h'))).toHaveLength(2)
  })
})

describe('a support share of 0, for test problems', () => {
  // Nothing may stand on the long one, and it reaches from end to end: it goes in above the short one or not at all.
  const [short, long] = [box('short', 1000), box('long', 3000, { fragile: true })]

  it('lets a piece hang in the air, for packer and check alike', () => {
    const low = { ...narrow, heightMm: 1000 }
    const full = pack(low, [short, long], { work: 500, from: 'corners' })
    expect(full.placements).toHaveLength(1)
    const rules = { supportShare: 0 }
    const free = pack(low, [short, long], { work: 500, from: 'corners', rules })
    expect(free.placements).toHaveLength(2)
    expect(validate(low, [short, long], free, rules)).toEqual([])
    expect(validate(low, [short, long], free, {}).map((v) => v.rule)).toEqual(['support'])
  })

  it('fills nine tenths of a published problem, and nothing overlaps', () => {
    const p = problem(7, 2)
    const [hold, pieces] = [asHold(p), asPieces(p)]
    const plan = pack(hold, pieces, { rules: { supportShare: 0 }, work: 4000, from: 'corners' })
    expect(validate(hold, pieces, plan, { supportShare: 0 })).toEqual([])
    expect(plan.volumeShare).toBeGreaterThan(0.9)
  }, 60_000)
})

// Common practice, no source: the first wall tight to the front wall; what is tall and thin between neighbours or tied.
describe('where a load begins', () => {
  const one = box('one', 600)
  test.each([
    ['against the wall', 0, 0.5, []],
    ['a hand off it', 50, 0.5, []],
    ['off it without need', 51, 0.5, ['front']],
    // The middle of 600 mm from 1200 mm on is the middle of the room of 3000 mm; half the way back is 20 % off.
    ['off it for the balance', 1200, 0.05, []],
    ['farther off than the balance asks for', 1200, 0.21, ['front']],
  ])('%s', (_, x, balanceShare, expected) => {
    const found = validate({ ...narrow, balanceShare }, [one], drawn([at(one, x, 0)]), { frontMm: 50 })
    expect(found.map((v) => v.rule)).toEqual(expected)
  })

  it('is told in the plan where the balance keeps it off the wall, and is tight otherwise', () => {
    const heavy = box('heavy', 600, { massKg: 500 })
    const off = pack({ ...narrow, balanceShare: 0.05 }, [heavy], { rules: { frontMm: 50 }, work: 500 })
    expect(off.placements[0]?.x).toBeGreaterThan(50)
    // 300 of 3000 mm is 10 %, 40 % before the middle.
    expect(off.notes?.join(' ')).toContain('40.0 % of the length towards the front')
    expect(validate({ ...narrow, balanceShare: 0.05 }, [heavy], off, { frontMm: 50 })).toEqual([])
    const tight = pack(narrow, [heavy], { rules: { frontMm: 50 }, work: 500 })
    expect(tight.placements[0]?.x).toBe(0)
    expect(tight.notes).toBeUndefined()
  })
})

describe('what is slender', () => {
  const shelf: Piece = { id: 'shelf', lengthMm: 900, widthMm: 300, heightMm: 1200, massKg: 20 }
  const crate: Piece = { id: 'crate', lengthMm: 900, widthMm: 500, heightMm: 600, massKg: 20 }
  const rules: LoadRules = { slender: { ratio: 3, reachMm: 100 } }
  const shelfAt = (y: number): Placement => at(shelf, 0, 0, { y, dy: 300 })
  const crateAt = (y: number, z = 0): Placement => at(crate, 0, z, { y, dy: 500 })
  test.each([
    ['between wall and neighbour', [shelfAt(0), crateAt(300)], [], []],
    ['between both, with hands’ room', [shelfAt(100), crateAt(500)], [], []],
    ['off the wall', [shelfAt(101), crateAt(500)], [], ['slender']],
    ['with nothing on one side', [shelfAt(0), crateAt(401)], [], ['slender']],
    ['tied', [shelfAt(0), crateAt(401)], ['shelf'], []],
  ])('%s', (_, placements, tied, expected) => {
    const found = validate(narrow, [shelf, crate], { ...drawn(placements), tied }, rules)
    expect(found.map((v) => v.rule)).toEqual(expected)
  })

  it('a neighbour less than half as high does not hold it', () => {
    const low = { ...crate, heightMm: 599 }
    const plan = drawn([shelfAt(0), at(low, 0, 0, { y: 300, dy: 500, dz: 599 })])
    expect(validate(narrow, [shelf, low], plan, rules).map((v) => v.rule)).toEqual(['slender'])
    expect(validate(narrow, [{ ...shelf, soft: true }, low], plan, rules)).toEqual([])
  })

  it('is tied by the packer wherever the check asks for it, and nowhere else', () => {
    let tied = 0
    for (let seed = 1; seed <= 4; seed++) {
      const pieces = randomPieces(60, seed)
      const plan = pack(container('22G1'), pieces, { rules, work: 300, seed })
      expect(validate(container('22G1'), pieces, plan, rules)).toEqual([])
      const asked = validate(container('22G1'), pieces, { ...plan, tied: [] }, rules)
      expect(asked.flatMap((v) => v.pieceIds).toSorted()).toEqual(plan.tied?.toSorted())
      tied += plan.tied?.length ?? 0
    }
    expect(tied).toBeGreaterThan(0)
  })
})

// Common practice, no source: a person stands on the floor before the place, about half a metre either way.
describe('where a person stands', () => {
  const rules: LoadRules = { reachMm: 700 }
  const [high, low, far] = [
    box('high', 500, { heightMm: 500 }),
    box('low', 500, { heightMm: 600 }),
    box('far', 700, { heightMm: 600 }),
  ]
  // The room is 1 m wide and filled across: whatever stands on the floor door-side of a place is reached over.
  test.each([
    ['right before the place', [at(low, 0, 0), at(high, 0, 600)], []],
    ['over 700 mm of goods', [at(low, 0, 0), at(far, 500, 0), at(high, 0, 600)], []],
    ['over 710 mm of goods', [at(low, 0, 0), at(far, 510, 0), at(high, 0, 600)], ['reach']],
  ])('%s', (_, placements, expected) => {
    expect(
      broken(
        [high, low, far].filter((p) => placements.some((q) => q.pieceId === p.id)),
        placements,
        rules,
      ),
    ).toEqual(expected)
  })

  it('beside the goods, where there is room for one', () => {
    const wide = { ...narrow, widthMm: 1600 }
    const pieces = [high, low, far]
    const stacked = drawn([at(low, 0, 0), at(far, 510, 0), at(high, 0, 600)])
    // 600 mm are free beside them, 300 of which are about before the place: a person of 500 mm does not stand there,
    // but with the goods 200 mm farther aside one does.
    expect(validate(wide, pieces, stacked, rules).map((v) => v.rule)).toEqual(['reach'])
    const moved = drawn([at(low, 0, 0), at(far, 510, 0, { y: 600 }), at(high, 0, 600)])
    expect(validate(wide, pieces, moved, rules)).toEqual([])
  })

  it('is told by the packer wherever the check asks for it', () => {
    let told = 0
    for (let seed = 1; seed <= 4; seed++) {
      const pieces = randomPieces(80, seed)
      const plan = pack(container('22G1'), pieces, { rules, work: 300, seed })
      expect(validate(container('22G1'), pieces, plan, rules)).toEqual([])
      const asked = validate(container('22G1'), pieces, { ...plan, handedOn: [] }, rules)
      const named = new Set(plan.handedOn)
      // The packer's person is 20 mm wider, so that it may tell of a few more.
      expect(asked.every((v) => named.has(v.pieceIds[0] ?? ''))).toBe(true)
      expect(named.size - asked.length).toBeLessThanOrEqual(Math.ceil(pieces.length / 10))
      told += named.size
    }
    expect(told).toBeGreaterThan(0)
  })
})
