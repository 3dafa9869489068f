import type { Box, FixedBlock, Hold, Piece } from '../types.js'
import { fig } from './boxes.js'
import type { Check, Violation } from './load.js'

/** The payload. */
export const checkMass: Check = ({ hold, stowed }) => {
  const found: Violation[] = []
  const fixedKg = (hold.fixed ?? []).reduce((sum, block) => sum + block.massKg, 0)
  const kg = stowed.reduce((sum, s) => sum + s.piece.massKg, fixedKg)
  if (kg > hold.payloadKg + 1e-6) {
    found.push({
      rule: 'mass',
      pieceIds: [],
      text: `The load is ${fig(kg)} kg, expected at most ${fig(hold.payloadKg)} kg.`,
    })
  }
  return found
}

function blockSpan(block: FixedBlock): { x: number; dx: number } {
  const from = Math.min(...block.boxes.map((b) => b.x))
  return { x: from, dx: Math.max(...block.boxes.map((b) => b.x + b.dx)) - from }
}

/** The heaviest metre, wherever it begins. Mass up to x grows in straight lines between the ends of pieces, so it begins or ends at one of them. */
export const checkLine: Check = ({ hold, stowed }) => {
  const found: Violation[] = []
  if (hold.lineLoadKgPerM === Number.POSITIVE_INFINITY) return []
  const spans = [
    ...stowed.map((s) => ({ x: s.at.x, dx: s.at.dx, kg: s.piece.massKg })),
    ...(hold.fixed ?? []).map((block) => ({ ...blockSpan(block), kg: block.massKg })),
  ]
  const slope = new Map<number, number>()
  for (const { x, dx, kg } of spans) {
    slope.set(x, (slope.get(x) ?? 0) + kg / dx)
    slope.set(x + dx, (slope.get(x + dx) ?? 0) - kg / dx)
  }
  const xs = [...slope.keys()].sort((a, b) => a - b)
  const upTo: number[] = []
  const slopes: number[] = []
  let kg = 0
  let now = 0
  xs.forEach((x, i) => {
    if (i > 0) kg += now * (x - (xs[i - 1] ?? x))
    upTo.push(kg)
    now += slope.get(x) ?? 0
    slopes.push(now)
  })
  const massUpTo = (x: number): number => {
    let low = 0
    let high = xs.length
    while (low < high) {
      const mid = (low + high) >> 1
      if ((xs[mid] ?? 0) <= x) low = mid + 1
      else high = mid
    }
    if (low === 0) return 0
    return (upTo[low - 1] ?? 0) + (slopes[low - 1] ?? 0) * (x - (xs[low - 1] ?? 0))
  }
  const metre = Math.min(1000, hold.lengthMm)
  let worst = { from: 0, kg: 0 }
  for (const x of xs) {
    for (const from of [x, x - metre]) {
      if (from < 0 || from + metre > hold.lengthMm) continue
      const here = massUpTo(from + metre) - massUpTo(from)
      if (here > worst.kg) worst = { from, kg: here }
    }
  }
  const perM = (worst.kg * 1000) / metre
  if (perM > hold.lineLoadKgPerM + 1e-6) {
    found.push({
      rule: 'line',
      pieceIds: [],
      text: `The metre from ${worst.from} mm carries ${fig(perM)} kg, expected at most ${fig(hold.lineLoadKgPerM)} kg.`,
    })
  }
  return found
}

/** Distances of the centre of gravity from front wall, left wall and floor, mm; nothing where there is no mass. */
function centreOf(
  hold: Hold,
  stowed: readonly { readonly piece: Piece; readonly at: Box }[],
): { readonly x: number; readonly y: number; readonly z: number } | undefined {
  let kg = 0
  const moment = { x: 0, y: 0, z: 0 }
  const add = (mass: number, b: Box): void => {
    kg += mass
    moment.x += mass * (b.x + b.dx / 2)
    moment.y += mass * (b.y + b.dy / 2)
    moment.z += mass * (b.z + b.dz / 2)
  }
  for (const { piece, at } of stowed) add(piece.massKg, at)
  for (const block of hold.fixed ?? []) {
    const volumes = block.boxes.map((b) => b.dx * b.dy * b.dz)
    const all = volumes.reduce((sum, v) => sum + v, 0)
    block.boxes.forEach((b, i) => {
      add((block.massKg * (volumes[i] ?? 0)) / all, b)
    })
  }
  return kg === 0 ? undefined : { x: moment.x / kg, y: moment.y / kg, z: moment.z / kg }
}

/** The centre of gravity, along, across and in height. */
export const checkBalance: Check = ({ hold, stowed }) => {
  const found: Violation[] = []
  const centre = centreOf(hold, stowed)
  if (centre === undefined) return []
  const broken = (text: string): void => {
    found.push({ rule: 'balance', pieceIds: [], text: `The centre of gravity is ${text}` })
  }
  const { x, y, z } = centre
  const along = x / hold.lengthMm - 0.5
  if (Math.abs(along) > hold.balanceShare + 1e-9) {
    broken(
      `${fig(x)} mm from the front wall, ${fig(along * 100)} % of the length from the middle, expected within ${fig(hold.balanceShare * 100)} % either way.`,
    )
  }
  const across = y / hold.widthMm - 0.5
  const acrossLimit = hold.balanceAcrossShare ?? Number.POSITIVE_INFINITY
  if (Math.abs(across) > acrossLimit + 1e-9) {
    broken(
      `${fig(y)} mm from the left wall, ${fig(across * 100)} % of the width from the middle, expected within ${fig(acrossLimit * 100)} % either way.`,
    )
  }
  const heightLimit = hold.balanceHeightShare ?? Number.POSITIVE_INFINITY
  if (z / hold.heightMm > heightLimit + 1e-9) {
    broken(
      `${fig(z)} mm above the floor, ${fig((z / hold.heightMm) * 100)} % of the height, expected at most ${fig(heightLimit * 100)} %.`,
    )
  }
  return found
}

/** The load begins at the front wall. It stands off it for the balance alone: half the way back would already break that. */
export const checkFront: Check = ({ hold, stowed, rules: { frontMm: limitMm } }) => {
  if (limitMm === undefined || stowed.length === 0) return []
  const firstBlock = Math.min(...(hold.fixed ?? []).map(({ clear }) => clear.x))
  const gapMm = Math.min(firstBlock, ...stowed.map(({ at }) => at.x))
  if (gapMm <= limitMm) return []
  const back = stowed.map(({ piece, at }) => ({
    piece,
    at: at.x < firstBlock ? { ...at, x: at.x - gapMm / 2 } : at,
  }))
  const along = (centreOf(hold, back)?.x ?? hold.lengthMm / 2) / hold.lengthMm - 0.5
  if (Math.abs(along) > hold.balanceShare + 1e-9) return []
  return [
    {
      rule: 'front',
      pieceIds: [],
      text: `The load begins ${gapMm} mm behind the front wall, expected at most ${limitMm} mm; the balance does not ask for it.`,
    },
  ]
}
