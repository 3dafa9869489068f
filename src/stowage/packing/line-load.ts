import type { Hold } from './types.js'

/** Length of the bins in which the mass per metre is kept while packing, mm. */
export const lineBinMm = 250

/** Most that may stand on a bin: any metre lies within five of them, so four fifths of the limit keep every metre within it. */
export function mostInBinKg(lineLoadKgPerM: number): number {
  return (lineLoadKgPerM * 0.8 * lineBinMm) / 1000
}

/** Adds a mass that stands on a stretch of the hold to the bins under it; a mass below zero takes it away. */
export function addToLine(line: Float64Array, x: number, dx: number, massKg: number): void {
  const last = Math.floor((x + dx - 1) / lineBinMm)
  for (let bin = Math.floor(x / lineBinMm); bin <= last; bin++) {
    const from = Math.max(x, bin * lineBinMm)
    const to = Math.min(x + dx, (bin + 1) * lineBinMm)
    line[bin] = (line[bin] as number) + (massKg * (to - from)) / dx
  }
}

/** Mass per bin that fixed blocks put on the floor. */
export function fixedLine(hold: Hold): Float64Array {
  const line = new Float64Array(Math.ceil(hold.lengthMm / lineBinMm) + 1)
  for (const block of hold.fixed ?? []) {
    const from = Math.min(...block.boxes.map((b) => b.x))
    const to = Math.max(...block.boxes.map((b) => b.x + b.dx))
    addToLine(line, from, to - from, block.massKg)
  }
  return line
}
