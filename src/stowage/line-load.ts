import type { Num } from '../quantity/arithmetic.js'

/**
 * Load on each metre of a container's length, kg/m. A short heavy piece needs beams below it to reach more floor.
 *
 * @param massKg mass of the piece or stack
 * @param lengthM length it rests on, more than 0
 *
 * Source: limits in column `line_load_kg_per_m` of data/reference/containers.csv. Example: 15 000 kg on 6 m → 2 500.
 */
export const lineLoadKgPerM = <N extends Num<N>>(massKg: N, lengthM: N): N => massKg.div(lengthM)

/** Length that a piece must rest on to stay within the limit, m. Example: 16 000 kg at 3 000 kg/m → 5.33 m. */
export const beddingLengthM = <N extends Num<N>>(massKg: N, limitKgPerM: N): N => massKg.div(limitKgPerM)
