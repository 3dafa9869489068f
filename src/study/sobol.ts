/**
 * Primitive polynomials and initial direction numbers of the second and later dimensions: the polynomial's coefficients
 * between its first and last as the bits of `a`, and as many odd numbers `m` as its degree.
 *
 * Source: S. Joe and F. Y. Kuo, "Constructing Sobol sequences with better two-dimensional projections", SIAM Journal on
 * Scientific Computing 30 (2008), 2635-2654, table new-joe-kuo-6, its first dimensions. From memory; compared on 26
 * November 2026 with the points that SciPy 1.10 makes from the same table.
 */
const DIRECTIONS: readonly { readonly a: number; readonly m: readonly number[] }[] = [
  { a: 0, m: [1] },
  { a: 1, m: [1, 3] },
  { a: 1, m: [1, 3, 1] },
  { a: 2, m: [1, 1, 1] },
  { a: 1, m: [1, 1, 3, 3] },
  { a: 4, m: [1, 3, 5, 13] },
  { a: 2, m: [1, 1, 5, 5, 17] },
  { a: 4, m: [1, 1, 5, 5, 5] },
  { a: 7, m: [1, 1, 7, 11, 19] },
  { a: 11, m: [1, 1, 5, 1, 1] },
  { a: 13, m: [1, 1, 1, 3, 11] },
  { a: 14, m: [1, 3, 5, 5, 31] },
  { a: 1, m: [1, 3, 3, 9, 7, 49] },
  { a: 13, m: [1, 1, 1, 15, 21, 21] },
  { a: 16, m: [1, 3, 1, 13, 27, 49] },
  { a: 19, m: [1, 1, 1, 15, 7, 5] },
  { a: 22, m: [1, 3, 1, 15, 13, 25] },
  { a: 25, m: [1, 1, 5, 5, 19, 61] },
  { a: 1, m: [1, 3, 7, 11, 23, 15, 103] },
  { a: 4, m: [1, 3, 7, 13, 13, 15, 69] },
]

/** How many inputs a Sobol sample can have. */
export const SOBOL_DIMENSIONS = DIRECTIONS.length + 1

const BITS = 32

/**
 * One dimension of the Sobol sequence, by index and not one after the other, so that a part of a sample is what it is
 * in the whole.
 *
 * @param dimension 0 to SOBOL_DIMENSIONS − 1
 * @returns point `index`, 0 to 2³² − 1, as a whole number of 2⁻³². In Gray code order: 0, 1/2, 3/4, 1/4, 3/8, …
 */
export function sobolDimension(dimension: number): (index: number) => number {
  const v = directionNumbers(dimension)
  return (index) => {
    let gray = (index ^ (index >>> 1)) >>> 0
    let x = 0
    for (let bit = 0; gray !== 0; bit++, gray >>>= 1) if (gray & 1) x ^= v[bit] ?? 0
    return x >>> 0
  }
}

/** The direction numbers of one dimension, the first one's highest bit first (Bratley and Fox 1988, recurrence). */
function directionNumbers(dimension: number): Uint32Array {
  if (dimension === 0) return Uint32Array.from({ length: BITS }, (_, k) => 2 ** (BITS - 1 - k))
  const row = DIRECTIONS[dimension - 1]
  if (!row) throw new Error(`the table has ${SOBOL_DIMENSIONS} dimensions, not ${dimension + 1}`)
  const degree = row.m.length
  const v = new Uint32Array(BITS)
  row.m.forEach((m, k) => {
    v[k] = m * 2 ** (BITS - 1 - k)
  })
  for (let k = degree; k < BITS; k++) {
    const before = v[k - degree] ?? 0
    let next = before ^ (before >>> degree)
    for (let j = 1; j < degree; j++) if ((row.a >>> (degree - 1 - j)) & 1) next ^= v[k - j] ?? 0
    v[k] = next >>> 0
  }
  return v
}
