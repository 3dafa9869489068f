import type { Num } from '../quantity/arithmetic.js'

/**
 * Density of goods above which mass fills a container before volume does, kg/m³.
 *
 * @param payloadKg what the container may carry by plate and road
 * @param usableM3 space for goods after broken stowage, more than 0
 *
 * Example: 19 958 kg and 64.94 m³ → 307.3; household goods at 112 stay far below.
 */
export const bindingKgPerM3 = <N extends Num<N>>(payloadKg: N, usableM3: N): N => payloadKg.div(usableM3)
