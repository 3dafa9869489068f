import type { Num } from '../quantity/arithmetic.js'

/**
 * The most that a mover owes for lost or damaged goods where the law limits it by loading space, not by mass.
 *
 * @param loadingM3 space that the whole contract needs, m³, not that of the lost piece
 * @param perM3 money a cubic metre (row `liability.removal-de.m3`)
 *
 * Source: German Commercial Code (HGB) section 451e. Example: 40 m³ at 620 → 24 800.
 */
export const removalLimit = <N extends Num<N>>(loadingM3: N, perM3: N): N => loadingM3.times(perM3)
