import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { loadOf, numberedCartons } from '../../src/load/index.js'
import { type Figures, type Goods, goodsPieces, pieceSize } from '../../src/stowage/pieces/index.js'
import { type CartonGroup, cartonList } from '../../src/volume/index.js'
import { amount, DEMOS, openDemo, plansOf } from '../plan/households.js'

const figures: Figures = (id) =>
  ({
    'wrap.edge.none': 0,
    'wrap.edge.wrapped': 20,
    'wrap.edge.crated': 80,
    'shape.other.width': 0.5,
    'shape.other.height': 0.25,
    'stack.any': 150,
    'stack.light': 30,
    'stack.nothing': 0,
    'stack.unknown': 50,
    'stack.crated': 150,
    'stack.crated-fragile': 30,
    'stack.fragile-share': 0.5,
    'stack.carton.other': 40,
    'stack.carton.book': 100,
    'squeeze.sofa': 0.03,
  })[id]

const chest: Goods = {
  line: 'A-1',
  room: 'Hall',
  item: 'Chest',
  quantity: 1,
  volumeM3: 0.2,
  volumeStated: false,
  massKg: 20,
  value: 100,
  goodsClass: 'furniture',
  packing: 'none',
  handling: [],
}

describe('sizes of pieces', () => {
  test.each([
    ['its own sides', { ...chest, sides: [800, 500, 600] as const }, [800, 500, 600], 'stated'],
    [
      'wrapped: 20 mm on each edge',
      { ...chest, packing: 'wrapped' as const, sides: [800, 500, 600] as const },
      [820, 520, 620],
      'stated',
    ],
    // By hand: 1 m³ in the shape 1 : 1/2 : 1/4 is 2 m × 1 m × 0.5 m.
    ['a usual shape of its volume', { ...chest, volumeM3: 1 }, [2000, 1000, 500], 'usual shape'],
    [
      'taken apart: two long sides stay, the third follows from the volume',
      {
        ...chest,
        volumeM3: 0.9,
        usual: {
          code: 'bed',
          sides: [2000, 900, 1500] as const,
          cubeM3: 0.9,
          staysUpright: false,
          bears: 'light' as const,
          flat: true,
        },
      },
      [2000, 300, 1500],
      'item table',
    ],
  ])('%s', (_, goods, sides, from) => {
    const size = pieceSize(goods, figures)
    expect([...size.sides]).toEqual(sides)
    expect(size.from).toBe(from)
  })

  it('a thing larger than its carton is counted at its own size and told of', () => {
    const carton = { id: 'lamp', label: 'Lamp carton', sides: [460, 460, 690] as const }
    const size = pieceSize(
      { ...chest, item: 'Floor lamp', sides: [400, 400, 1600], packing: carton },
      figures,
    )
    expect([...size.sides]).toEqual([420, 420, 1620])
    expect(size.doubt).toContain('Floor lamp is larger than a lamp carton')
  })
})

describe('handling words', () => {
  const one = (goods: Partial<Goods>) =>
    goodsPieces([{ ...chest, sides: [800, 500, 600], ...goods }], figures)[0]

  it('nothing stands on what goes on top, little on what is fragile; a crate bears more', () => {
    // Half of the 30 kg that a piece bears little of: rows stack.light and stack.fragile-share.
    expect(one({ handling: ['fragile'] })?.maxLoadOnTopKg).toBe(15)
    expect(one({ handling: ['top-only'] })?.maxLoadOnTopKg).toBe(0)
    expect(one({ handling: ['fragile'], packing: 'crated' })?.maxLoadOnTopKg).toBe(30)
    expect(one({})?.maxLoadOnTopKg).toBe(50)
  })

  it('upright, floor-only and first-needed are passed on', () => {
    const piece = one({ handling: ['upright', 'floor-only', 'first-needed'] })
    expect(piece).toMatchObject({ upright: ['height'], floorOnly: true, firstNeeded: true })
    expect(one({})?.upright).toEqual(['length', 'width', 'height'])
  })

  it('a sofa gives way a little, in a crate it does not', () => {
    const usual = {
      code: 'sofa-3-seat',
      sides: [2290, 970, 860] as const,
      cubeM3: 1.7,
      staysUpright: false,
      bears: 'light' as const,
      flat: false,
    }
    expect(one({ usual })?.squeezeShare).toBe(0.03)
    expect(one({ usual, packing: 'crated' })?.squeezeShare).toBeUndefined()
  })

  it('several of a line are numbered and weigh what one weighs', () => {
    const pieces = goodsPieces([{ ...chest, sides: [800, 500, 600], quantity: 3 }], figures)
    expect(pieces.map((p) => p.id)).toEqual(['A-1/1', 'A-1/2', 'A-1/3'])
    expect(pieces.reduce((sum, p) => sum + p.massKg, 0)).toBeCloseTo(60, 9)
  })
})

const goodsOf = fc.record({
  line: fc.constantFrom('A', 'B', 'C', 'D', 'E'),
  item: fc.string({ maxLength: 8 }),
  quantity: fc.integer({ min: 1, max: 400 }),
  volumeM3: fc.double({ min: 0.001, max: 2, noNaN: true }),
  massKg: fc.double({ min: 0, max: 300, noNaN: true }),
  value: fc.integer({ min: 0, max: 9999 }),
  fragile: fc.boolean(),
  firstNeeded: fc.boolean(),
})

describe('numbered cartons', () => {
  it('share out all goods, by volume, mass and count, and overload none', () => {
    fc.assert(
      fc.property(fc.array(goodsOf, { minLength: 1, maxLength: 8 }), (goods) => {
        const kg = goods.reduce((sum, g) => sum + g.massKg, 0)
        const m3 = goods.reduce((sum, g) => sum + g.volumeM3, 0)
        // As many as a plan would count: enough for the volume and enough for the mass.
        const count = Math.max(Math.ceil(m3 / 0.07), Math.ceil(kg / 29.48))
        const group: CartonGroup = {
          room: 'R',
          carton: 'medium',
          label: 'Medium',
          count,
          contentLimitKg: 29.48,
          goods,
        }
        const cartons = cartonList([group])
        expect(cartons.length).toBe(count)
        expect(cartons.reduce((sum, c) => sum + c.goodsKg, 0)).toBeCloseTo(kg, 4)
        expect(cartons.reduce((sum, c) => sum + c.volumeM3, 0)).toBeCloseTo(m3, 4)
        expect(Math.max(...cartons.map((c) => c.goodsKg))).toBeLessThanOrEqual(29.48 + 1e-3)
        const pieces = cartons.flatMap((c) => c.contents).reduce((sum, c) => sum + c.pieces, 0)
        expect(pieces).toBe(goods.reduce((sum, g) => sum + g.quantity, 0))
      }),
      { numRuns: 300 },
    )
  })

  it('are numbered from C-001, in another way where the inventory has such a mark itself', () => {
    const group: CartonGroup = {
      room: 'R',
      carton: 'book',
      label: 'Book carton',
      count: 2,
      contentLimitKg: 29,
      goods: [
        {
          line: 'B-1',
          item: 'Novels',
          quantity: 7,
          volumeM3: 0.06,
          massKg: 30,
          value: 0,
          fragile: false,
          firstNeeded: false,
        },
      ],
    }
    expect(cartonList([group]).map((c) => c.number)).toEqual(['C-001', 'C-002'])
    expect(cartonList([group], ['C-001'])[0]?.number).toBe('CTN-001')
    expect(cartonList([group]).map((c) => c.contents[0]?.pieces)).toEqual([4, 3])
  })
})

describe.each(DEMOS)('the household %s', (name) => {
  it('has as many numbered cartons of each room and size as its plan, and the same numbers every time', async () => {
    const move = await openDemo(name)
    for (const plan of plansOf(move)) {
      const cartons = numberedCartons(move, plan)
      const counted = [...plan.sheet.cells.values()].filter((c) => /^cartons\.[^.]+\.[^.]+$/.test(c.id))
      expect(cartons.length).toBe(counted.reduce((sum, c) => sum + c.value.toNumber(), 0))
      expect(new Set(cartons.map((c) => c.number)).size).toBe(cartons.length)
      expect(numberedCartons(move, plan)).toEqual(cartons)
    }
  })

  it('weighs in pieces what the plan says of goods and packing', async () => {
    const move = await openDemo(name)
    for (const plan of plansOf(move)) {
      const kg = loadOf(move, plan).pieces.reduce((sum, p) => sum + p.massKg, 0)
      expect(kg).toBeCloseTo(amount(plan, 'mass.goods') + amount(plan, 'mass.packing'), 3)
    }
  })

  it('counts every carton of the plan, loose goods and single ones, as a piece', async () => {
    const move = await openDemo(name)
    for (const plan of plansOf(move)) {
      const cartons = loadOf(move, plan).pieces.filter((p) => p.kind === 'carton')
      expect(cartons.length).toBe(amount(plan, 'cartons.total'))
    }
  })
})

describe('goods that are not boxes', () => {
  const rows: Figures = (id) =>
    ({
      'nest.dining-chair': 150,
      'nest.bears': 10,
      'soft.rug': 1,
      'soft.fold-more': 0.1,
      'squeeze.rug': 0.1,
    })[id] ?? figures(id)
  const usual = (code: string, sides: readonly [number, number, number]) => ({
    code,
    sides,
    cubeM3: 0.2,
    staysUpright: false,
    bears: 'light' as const,
    flat: false,
  })

  it('chairs go two by two, seat to seat: both masses, one height, deeper by a back', () => {
    const five: Goods = { ...chest, quantity: 5, massKg: 7, usual: usual('dining-chair', [460, 520, 950]) }
    const pieces = goodsPieces([five], rows)
    expect(pieces.map((p) => p.id)).toEqual(['A-1/1-2', 'A-1/3-4', 'A-1/5'])
    expect(pieces[0]).toMatchObject({
      lengthMm: 460,
      widthMm: 670,
      heightMm: 950,
      massKg: 14,
      maxLoadOnTopKg: 10,
    })
    expect(pieces.reduce((sum, p) => sum + p.massKg, 0)).toBeCloseTo(35, 9)
    expect(pieces.reduce((sum, p) => sum + p.worth, 0)).toBeCloseTo(500, 9)
  })

  it('a rug bends: folded once it is half as long, twice as thick and a tenth more', () => {
    const [rug] = goodsPieces([{ ...chest, usual: usual('rug-large', [3000, 300, 300]) }], rows)
    expect(rug).toMatchObject({ soft: true, foldedMm: [[1500, 300, 630]] })
    expect(goodsPieces([chest], rows)[0]?.soft).toBeUndefined()
  })
})
