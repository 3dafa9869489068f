import { seeded } from '../../../src/stowage/packing/balance.js'
import type { Edge, FixedBlock, Hold, Piece } from '../../../src/stowage/packing/types.js'

// Random households for tests and timing: invented pieces with usual sizes and masses, no real household.

interface Sort {
  readonly name: string
  readonly share: number
  readonly least: readonly [number, number, number, number]
  readonly most: readonly [number, number, number, number]
  readonly make: (random: () => number) => Partial<Piece>
}

const anyWay: readonly Edge[] = ['length', 'width', 'height']

// Edges in mm and mass in kg from least to most (common practice, no source).
const sorts: readonly Sort[] = [
  {
    name: 'carton, small',
    share: 0.3,
    least: [450, 325, 325, 8],
    most: [450, 325, 325, 18],
    make: () => ({ maxLoadOnTopKg: 70 }),
  },
  {
    name: 'carton, medium',
    share: 0.25,
    least: [460, 460, 400, 6],
    most: [460, 460, 400, 16],
    make: () => ({ maxLoadOnTopKg: 60 }),
  },
  {
    name: 'carton, fragile',
    share: 0.06,
    least: [450, 450, 600, 5],
    most: [450, 450, 700, 14],
    make: () => ({ fragile: true }),
  },
  {
    name: 'chair',
    share: 0.08,
    least: [450, 450, 850, 4],
    most: [600, 600, 1000, 9],
    make: () => ({ maxLoadOnTopKg: 8, squeezeShare: -0.05 }),
  },
  {
    name: 'chest of drawers',
    share: 0.08,
    least: [700, 400, 700, 25],
    most: [1300, 550, 1200, 60],
    make: (r) => ({ maxLoadOnTopKg: 80 + Math.floor(r() * 80), keepTogether: r() < 0.2 ? 'bedroom' : '' }),
  },
  {
    name: 'sofa',
    share: 0.03,
    least: [1500, 800, 750, 40],
    most: [2300, 1000, 950, 75],
    make: () => ({ upright: ['height', 'length'], maxLoadOnTopKg: 40, squeezeShare: 0.04 }),
  },
  {
    name: 'mattress',
    share: 0.05,
    least: [1900, 800, 180, 15],
    most: [2000, 1800, 260, 40],
    make: () => ({ upright: anyWay, maxLoadOnTopKg: 15, squeezeShare: 0.05 }),
  },
  {
    name: 'washing machine',
    share: 0.02,
    least: [600, 550, 850, 60],
    most: [620, 620, 870, 80],
    make: () => ({ floorOnly: true, maxLoadOnTopKg: 100 }),
  },
  {
    name: 'table top',
    share: 0.03,
    least: [1200, 700, 60, 15],
    most: [2000, 1000, 80, 45],
    make: () => ({ upright: anyWay, maxLoadOnTopKg: 60 }),
  },
  {
    name: 'lamp',
    share: 0.05,
    least: [300, 300, 900, 2],
    most: [450, 450, 1600, 6],
    make: (r) => ({ fragile: true, firstNeeded: r() < 0.3 }),
  },
  {
    name: 'odd thing',
    share: 0.05,
    least: [100, 100, 100, 0],
    most: [1500, 700, 900, 90],
    make: (r) => ({
      upright: r() < 0.5 ? anyWay : ['height'],
      maxLoadOnTopKg: Math.floor(r() * 200),
      value: r() * 3,
    }),
  },
]

function drawSort(share: number): Sort {
  let at = share * sorts.reduce((sum, s) => sum + s.share, 0)
  for (const sort of sorts) {
    at -= sort.share
    if (at < 0) return sort
  }
  return sorts[0] as Sort
}

/** `n` pieces drawn with a seed; the same seed gives the same pieces. */
export function randomPieces(n: number, seed: number): Piece[] {
  const random = seeded(seed)
  return Array.from({ length: n }, (_, i) => {
    const sort = drawSort(random())
    const draw = (k: 0 | 1 | 2 | 3): number =>
      sort.least[k] + Math.floor(random() * (sort.most[k] - sort.least[k] + 1))
    const { keepTogether, ...more } = sort.make(random)
    return {
      id: `p${i + 1}`,
      label: `${sort.name} ${i + 1}`,
      lengthMm: draw(0),
      widthMm: draw(1),
      heightMm: draw(2),
      massKg: draw(3),
      ...(random() < 0.05 ? { firstNeeded: true } : {}),
      ...more,
      ...(keepTogether === undefined || keepTogether === '' ? {} : { keepTogether }),
    }
  })
}

/** A compact car at the front wall (sizes: common practice, no source), with or without a deck over it. */
export function carAtFront(hold: Hold, deck: boolean): FixedBlock {
  const x = 150
  const y = Math.floor((hold.widthMm - 1800) / 2)
  return {
    id: 'car',
    label: 'compact car',
    massKg: 1350,
    boxes: [
      { x, y, z: 0, dx: 1100, dy: 1800, dz: 950 },
      { x: x + 1100, y, z: 0, dx: 2500, dy: 1800, dz: 1460 },
      { x: x + 3600, y, z: 0, dx: 750, dy: 1800, dz: 1050 },
    ],
    clear: { x: 0, y: 0, dx: x + 4350 + 150, dy: hold.widthMm },
    ...(deck
      ? {
          deck: {
            x: 0,
            y: 0,
            dx: x + 4350 + 150,
            dy: hold.widthMm,
            zMm: 1560,
            maxLoadKg: 600,
            maxPieceKg: 20,
          },
        }
      : {}),
  }
}

/** Typical inside sizes of general-purpose containers (common practice, no source). */
export function container(code: '22G1' | '42G1' | '45G1'): Hold {
  const short = code === '22G1'
  const high = code === '45G1'
  return {
    id: code,
    lengthMm: short ? 5898 : 12032,
    widthMm: 2352,
    heightMm: high ? 2698 : 2393,
    doorWidthMm: 2340,
    doorHeightMm: high ? 2585 : 2280,
    payloadKg: short ? 28180 : high ? 26540 : 26730,
    lineLoadKgPerM: short ? 4500 : 3000,
    balanceShare: 0.05,
  }
}
