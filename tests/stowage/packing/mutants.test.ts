import { expect, test } from 'vitest'
import { seeded } from '../../../src/stowage/packing/balance.js'
import type { Hold, LoadPlan, LoadRules, Piece, Placement, Rule } from '../../../src/stowage/packing/index.js'
import { validate } from '../../../src/stowage/packing/index.js'
import { ContainerPacking, loadRulesOf, standsOf } from '../../../src/stowage/plan/index.js'
import { holds, reference } from '../../bench/homes/containers.js'
import { home } from '../../bench/homes/household.js'

// Sound plans of invented homes are spoilt in one place, in such a way that by the wording of one rule nothing but a
// broken rule can come of it; the check has to name that very rule. A mutant that survives is a mistake of the check.
// That goods needed first stand near the door is a wish and no rule, so there are no mutants of it (wishes.test.ts).

/** A plan with what it was made of. */
interface Case {
  readonly hold: Hold
  readonly pieces: readonly Piece[]
  readonly plan: LoadPlan
  readonly rules: LoadRules
}

const ref = await reference()
const rows = new Map(ref.stowage.map((row) => [row.id, row.value.toNumber()]))
const figures = (id: string): number | undefined => rows.get(id)
const usual = loadRulesOf(figures)

/** Homes (number, container, millimetres that blankets level out) with and without vehicles and decks, each in a container that takes it in part or whole. */
const wanted: readonly (readonly [home: number, container: string, levelMm: number])[] = [
  [9, '22G1', 0],
  [10, '22G1', 25],
  [36, '22G1', 25],
  [4, '42G1', 0],
  [27, '42G1', 25],
  [61, '42G1', 0],
  [67, '45G1', 0],
]

/** Mutants of one kind made of one plan. */
const perPlan = 6

function casesOf(): readonly Case[] {
  return wanted.map(([n, container, levelMm]) => {
    const rules = { ...usual, levelMm }
    const { pieces, vehicles } = home(n, ref, figures)
    const found = holds(ref).find(({ id }) => id === container)
    if (found === undefined) throw new Error(`no container ${container}`)
    const hold: Hold = { ...found, balanceAcrossShare: 0.25, balanceHeightShare: 0.6 }
    const stood = standsOf({ hold, vehicles, clearance: { sideMm: 50, endMm: 100, topMm: 50 }, figures })
    if (!stood.ok) throw new Error(stood.reason)
    const packing = new ContainerPacking(hold, stood.stands, pieces, { rules })
    packing.advance(3000)
    const best = packing.best()
    if (best === undefined) throw new Error(`home ${n}: no plan`)
    return { hold: best.hold, pieces, plan: best.plan, rules }
  })
}

const meets = (a: number, aLength: number, b: number, bLength: number): boolean =>
  a < b + bLength && b < a + aLength
/** Whether one box bears another, blankets of less than so many millimetres between. */
const bears = (low: Placement, high: Placement, levelMm: number): boolean => {
  const gap = high.z - low.z - low.dz
  return (
    (gap === 0 || (gap > 0 && gap < levelMm)) &&
    meets(low.x, low.dx, high.x, high.dx) &&
    meets(low.y, low.dy, high.y, high.dy)
  )
}

const withPlacement = (c: Case, at: Placement, change: Partial<Placement>): Case => ({
  ...c,
  plan: { ...c.plan, placements: c.plan.placements.map((p) => (p === at ? { ...p, ...change } : p)) },
})
const withPiece = (c: Case, id: string, change: Partial<Piece>): Case => ({
  ...c,
  pieces: c.pieces.map((p) => (p.id === id ? { ...p, ...change } : p)),
})
const without = (c: Case, gone: readonly Placement[]): Case => ({
  ...c,
  plan: {
    ...c.plan,
    placements: c.plan.placements.filter((p) => !gone.includes(p)),
    leftOut: [...c.plan.leftOut, ...gone.map(({ pieceId }) => ({ pieceId, reason: 'mutant' }))],
  },
})
const inOrder = (c: Case, placements: readonly Placement[]): Case => ({
  ...c,
  plan: { ...c.plan, placements },
})

/** One way to spoil a plan at one of its pieces; nothing where this piece does not lend itself to it. */
type Spoil = (c: Case, at: Placement, piece: Piece) => Case | undefined

const onTop = (c: Case, at: Placement): Placement[] =>
  c.plan.placements.filter((p) => bears(at, p, c.rules.levelMm ?? 0))
const under = (c: Case, at: Placement): Placement[] =>
  c.plan.placements.filter((p) => bears(p, at, c.rules.levelMm ?? 0))
const decksOf = (c: Case): NonNullable<NonNullable<Hold['fixed']>[number]['deck']>[] =>
  (c.hold.fixed ?? []).flatMap(({ deck }) => (deck === undefined ? [] : [deck]))
const onDeck = (c: Case, at: Placement): boolean =>
  decksOf(c).some(
    (d) =>
      at.z >= d.zMm &&
      at.z - d.zMm <= (c.rules.levelMm ?? 0) &&
      meets(at.x, at.dx, d.x, d.dx) &&
      meets(at.y, at.dy, d.y, d.dy),
  )

const mutants: readonly (readonly [rule: Rule, how: string, spoil: Spoil])[] = [
  [
    'list',
    'dropped',
    (c, at) =>
      inOrder(
        c,
        c.plan.placements.filter((p) => p !== at),
      ),
  ],
  ['list', 'put in twice', (c, at) => inOrder(c, [...c.plan.placements, at])],
  ['list', 'of another household', (c, at) => withPlacement(c, at, { pieceId: 'stranger' })],
  ['inside', 'a millimetre through the front wall', (c, at) => withPlacement(c, at, { x: -1 })],
  [
    'inside',
    'a millimetre through a side wall',
    (c, at) => withPlacement(c, at, { y: c.hold.widthMm - at.dy + 1 }),
  ],
  [
    'inside',
    'a millimetre through the roof',
    (c, at) => withPlacement(c, at, { z: c.hold.heightMm - at.dz + 1 }),
  ],
  [
    'inside',
    'a millimetre through the doors',
    (c, at) => withPlacement(c, at, { x: c.hold.lengthMm - at.dx + 1 }),
  ],
  ['size', 'drawn out', (c, at) => withPlacement(c, at, { dx: at.dx + 1, dy: at.dy - 1 })],
  ['size', 'pressed flat', (c, at) => withPlacement(c, at, { dz: at.dz - 1 })],
  [
    'size',
    'stood on a side it may not stand on',
    (c, at, piece) =>
      at.folded === undefined && !(piece.upright ?? ['height']).includes('width')
        ? withPlacement(c, at, { upright: 'width', along: 'length' })
        : undefined,
  ],
  [
    'size',
    'pressed harder than it gives',
    (c, at, piece) =>
      at.folded === undefined && at.along === 'length' && (piece.squeezeShare ?? 0) >= 0
        ? withPlacement(c, at, { dx: Math.ceil(piece.lengthMm * (1 - (piece.squeezeShare ?? 0)) - 1e-6) - 1 })
        : undefined,
  ],
  [
    'size',
    'in the place of a piece of another size',
    (c, at) => {
      const own = [at.dx, at.dy, at.dz].toSorted((a, b) => a - b)
      const other = c.plan.placements.find((p) =>
        [p.dx, p.dy, p.dz]
          .toSorted((a, b) => a - b)
          .some((mm, i) => Math.abs(mm - (own[i] ?? 0)) > (own[i] ?? 0) * 0.2),
      )
      if (other === undefined) return undefined
      const swap: Record<string, string> = { [at.pieceId]: other.pieceId, [other.pieceId]: at.pieceId }
      return inOrder(
        c,
        c.plan.placements.map((p) => ({ ...p, pieceId: swap[p.pieceId] ?? p.pieceId })),
      )
    },
  ],
  ['size', 'folded as it cannot be', (c, at) => withPlacement(c, at, { folded: 9 })],
  [
    'size',
    'said to be folded and given its whole size',
    (c, at, piece) => {
      const fold = piece.foldedMm?.[0]
      const own = [at.dx, at.dy, at.dz].toSorted((a, b) => a - b)
      const folded = [...(fold ?? [])].toSorted((a, b) => a - b)
      return fold === undefined || at.folded !== undefined || own.every((mm, i) => mm === folded[i])
        ? undefined
        : withPlacement(c, at, { folded: 1 })
    },
  ],
  [
    'overlap',
    'pushed a millimetre into its neighbour',
    (c, at) => {
      const beside = c.plan.placements.some(
        (p) => p.x + p.dx === at.x && meets(p.y, p.dy, at.y, at.dy) && meets(p.z, p.dz, at.z, at.dz),
      )
      return beside ? withPlacement(c, at, { x: at.x - 1 }) : undefined
    },
  ],
  [
    'overlap',
    'sunk into what carries it',
    (c, at) =>
      under(c, at).length > 0 ? withPlacement(c, at, { z: at.z - (c.rules.levelMm ?? 0) - 1 }) : undefined,
  ],
  [
    'clear',
    'in the room kept for a vehicle',
    (c, at) => {
      const clear = c.hold.fixed?.[0]?.clear
      return clear === undefined ? undefined : withPlacement(c, at, { x: clear.x, y: clear.y, z: 0 })
    },
  ],
  [
    'support',
    'held up by nothing',
    (c, at) => {
      const bearers = under(c, at)
      return bearers.length === 0 || onDeck(c, at) ? undefined : without(c, bearers)
    },
  ],
  [
    'support',
    'lifted by a millimetre more than blankets fill',
    (c, at) => {
      const z = at.z + Math.max(1, c.rules.levelMm ?? 0)
      const tops = c.plan.placements.filter((p) => p !== at && p.z + p.dz > at.z && p.z + p.dz <= z)
      const others = tops.some((p) => meets(p.x, p.dx, at.x, at.dx) && meets(p.y, p.dy, at.y, at.dy))
      const exact = at.z === 0 || under(c, at).every((p) => p.z + p.dz === at.z)
      return others || !exact || onDeck(c, at) ? undefined : withPlacement(c, at, { z })
    },
  ],
  [
    'support',
    'shifted until less than its share rests',
    (c, at, piece) => {
      // What is left under it once it hangs out over the doors' end by more than the share of its base.
      const last = Math.max(...under(c, at).map((p) => p.x + p.dx), 0)
      const share = piece.soft === true ? (c.rules.softSupportShare ?? 1) : (c.rules.supportShare ?? 1)
      const x = Math.ceil(last - at.dx * share) + 1
      const carriedThere = c.plan.placements.some(
        (p) => p !== at && p.x + p.dx > last && bears(p, { ...at, x }, c.rules.levelMm ?? 0),
      )
      return last === 0 || x <= at.x || carriedThere || onDeck(c, { ...at, x })
        ? undefined
        : withPlacement(c, at, { x })
    },
  ],
  [
    'load',
    'nothing may stand on it',
    (c, at) => (onTop(c, at).length > 0 ? withPiece(c, at.pieceId, { fragile: true }) : undefined),
  ],
  [
    'load',
    'its top class lowered below what it carries',
    (c, at) => {
      const kg = onTop(c, at).map((p) => c.pieces.find(({ id }) => id === p.pieceId)?.massKg ?? 0)
      // Whoever rests on it alone weighs on it whole.
      const alone = onTop(c, at).findIndex((p) => under(c, p).length === 1 && !onDeck(c, p))
      return alone < 0 ? undefined : withPiece(c, at.pieceId, { maxLoadOnTopKg: (kg[alone] ?? 0) - 0.1 })
    },
  ],
  [
    'load',
    'heavier than what carries it bears',
    (c, at, piece) => {
      const limits = under(c, at).map((p) => c.pieces.find(({ id }) => id === p.pieceId)?.maxLoadOnTopKg)
      const finite = limits.filter((kg) => kg !== undefined)
      return finite.length === 0 || finite.length < limits.length || onDeck(c, at)
        ? undefined
        : withPiece(c, at.pieceId, { massKg: piece.massKg + finite.reduce((sum, kg) => sum + kg, 0) + 1 })
    },
  ],
  [
    'heavy',
    'a heavy piece on a lighter one',
    (c, at) => {
      const kg = under(c, at).map((p) => c.pieces.find(({ id }) => id === p.pieceId)?.massKg ?? 0)
      return kg.length === 0
        ? undefined
        : withPiece(c, at.pieceId, { massKg: Math.max(c.rules.heavyFromKg ?? 30, Math.min(...kg) + 0.1) })
    },
  ],
  [
    'floor',
    'off the floor',
    (c, at) => (at.z > 0 ? withPiece(c, at.pieceId, { floorOnly: true }) : undefined),
  ],
  [
    'lift',
    'lifted above breast height',
    (c, at, piece) =>
      at.z > (c.rules.lift?.highestMm ?? Number.POSITIVE_INFINITY)
        ? withPiece(c, at.pieceId, { massKg: Math.max(piece.massKg, c.rules.lift?.fromKg ?? 0) })
        : undefined,
  ],
  [
    'deck',
    'heavier than one piece on the deck may be',
    (c, at) => {
      const [deck] = decksOf(c)
      return deck === undefined || !onDeck(c, at)
        ? undefined
        : withPiece(c, at.pieceId, { massKg: Math.max(...decksOf(c).map((d) => d.maxPieceKg)) + 0.1 })
    },
  ],
  ['mass', 'heavier than the payload', (c, at) => withPiece(c, at.pieceId, { massKg: c.hold.payloadKg + 1 })],
  [
    'line',
    'heavier than a metre of floor bears',
    (c, at) => withPiece(c, at.pieceId, { massKg: c.hold.lineLoadKgPerM * Math.max(1, at.dx / 1000) + 1 }),
  ],
  [
    'balance',
    'an end so heavy that the middle of mass leaves its tenth of the length',
    (c, at) => {
      const off = (at.x + at.dx / 2) / c.hold.lengthMm - 0.5
      return Math.abs(off) < 0.2 ? undefined : withPiece(c, at.pieceId, { massKg: 1e6 })
    },
  ],
  [
    'balance',
    'a side so heavy',
    (c, at) => {
      const off = (at.y + at.dy / 2) / c.hold.widthMm - 0.5
      return Math.abs(off) < (c.hold.balanceAcrossShare ?? 0) + 0.01 || c.plan.unmet.length > 0
        ? undefined
        : withPiece(c, at.pieceId, { massKg: 1e6 })
    },
  ],
  [
    'balance',
    'top-heavy',
    (c, at) =>
      (at.z + at.dz / 2) / c.hold.heightMm < (c.hold.balanceHeightShare ?? 0) + 0.01
        ? undefined
        : withPiece(c, at.pieceId, { massKg: 1e6 }),
  ],
  [
    'door',
    'larger than the door',
    (c, at) =>
      withPiece(c, at.pieceId, {
        ...{ lengthMm: 2600, widthMm: 2600, heightMm: 2600, upright: ['height'], squeezeShare: 0 },
        foldedMm: [],
      }),
  ],
  [
    'door',
    'above the header with no room to lift it in',
    (c, at) => withPlacement(c, at, { z: c.hold.doorHeightMm + 1 - at.dz, x: c.hold.lengthMm - at.dx }),
  ],
  [
    'order',
    'loaded before what carries it',
    (c, at) => {
      const [bearer] = under(c, at)
      if (bearer === undefined) return undefined
      const others = c.plan.placements.filter((p) => p !== bearer)
      return inOrder(c, [...others, { ...bearer, stage: others.at(-1)?.stage ?? 1 }])
    },
  ],
  [
    'order',
    'loaded behind what shuts its place off',
    (c, at) => {
      const shut = c.plan.placements.some(
        (p) => p.x >= at.x + at.dx && meets(p.y, p.dy, at.y, at.dy) && meets(p.z, p.dz, at.z, at.dz),
      )
      const others = c.plan.placements.filter((p) => p !== at)
      return shut ? inOrder(c, [...others, { ...at, stage: others.at(-1)?.stage ?? 1 }]) : undefined
    },
  ],
  [
    'order',
    'in an earlier stage than the piece before it',
    (c, at) => (at !== c.plan.placements[0] ? withPlacement(c, at, { stage: 0 }) : undefined),
  ],
  [
    'front',
    'the whole load pushed off the front wall without need',
    (c) => {
      const hold = { ...c.hold, balanceShare: 0.5 }
      if ((hold.fixed ?? []).length > 0) return undefined
      const off = Math.min(...c.plan.placements.map((p) => p.x))
      const by = Math.max(0, (c.rules.frontMm ?? 0) + 1 - off)
      const longest = Math.max(...c.plan.placements.map((p) => p.x + p.dx))
      return longest + by > hold.lengthMm
        ? undefined
        : {
            ...inOrder(
              c,
              c.plan.placements.map((p) => ({ ...p, x: p.x + by })),
            ),
            hold,
          }
    },
  ],
  [
    'slender',
    'a slender piece untied',
    (c, at) => {
      const tied = c.plan.tied ?? []
      return tied.includes(at.pieceId)
        ? { ...c, plan: { ...c.plan, tied: tied.filter((id) => id !== at.pieceId) } }
        : undefined
    },
  ],
  [
    'slender',
    'its neighbours taken from beside it',
    (c, at, piece) => {
      const ratio = c.rules.slender?.ratio ?? 0
      const reach = c.rules.slender?.reachMm ?? 0
      const thin = Math.min(at.dx, at.dy)
      const alongX = at.dx === thin
      if (piece.soft === true || at.dz / thin < ratio || at.dx === at.dy) return undefined
      if (c.plan.tied?.includes(at.pieceId) === true || (c.hold.fixed ?? []).length > 0) return undefined
      // On the side of the doors, or to the right where no wall is near.
      if (!alongX && at.y + at.dy + reach >= c.hold.widthMm) return undefined
      const gone = c.plan.placements.filter((p) =>
        alongX
          ? p.x >= at.x + at.dx && p.x <= at.x + at.dx + reach && meets(p.y, p.dy, at.y, at.dy)
          : p.y >= at.y + at.dy && p.y <= at.y + at.dy + reach && meets(p.x, p.dx, at.x, at.dx),
      )
      return without(c, gone)
    },
  ],
  [
    'reach',
    'loaded last, deep behind goods that fill the width, and not announced',
    (c, at) => {
      const face = at.x + at.dx
      const over = c.plan.placements.filter((p) => p !== at && p.z < 1800 && p.x + p.dx > face)
      // Whoever stands anywhere is at most 25 mm from one of these places, so that 450 mm of him are in what is tried.
      const placesAlong = Array.from({ length: 15 }, (_, i) => face + i * 50 + 25)
      const placesAcross = Array.from(
        { length: Math.ceil((c.hold.widthMm - 500) / 50) + 1 },
        (_, j) => j * 50 + 25,
      )
      const blocked = placesAlong.every((x) =>
        placesAcross.every((y) => over.some((p) => meets(p.x, p.dx, x, 450) && meets(p.y, p.dy, y, 450))),
      )
      if (!blocked || (c.hold.fixed ?? []).length > 0) return undefined
      const others = c.plan.placements.filter((p) => p !== at)
      const last = inOrder(c, [...others, { ...at, stage: others.at(-1)?.stage ?? 1 }])
      return {
        ...last,
        plan: { ...last.plan, handedOn: last.plan.handedOn?.filter((id) => id !== at.pieceId) ?? [] },
      }
    },
  ],
]

test('every mutant is caught by the rule that it breaks', () => {
  const cases = casesOf()
  for (const c of cases) expect(validate(asSaid(c), c.pieces, c.plan, c.rules)).toEqual([])
  const random = seeded(11)
  const survivors: string[] = []
  const count = new Map<string, { made: number; caught: number }>()
  for (const [rule, how, spoil] of mutants) {
    const counted = { made: 0, caught: 0 }
    count.set(`${rule}: ${how}`, counted)
    for (const c of cases) {
      const order = c.plan.placements.map((at) => ({ at, by: random() })).sort((a, b) => a.by - b.by)
      let here = 0
      for (const { at } of order) {
        if (here === perPlan) break
        const piece = c.pieces.find(({ id }) => id === at.pieceId)
        const mutant = piece === undefined ? undefined : spoil(c, at, piece)
        if (mutant === undefined) continue
        here++
        counted.made++
        const found = validate(asSaid(mutant), mutant.pieces, mutant.plan, mutant.rules)
        if (found.some((v) => v.rule === rule)) counted.caught++
        else survivors.push(`${c.plan.holdId} ${rule}, ${how}: ${JSON.stringify(at)}`)
      }
    }
  }
  const table = [...count].map(([name, { made, caught }]) => `${name}: ${caught} of ${made}`)
  console.log(`mutants caught\n${table.join('\n')}`)
  expect(survivors).toEqual([])
  expect(table.filter((line) => line.endsWith(' of 0'))).toEqual([])
})

/** As `ContainerPacking` judges: what the plan itself says of balance across and in height is no mistake. */
function asSaid({ hold, plan }: Case): Hold {
  const { balanceAcrossShare: _, balanceHeightShare: __, ...lengthwise } = hold
  return plan.unmet.length === 0 ? hold : lengthwise
}
