import { boxText, carries, fig, overlapMm } from './boxes.js'
import type { Check, Load, Violation } from './load.js'

interface Bearer {
  readonly name: string
  readonly ids: readonly string[]
  readonly index: number
  readonly limitKg: number
  readonly massKg: number
  readonly x: number
  readonly y: number
  readonly dx: number
  readonly dy: number
  readonly heaviestKg: number
  readonly topMm: number
  readonly isDeck: boolean
}

/** Tops of pieces in loading order, and after them the decks. */
function bearersOf({ hold, stowed }: Load): readonly Bearer[] {
  const tops = stowed.map(({ piece, at, name }, index): Bearer => {
    const limitKg = piece.fragile === true ? 0 : (piece.maxLoadOnTopKg ?? Number.POSITIVE_INFINITY)
    const { x, y, dx, dy } = at
    const heaviestKg = Number.POSITIVE_INFINITY
    const [topMm, ids, massKg] = [at.z + at.dz, [piece.id], piece.massKg]
    return { name, ids, index, limitKg, massKg, x, y, dx, dy, topMm, heaviestKg, isDeck: false }
  })
  const decks = (hold.fixed ?? []).flatMap(({ id, label, deck }) =>
    deck === undefined ? [] : [{ name: `the deck over ${label ?? id}`, deck }],
  )
  return [
    ...tops,
    ...decks.map(({ name, deck }, i): Bearer => {
      const { x, y, dx, dy, zMm: topMm, maxLoadKg: limitKg, maxPieceKg: heaviestKg } = deck
      const [index, massKg] = [tops.length + i, Number.POSITIVE_INFINITY]
      return { name, ids: [], index, limitKg, massKg, x, y, dx, dy, topMm, heaviestKg, isDeck: true }
    }),
  ]
}

/** What a base rests on, who carries how much, and what is too heavy for what it stands on. */
export const checkStacks: Check = (all) => {
  const { stowed, rules } = all
  const found: Violation[] = []
  const heavyFromKg = rules.heavyFromKg ?? 30
  const blanketsMm = rules.levelMm ?? 0
  const bearers = bearersOf(all)
  const load = new Float64Array(bearers.length)
  const resting = new Int32Array(bearers.length)
  const fromTop = stowed.map((_, i) => i).sort((a, b) => (stowed[b]?.at.z ?? 0) - (stowed[a]?.at.z ?? 0))
  for (const i of fromTop) {
    const s = stowed[i]
    if (s === undefined) continue
    const { at, piece, name } = s
    if (at.z === 0) continue
    if (piece.floorOnly === true) {
      found.push({
        rule: 'floor',
        pieceIds: [piece.id],
        text: `${name} must stand on the floor and stands ${at.z} mm above it.`,
      })
    }
    const under = bearers
      .filter((b) => carries(b.topMm, at.z, blanketsMm))
      .map((b) => ({ b, mm2: overlapMm(at.x, at.dx, b.x, b.dx) * overlapMm(at.y, at.dy, b.y, b.dy) }))
      .filter(({ mm2 }) => mm2 > 0)
    const held = under.reduce((sum, { mm2 }) => sum + mm2, 0)
    const share = held / (at.dx * at.dy)
    const supportShare =
      piece.soft === true
        ? Math.min(rules.softSupportShare ?? 1, rules.supportShare ?? 1)
        : (rules.supportShare ?? 1)
    if (share < supportShare - 1e-9) {
      found.push({
        rule: 'support',
        pieceIds: [piece.id],
        text: `${name}, ${boxText(at)}, rests on ${fig(share * 100)} % of its base, expected ${fig(supportShare * 100)} %.`,
      })
    }
    for (const { b, mm2 } of under) {
      const kg = ((piece.massKg + (load[i] ?? 0)) * mm2) / held
      load[b.index] = (load[b.index] ?? 0) + kg
      resting[b.index] = (resting[b.index] ?? 0) + 1
      if (!b.isDeck && piece.massKg >= heavyFromKg && piece.massKg > b.massKg) {
        found.push({
          rule: 'heavy',
          pieceIds: [piece.id, ...b.ids],
          text: `${name}, ${fig(piece.massKg)} kg, stands on ${b.name}, only ${fig(b.massKg)} kg.`,
        })
      }
      if (piece.massKg > b.heaviestKg) {
        found.push({
          rule: 'deck',
          pieceIds: [piece.id],
          text: `${name}, ${fig(piece.massKg)} kg, stands on ${b.name}, which takes pieces of ${fig(b.heaviestKg)} kg at most.`,
        })
      }
    }
  }
  for (const b of bearers) {
    const kg = load[b.index] ?? 0
    const nothing = b.limitKg === 0 && (resting[b.index] ?? 0) > 0
    if (kg > b.limitKg + 1e-6 || nothing) {
      found.push({
        rule: b.isDeck ? 'deck' : 'load',
        pieceIds: b.ids,
        text: `${b.name} carries ${fig(kg)} kg, expected at most ${fig(b.limitKg)} kg.`,
      })
    }
  }
  return found
}
