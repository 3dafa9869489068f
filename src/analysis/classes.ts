/** A class of results and the share of draws that fell into it. */
export interface ResultClass {
  readonly from: number
  readonly until: number
  readonly share: number
}

/**
 * Classes of equal, round width for a picture of draws.
 *
 * A long tail would press the rest into a few bars, so the last class also holds the draws beyond the 99.5th
 * per cent.
 *
 * @param wanted about how many classes
 */
export function resultClasses(column: Float64Array, wanted = 30): ResultClass[] {
  const sorted = column.slice().sort()
  const least = sorted[0] ?? 0
  const most = sorted[Math.floor((sorted.length - 1) * 0.995)] ?? least
  const width = roundWidth((most - least) / wanted)
  const first = Math.floor(least / width)
  const count = Math.max(1, Math.floor(most / width) - first + 1)
  const shares = new Float64Array(count)
  for (const x of sorted) {
    const k = Math.min(count - 1, Math.max(0, Math.floor(x / width) - first))
    shares[k] = (shares[k] ?? 0) + 1 / sorted.length
  }
  return [...shares].map((share, k) => ({
    from: (first + k) * width,
    until: (first + k + 1) * width,
    // Sums of many small parts differ in their last digits by the order of the draws.
    share: Math.round(share * sorted.length) / sorted.length,
  }))
}

/** 1, 2 or 5 times a power of ten, not below the width asked for. */
function roundWidth(width: number): number {
  if (!(width > 0)) return 1
  const power = 10 ** Math.floor(Math.log10(width))
  return ([1, 2, 5, 10].find((step) => step * power >= width) ?? 10) * power
}
