import type { Box } from '../types.js'

/** A figure in a sentence: at most one decimal. */
export function fig(n: number): string {
  return String(Math.round(n * 10) / 10)
}

/** A box in a sentence: its size and where it stands. */
export function boxText(b: Box): string {
  return `${b.dx} × ${b.dy} × ${b.dz} mm at ${b.x}, ${b.y}, ${b.z}`
}

/** Whether two stretches share more than an end. */
export function meets(a0: number, aLength: number, b0: number, bLength: number): boolean {
  return a0 < b0 + bLength && b0 < a0 + aLength
}

/** Length that two stretches share. */
export function overlapMm(a0: number, aLength: number, b0: number, bLength: number): number {
  return Math.max(0, Math.min(a0 + aLength, b0 + bLength) - Math.max(a0, b0))
}

/** Whether a top carries a base: they meet, or blankets of less than so many mm lie between. */
export function carries(top: number, base: number, blanketsMm: number): boolean {
  return base === top || (base > top && base - top < blanketsMm)
}
