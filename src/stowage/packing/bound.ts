import { type Stance, stances } from './kinds.js'
import type { Hold, Piece } from './types.js'

/** Why no arrangement whatever gets these pieces into a hold: the figure and what it may be at most. */
export interface Impossible {
  readonly why: 'inside' | 'door' | 'mass' | 'volume' | 'floor' | 'top' | 'scaled'
  /** A sentence with the figures. */
  readonly text: string
}

/**
 * A proof that the pieces cannot all go into a hold, or nothing when none is found (which proves nothing).
 *
 * Looked at: single pieces against inside and door; mass; volume; floor area of what must stand on the floor; area of
 * what carries nothing (with full support at most one such piece stands on any spot); and volumes with edges scaled
 * by dual feasible functions, which keep every true packing within one: S. P. Fekete and J. Schepers, "A general
 * framework for bounds for higher-dimensional orthogonal packing problems" (2004). Squeezed edges count as squeezed.
 */
export function impossible(hold: Hold, pieces: readonly Piece[]): Impossible | undefined {
  const standing = pieces.map((piece) => ({ piece, all: insideStances(hold, piece) }))
  return (
    tooLarge(hold, standing) ??
    tooHeavy(hold, pieces) ??
    tooMuch(hold, standing) ??
    tooMuchFloor(hold, standing) ??
    scaledTooMuch(hold, standing)
  )
}

/**
 * Whether a hold is the smallest of several that can take the pieces, by proof: each hold with less inside volume is
 * shown to be impossible. The list of reasons, one for each smaller hold, or nothing when a smaller one is not ruled out.
 */
export function provenSmallest(
  hold: Hold,
  others: readonly Hold[],
  pieces: readonly Piece[],
): readonly { readonly holdId: string; readonly reason: Impossible }[] | undefined {
  const proofs: { readonly holdId: string; readonly reason: Impossible }[] = []
  for (const other of others) {
    if (other.id === hold.id || insideMm3(other) >= insideMm3(hold)) continue
    const reason = impossible(other, pieces)
    if (reason === undefined) return undefined
    proofs.push({ holdId: other.id, reason })
  }
  return proofs
}

interface Candidate {
  readonly piece: Piece
  readonly all: readonly Stance[]
}

function insideMm3(hold: Hold): number {
  return hold.lengthMm * hold.widthMm * hold.heightMm
}

/** Room that fixed blocks take from goods: all of it under a deck, else all over their clear floor. */
function freeMm3(hold: Hold): number {
  let taken = 0
  for (const { clear, deck } of hold.fixed ?? []) {
    const area = clear.dx * clear.dy
    // A deck may be smaller than the clear floor; counting it as reaching over all of it keeps this a bound.
    taken += area * (deck === undefined ? hold.heightMm : deck.zMm)
  }
  return insideMm3(hold) - taken
}

function freeFloorMm2(hold: Hold): number {
  const taken = (hold.fixed ?? []).reduce((sum, { clear }) => sum + clear.dx * clear.dy, 0)
  return hold.lengthMm * hold.widthMm - taken
}

function insideStances(hold: Hold, piece: Piece): Stance[] {
  return stances(piece).filter(
    (s) => s.dx <= hold.lengthMm && s.dy <= hold.widthMm && s.heightMm <= hold.heightMm,
  )
}

function tooLarge(hold: Hold, standing: readonly Candidate[]): Impossible | undefined {
  for (const { piece, all } of standing) {
    const name = piece.label ?? piece.id
    const size = `${piece.lengthMm} × ${piece.widthMm} × ${piece.heightMm} mm`
    if (all.length === 0) {
      return {
        why: 'inside',
        text: `${name}, ${size}, does not fit inside ${hold.lengthMm} × ${hold.widthMm} × ${hold.heightMm} mm in any position it may have.`,
      }
    }
    if (!stances(piece).some((s) => s.dy <= hold.doorWidthMm && s.heightMm <= hold.doorHeightMm)) {
      return {
        why: 'door',
        text: `${name}, ${size}, does not pass the door of ${hold.doorWidthMm} × ${hold.doorHeightMm} mm in any position it may have.`,
      }
    }
  }
  return undefined
}

function tooHeavy(hold: Hold, pieces: readonly Piece[]): Impossible | undefined {
  const fixedKg = (hold.fixed ?? []).reduce((sum, block) => sum + block.massKg, 0)
  const kg = pieces.reduce((sum, piece) => sum + piece.massKg, fixedKg)
  if (kg <= hold.payloadKg + 1e-6) return undefined
  return {
    why: 'mass',
    text: `All together is ${kg.toFixed(0)} kg, and ${hold.payloadKg} kg is the most this container may carry.`,
  }
}

function tooMuch(hold: Hold, standing: readonly Candidate[]): Impossible | undefined {
  const mm3 = standing.reduce((sum, { all }) => sum + leastOf(all, (s) => s.dx * s.dy * s.dz), 0)
  const free = freeMm3(hold)
  if (mm3 <= free) return undefined
  return {
    why: 'volume',
    text: `All together is ${(mm3 / 1e9).toFixed(2)} m³, and there is room for ${(free / 1e9).toFixed(2)} m³ if every gap were filled.`,
  }
}

function tooMuchFloor(hold: Hold, standing: readonly Candidate[]): Impossible | undefined {
  const area = (chosen: readonly Candidate[]): number =>
    chosen.reduce((sum, { all }) => sum + leastOf(all, (s) => s.dx * s.dy), 0)
  const onFloor = area(standing.filter(({ piece }) => piece.floorOnly === true))
  const floor = freeFloorMm2(hold)
  if (onFloor > floor) {
    return {
      why: 'floor',
      text: `What must stand on the floor needs ${(onFloor / 1e6).toFixed(2)} m² of it, and there are ${(floor / 1e6).toFixed(2)} m².`,
    }
  }
  const bare = area(standing.filter(({ piece }) => piece.fragile === true || piece.maxLoadOnTopKg === 0))
  const decks = (hold.fixed ?? []).reduce(
    (sum, { deck }) => sum + (deck === undefined ? 0 : deck.dx * deck.dy),
    0,
  )
  if (bare > floor + decks) {
    return {
      why: 'top',
      text: `What may carry nothing covers ${(bare / 1e6).toFixed(2)} m², and there are ${((floor + decks) / 1e6).toFixed(2)} m² to stand it on.`,
    }
  }
  return undefined
}

type Scale = (share: number) => number

/** Below `e` nothing, above 1 − e the whole, between them as it is: things larger than half meet no partner. */
function cutOff(e: number): Scale {
  // Shares are whole mm of whole mm: what is nearer than a billionth is meant to be equal.
  return (share) => (share > 1 - e + 1e-9 ? 1 : share < e - 1e-9 ? 0 : share)
}

/** Rounds up to steps of 1/k unless a share is a whole number of 1/(k + 1): both from Fekete and Schepers. */
function stepped(k: number): Scale {
  return (share) => {
    const parts = (k + 1) * share
    const whole = Math.round(parts)
    return Math.abs(parts - whole) < 1e-9 ? share : Math.floor(parts) / k
  }
}

function scaledTooMuch(hold: Hold, standing: readonly Candidate[]): Impossible | undefined {
  // With something fixed inside, the hold is not a plain box and the argument does not hold.
  if ((hold.fixed ?? []).length > 0) return undefined
  const scales: readonly Scale[] = [
    (share) => share,
    ...[1, 2, 3].map(stepped),
    ...[0.5, 0.4, 0.34, 0.25, 0.2].map(cutOff),
  ]
  let most = 0
  for (const u of scales) {
    for (const v of scales) {
      for (const w of scales) {
        const scaled = (s: Stance): number =>
          u(s.dx / hold.lengthMm) * v(s.dy / hold.widthMm) * w(s.dz / hold.heightMm)
        most = Math.max(
          most,
          standing.reduce((sum, { all }) => sum + leastOf(all, scaled), 0),
        )
      }
    }
  }
  if (most <= 1 + 1e-9) return undefined
  return {
    why: 'scaled',
    text: `Large pieces meet no partner beside or above them: with edges counted as they can be combined, they fill ${(most * 100).toFixed(0)} % of the hold.`,
  }
}

function leastOf(all: readonly Stance[], of: (s: Stance) => number): number {
  return all.reduce((least, s) => Math.min(least, of(s)), Number.POSITIVE_INFINITY)
}
