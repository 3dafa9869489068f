/**
 * A whole number of 32 bits that hangs on two others and looks like chance: the same on every platform, and by itself,
 * so that point 9,999,999 of a sample needs none of the points before it.
 *
 * Two rounds of a multiplying mixer whose every input bit changes half of the output bits (as in hash functions of the
 * Murmur family, from memory); tests look at what it gives, not at where it comes from.
 */
export function mixed(a: number, b: number): number {
  let x = (Math.imul(a ^ 0x9e3779b9, 0x85ebca6b) + Math.imul(b ^ 0x7f4a7c15, 0xc2b2ae35)) | 0
  for (let round = 0; round < 2; round++) {
    x ^= x >>> 16
    x = Math.imul(x, 0x7feb352d)
    x ^= x >>> 15
    x = Math.imul(x, 0x846ca68b)
    x ^= x >>> 16
    x = (x + Math.imul(b, 0x27d4eb2f)) | 0
  }
  return x >>> 0
}
