import type { LoadRules } from '../packing/index.js'
import { type Figures, figureOf } from '../pieces/index.js'

/**
 * The rules by which a crew loads household goods: rows `stack.heavy-from`, `support.*`, `lift.*`, `front.*`, `slender.*` and `reach.*` of
 * data/reference/stowage.csv. Throws one sentence naming a row that is missing.
 */
export function loadRulesOf(figures: Figures): LoadRules {
  return {
    heavyFromKg: figureOf(figures, 'stack.heavy-from'),
    supportShare: figureOf(figures, 'support.share'),
    softSupportShare: figureOf(figures, 'support.soft-share'),
    levelMm: figureOf(figures, 'support.level'),
    frontMm: figureOf(figures, 'front.tight'),
    slender: { ratio: figureOf(figures, 'slender.ratio'), reachMm: figureOf(figures, 'slender.reach') },
    reachMm: figureOf(figures, 'reach.over'),
    lift: { fromKg: figureOf(figures, 'lift.from'), highestMm: figureOf(figures, 'lift.highest') },
  }
}
