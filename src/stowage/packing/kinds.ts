import { turningLengthMm } from './turning.js'
import type { Edge, Hold, LoadRules, Piece } from './types.js'

/** One way a piece may stand: its size along the hold's axes and which own edges those are. */
export interface Stance {
  readonly dx: number
  readonly dy: number
  readonly dz: number
  readonly upright: Edge
  readonly along: Edge
  /** Which of the piece's folded sizes, from 1; 0: its own. */
  readonly folded: number
  /** Its own edge that points up, mm; `dz` may be more, by what blankets level out. */
  readonly heightMm: number
}

/** Pieces that are alike in everything the packer looks at, their masses within a step of each other. */
export interface Kind {
  /** Heaviest first. */
  readonly pieces: readonly Piece[]
  readonly stances: readonly Stance[]
  /** Mass of the heaviest: whichever piece comes to stand in a place, it is allowed there. */
  readonly massKg: number
  readonly limitKg: number
  readonly floorOnly: boolean
  readonly soft: boolean
  readonly firstNeeded: boolean
  readonly group: string
  /** Value of one piece. */
  readonly value: number
}

const edges: readonly Edge[] = ['length', 'width', 'height']

/** The share the hard rule of the door is kept by: an edge pair that passes the opening. */
function passesDoor(stances: readonly Stance[], hold: Hold): boolean {
  return stances.some((s) => s.dy <= hold.doorWidthMm && s.heightMm <= hold.doorHeightMm)
}

/**
 * Every way a piece may stand in a hold, each once, largest floor length first in the order of its edges.
 * Horizontal edges are taken pressed (or widened) by `squeezeShare` and rounded up to whole mm; folded sizes may stand
 * any way up.
 *
 * @param levelMm heights are rounded up to steps of this, so that tops meet: blankets level out the rest
 */
export function stances(piece: Piece, levelMm = 0): Stance[] {
  const share = 1 - (piece.squeezeShare ?? 0)
  const seen = new Set<string>()
  const found: Stance[] = []
  sizesOf(piece).forEach((size, folded) => {
    for (const upright of folded === 0 ? (piece.upright ?? ['height']) : edges) {
      const [a, b] = edges.filter((edge) => edge !== upright)
      if (a === undefined || b === undefined) continue
      for (const [along, across] of [
        [a, b],
        [b, a],
      ] as const) {
        const dx = Math.ceil(size[along] * share - 1e-9)
        const dy = Math.ceil(size[across] * share - 1e-9)
        const heightMm = size[upright]
        const dz = levelMm > 1 ? Math.ceil(heightMm / levelMm) * levelMm : heightMm
        const key = `${dx},${dy},${heightMm}`
        if (seen.has(key)) continue
        seen.add(key)
        found.push({ dx, dy, dz, upright, along, folded, heightMm })
      }
    }
  })
  return found
}

function sizesOf(piece: Piece): Record<Edge, number>[] {
  const { lengthMm, widthMm, heightMm, foldedMm = [] } = piece
  return [
    { length: lengthMm, width: widthMm, height: heightMm },
    ...foldedMm.map(([length, width, height]) => ({ length, width, height })),
  ]
}

/** Volume of a piece as it lies in the hold, m³. */
export function stowedM3(piece: Piece): number {
  const s = stances(piece)[0]
  return s === undefined ? 0 : (s.dx * s.dy * s.heightMm) / 1e9
}

/** Pieces sorted into kinds, and those that cannot go in at all, with the reason. */
export function sortIntoKinds(
  hold: Hold,
  pieces: readonly Piece[],
  rules: LoadRules,
): { readonly kinds: readonly Kind[]; readonly refused: readonly { piece: Piece; reason: string }[] } {
  const byKey = new Map<string, { kind: Omit<Kind, 'pieces' | 'massKg'>; pieces: Piece[] }>()
  const heavyFromKg = rules.heavyFromKg ?? 30
  const refused: { piece: Piece; reason: string }[] = []
  for (const piece of pieces) {
    const all = stances(piece, rules.levelMm)
    const inside = all
      .filter((s) => s.dx <= hold.lengthMm && s.dy <= hold.widthMm && s.heightMm <= hold.heightMm)
      .map((s) => (s.dz <= hold.heightMm ? s : { ...s, dz: s.heightMm }))
    if (inside.length === 0) {
      refused.push({ piece, reason: tooLarge(piece, hold, 'inside') })
      continue
    }
    if (!passesDoor(all, hold)) {
      refused.push({ piece, reason: tooLarge(piece, hold, 'door') })
      continue
    }
    const reachable = inside.filter((s) => turningLengthMm(hold, piece, s) !== undefined)
    if (reachable.length === 0) {
      refused.push({ piece, reason: noTurning(piece, hold) })
      continue
    }
    const kind = {
      stances: reachable,
      limitKg: topLimitKg(piece),
      floorOnly: piece.floorOnly ?? false,
      soft: piece.soft ?? false,
      firstNeeded: piece.firstNeeded ?? false,
      group: piece.keepTogether ?? '',
      value: piece.value ?? stowedM3(piece),
    }
    const key = JSON.stringify([
      kind.stances.map((s) => [s.dx, s.dy, s.heightMm]),
      massClass(piece.massKg, heavyFromKg),
      String(kind.limitKg),
      kind.floorOnly,
      kind.soft,
      kind.firstNeeded,
      kind.group,
      kind.value,
    ])
    const known = byKey.get(key)
    if (known === undefined) byKey.set(key, { kind, pieces: [piece] })
    else known.pieces.push(piece)
  }
  const kinds = [...byKey.values()].map((entry): Kind => {
    const heavyFirst = entry.pieces.toSorted((a, b) => b.massKg - a.massKg)
    return { ...entry.kind, pieces: heavyFirst, massKg: heavyFirst[0]?.massKg ?? 0 }
  })
  return { kinds, refused }
}

/** Mass that may stand on a piece, kg; infinite where nobody says. */
export function topLimitKg({ fragile, maxLoadOnTopKg }: Piece): number {
  return fragile === true ? 0 : (maxLoadOnTopKg ?? Number.POSITIVE_INFINITY)
}

/** Steps of mass within which pieces of one size count as alike, kg. */
export const massStepKg = 3

// Only below the mass from which a piece may not stand on a lighter one: from there on every kilogram decides.
function massClass(massKg: number, heavyFromKg: number): string {
  return massKg < heavyFromKg ? `below ${Math.ceil(massKg / massStepKg) * massStepKg}` : `${massKg}`
}

function noTurning(piece: Piece, hold: Hold): string {
  const size = `${piece.lengthMm} × ${piece.widthMm} × ${piece.heightMm} mm`
  return `${piece.label ?? piece.id}, ${size}, passes the door of ${hold.doorWidthMm} × ${hold.doorHeightMm} mm, but cannot be turned or stood up inside ${hold.widthMm} × ${hold.heightMm} mm to stand in any position it may have.`
}

function tooLarge(piece: Piece, hold: Hold, where: 'inside' | 'door'): string {
  const size = `${piece.lengthMm} × ${piece.widthMm} × ${piece.heightMm} mm`
  const name = piece.label ?? piece.id
  const what =
    where === 'door'
      ? `does not pass the door of ${hold.doorWidthMm} × ${hold.doorHeightMm} mm`
      : `does not fit inside ${hold.lengthMm} × ${hold.widthMm} × ${hold.heightMm} mm`
  return `${name}, ${size}, ${what} in any position it may have. ${whatWouldHelp(piece, hold, where)}`
}

/** By which side a piece is too large where it fails least, and what to do about it. */
function whatWouldHelp(piece: Piece, hold: Hold, where: 'inside' | 'door'): string {
  const over = (s: Stance): number[] =>
    where === 'door'
      ? [0, s.dy - hold.doorWidthMm, s.heightMm - hold.doorHeightMm]
      : [s.dx - hold.lengthMm, s.dy - hold.widthMm, s.heightMm - hold.heightMm]
  const passes = (s: Stance): boolean => over(s).every((mm) => mm <= 0)
  const turned = stances({ ...piece, upright: edges }).filter(passes)
  if (turned.length > 0 && (piece.upright?.length ?? 1) < edges.length) {
    return 'It would lying on another side: let it be turned if it can bear that, or send it apart.'
  }
  const worst = (s: Stance): number => Math.max(...over(s))
  const best = stances(piece).reduce((least, s) => (worst(s) < worst(least) ? s : least))
  const axis = over(best).indexOf(worst(best))
  const edge: Edge =
    axis === 2
      ? best.upright
      : axis === 0
        ? best.along
        : (edges.find((e) => e !== best.upright && e !== best.along) ?? 'width')
  return `Its ${edge} is ${worst(best)} mm too much. Taken apart it may go in; else an open-top or flat container, or sent apart.`
}
