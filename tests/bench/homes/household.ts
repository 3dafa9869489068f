import { M3_PER_FT3 } from '../../../src/quantity/units.js'
import { seeded } from '../../../src/stowage/packing/balance.js'
import {
  cartonPieces,
  type Figures,
  type Goods,
  goodsPieces,
  type LoadPiece,
  type LoadVehicle,
} from '../../../src/stowage/pieces/index.js'
import type { Reference } from '../../../src/tables/index.js'
import type { NumberedCarton } from '../../../src/volume/carton-list.js'

/** An invented household for measuring: real kinds of pieces in usual numbers, no real home. */
export interface Home {
  readonly id: string
  readonly pieces: readonly LoadPiece[]
  readonly vehicles: readonly LoadVehicle[]
}

/** Item codes of items.csv that a usual home has, how likely each is and how many (common practice, no source). */
const usual: readonly (readonly [code: string, likely: number, most: number])[] = [
  ['sofa-3-seat', 0.8, 1],
  ['sofa-2-seat', 0.4, 1],
  ['armchair-large', 0.5, 2],
  ['armchair-small', 0.4, 2],
  ['coffee-table', 0.7, 1],
  ['end-table', 0.5, 2],
  ['tv-stand', 0.6, 1],
  ['tv-boxed', 0.7, 2],
  ['bookcase', 0.7, 4],
  ['bookcase-tall', 0.4, 2],
  ['rug-large', 0.5, 2],
  ['rug-small', 0.6, 3],
  ['floor-lamp', 0.6, 2],
  ['dining-table', 0.8, 1],
  ['dining-chair', 0.9, 8],
  ['china-cabinet', 0.2, 1],
  ['sideboard-hutch', 0.2, 1],
  ['piano-upright', 0.12, 1],
  ['bed-king', 0.4, 1],
  ['bed-double', 0.5, 2],
  ['bed-single', 0.6, 3],
  ['crib', 0.15, 1],
  ['chest-of-drawers', 0.8, 4],
  ['dresser-double', 0.4, 1],
  ['nightstand', 0.8, 4],
  ['wardrobe-large', 0.3, 2],
  ['wardrobe-three-door', 0.4, 2],
  ['desk-large', 0.5, 2],
  ['office-chair', 0.5, 2],
  ['file-cabinet-2', 0.3, 1],
  ['fridge-medium', 0.4, 1],
  ['washing-machine', 0.6, 1],
  ['dryer', 0.3, 1],
  ['dishwasher', 0.3, 1],
  ['microwave', 0.5, 1],
  ['vacuum-cleaner', 0.6, 1],
  ['bicycle', 0.6, 4],
  ['garden-table', 0.3, 1],
  ['garden-chair', 0.4, 6],
  ['grill', 0.3, 1],
  ['mower-push', 0.2, 1],
  ['tool-chest', 0.3, 1],
  ['ladder-step', 0.4, 1],
  ['tote', 0.5, 8],
  ['suitcase', 0.7, 5],
  ['trunk', 0.3, 2],
  ['tyre', 0.25, 4],
  ['exercise-bike', 0.15, 1],
  ['treadmill', 0.1, 1],
  ['mirror-large', 0.4, 2],
  ['picture-large', 0.5, 5],
  ['plant-pot-large', 0.3, 4],
  ['skis-bag', 0.2, 3],
  ['pram', 0.1, 1],
  ['digital-piano', 0.1, 1],
  ['speaker-floor', 0.3, 2],
  ['mattress-spare-single', 0.2, 1],
  ['garden-tools', 0.3, 1],
  ['shoe-cabinet', 0.3, 1],
  ['coat-stand', 0.2, 1],
]

/** Cartons of loose goods, the share of each kind (common practice, no source). */
const loose: readonly (readonly [kind: string, share: number])[] = [
  ['book', 0.25],
  ['medium', 0.3],
  ['large', 0.2],
  ['dish-pack', 0.1],
  ['wardrobe-standing', 0.05],
  ['extra-large', 0.05],
  ['electronics', 0.05],
]

/** The kind of carton at this point of the shares, 0 to 1. */
function drawn(at: number): string {
  let upTo = 0
  for (const [kind, share] of loose) {
    upTo += share
    if (at < upTo) return kind
  }
  return 'medium'
}

const rooms = ['Living room', 'Kitchen', 'Bedroom', 'Child', 'Study', 'Garage'] as const

const cars: readonly Omit<LoadVehicle, 'id' | 'deck'>[] = [
  { label: 'Small car', kind: 'car', lengthMm: 3850, widthMm: 1740, heightMm: 1480, massKg: 1080 },
  { label: 'Compact car', kind: 'car', lengthMm: 4350, widthMm: 1790, heightMm: 1460, massKg: 1350 },
  { label: 'Estate car', kind: 'car', lengthMm: 4700, widthMm: 1830, heightMm: 1500, massKg: 1550 },
]
const motorcycle: Omit<LoadVehicle, 'id' | 'deck'> = {
  label: 'Motorcycle',
  kind: 'motorcycle',
  lengthMm: 2150,
  widthMm: 800,
  heightMm: 1150,
  massKg: 210,
}

/** Least and most room of all pieces, m³, for each load of vehicles: so that 20 to 45 foot containers are in question. */
const roomM3 = { none: [14, 66], motorcycle: [14, 60], car: [8, 44], cars: [6, 26] } as const

/** Home number `n`, from 1; the same number is always the same home. */
export function home(n: number, reference: Reference, figures: Figures): Home {
  const random = seeded(Math.imul(n, 2654435761))
  for (let i = 0; i < 8; i++) random()
  const whole = (least: number, most: number): number => least + Math.floor(random() * (most - least + 1))
  const draw = random()
  const kind = draw < 0.5 ? 'none' : draw < 0.6 ? 'motorcycle' : draw < 0.92 ? 'car' : 'cars'
  const car = (id: string, deck: boolean): LoadVehicle => ({
    ...(cars[whole(0, kind === 'cars' ? 0 : cars.length - 1)] ?? (cars[0] as (typeof cars)[number])),
    id,
    deck,
  })
  const vehicles: LoadVehicle[] =
    kind === 'none'
      ? []
      : kind === 'motorcycle'
        ? [{ ...motorcycle, id: 'moto', deck: false }]
        : kind === 'car'
          ? [car('car', random() < 0.5)]
          : [car('car-1', random() < 0.5), car('car-2', random() < 0.5)]
  const [least, most] = roomM3[kind]
  const goal = least + random() * (most - least)
  const lines: Goods[] = []
  const room = (): string => rooms[whole(0, rooms.length - 1)] ?? rooms[0]
  let m3 = 0
  const size = goal / 40
  for (const [code, likely, max] of usual) {
    if (random() > likely * (0.5 + size / 2) || m3 > goal * 0.65) continue
    const row = reference.items.find((i) => i.id === code)
    if (row === undefined) throw new Error(`no item "${code}" in items.csv`)
    const quantity = whole(1, Math.max(1, Math.round(max * Math.min(1.2, 0.5 + size / 2))))
    const cubeM3 = row.ft3.times(M3_PER_FT3).toNumber()
    const vary = 0.9 + random() * 0.2
    const mm = (cm: { toNumber(): number }): number => Math.round(cm.toNumber() * 10 * vary)
    const handling = (['first-needed', 'fragile'] as const).filter((word) =>
      word === 'fragile' ? random() < 0.08 : random() < 0.05,
    )
    lines.push({
      line: `i${lines.length + 1}`,
      room: room(),
      item: row.label,
      quantity,
      usual: {
        code,
        sides: [mm(row.length_cm), mm(row.width_cm), mm(row.height_cm)],
        cubeM3,
        staysUpright: row.upright === 'yes',
        bears: row.stack as 'any' | 'light' | 'nothing',
        flat: row.flat === '1',
      },
      volumeM3: cubeM3,
      volumeStated: false,
      massKg: row.mass_kg.toNumber() * vary,
      value: 50 + random() * 500,
      goodsClass: 'furniture',
      packing: random() < 0.85 ? 'wrapped' : 'none',
      handling,
    })
    m3 += cubeM3 * quantity
  }
  const kinds = reference.cartons.map((c) => {
    const edge = Math.cbrt(c.ft3.times(M3_PER_FT3).toNumber()) * 1000
    const mm = (cm: { toNumber(): number } | undefined): number =>
      cm === undefined ? edge : cm.toNumber() * 10
    return { id: c.id, label: c.label, sides: [mm(c.length_cm), mm(c.width_cm), mm(c.height_cm)] as const }
  })
  const pieces = goodsPieces(lines, figures)
  let packed = pieces.reduce((sum, p) => sum + (p.lengthMm * p.widthMm * p.heightMm) / 1e9, 0)
  const cartons: NumberedCarton[] = []
  while (packed < goal) {
    const id = drawn(random())
    const row = reference.cartons.find((c) => c.id === id)
    const kindOf = kinds.find((k) => k.id === id)
    if (row === undefined || kindOf === undefined) throw new Error(`no carton "${id}" in cartons.csv`)
    const [lowKg, highKg] = [row.mass_low_kg.toNumber(), row.mass_high_kg.toNumber()]
    cartons.push({
      number: `c${cartons.length + 1}`,
      room: room(),
      carton: id,
      label: row.label,
      contents: [],
      volumeM3: 0,
      goodsKg: lowKg + random() * (highKg - lowKg),
      value: 40 + random() * 200,
      fragile: id === 'dish-pack' || random() < 0.1,
      firstNeeded: random() < 0.05,
    })
    packed += (kindOf.sides[0] * kindOf.sides[1] * kindOf.sides[2]) / 1e9
  }
  return { id: `home-${n}`, pieces: [...pieces, ...cartonPieces(cartons, kinds, 0.05, figures)], vehicles }
}
