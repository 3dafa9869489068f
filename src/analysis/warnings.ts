import type { Move, Plan } from '../plan/move.js'
import { costWarnings } from './warnings/cost.js'
import { insuranceWarnings, valueWarnings } from './warnings/cover.js'
import { goodsWarnings, stairsWarnings } from './warnings/goods.js'
import { stowageStops, stowageWarnings } from './warnings/stowage.js'
import { timeWarnings } from './warnings/time.js'
import type { PlanWarning } from './warnings/warning.js'

/**
 * What a reader must know before acting on a plan: read from its exact and its bounded sheet and from the
 * household's files. `stop`: the plan does not work; `care`: it may cost dear; `note`: worth knowing.
 *
 * @returns warnings, the gravest first
 */
export function warnings(move: Move, plan: Plan): PlanWarning[] {
  const found = [
    ...stowageStops(plan),
    ...stowageWarnings(plan),
    ...stairsWarnings(move, plan),
    ...timeWarnings(move, plan),
    ...insuranceWarnings(move, plan),
    ...costWarnings(move, plan),
    ...valueWarnings(plan),
    ...goodsWarnings(plan),
  ]
  const rank = { stop: 0, care: 1, note: 2 }
  return found.sort((a, b) => rank[a.severity] - rank[b.severity])
}
