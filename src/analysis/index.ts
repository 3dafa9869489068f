// Threads are in workers.ts, which only Node can load; everything here also runs in a browser.

export { type CoverOutcome, type LossTolerance, type SafetyStep, safetySteps } from '../insurance/index.js'
export { coverOutcomesOf, coverQuestion } from '../plan/cover-question.js'
export { type ResultClass, resultClasses } from './classes.js'
export { type ComparisonRow, compare, SUMMARY_CELLS, summaryCells } from './compare.js'
export { commonCorrelations } from './correlations.js'
export { COVER_CAUTION, type CoverLabels, chanceText, coverAdvice, coverLabel } from './cover-advice.js'
export { type Crossing, crossings } from './crossings.js'
export { type CustomsAdvice, customsAdvice } from './customs-advice.js'
export {
  type Distribution,
  meanOf,
  ofRange,
  quantileOf,
  RANGE_SHAPES,
  type RangeShape,
} from './distributions.js'
export {
  chanceBeats,
  chanceOver,
  convergence,
  quantile,
  type Summary,
  shortfall,
  summary,
} from './draw-summary.js'
export { type Correlation, type DrawPlan, drawer, together, type Uncertain } from './draws.js'
export { type Explanation, explain, formulaText, precedents } from './explain.js'
export { type LeftThing, leftBehind } from './left-behind.js'
export { coverCells, damageShare, riskCells } from './losses.js'
export { parquetOf } from './parquet.js'
export { ageInDays, type DecidingRate, decidingRates, isStale, stalePrices } from './rates.js'
export {
  type Candidate,
  RECOMMENDATION_RULE,
  type Recommendation,
  recommend,
  recommendationFacts,
} from './recommend.js'
export {
  cellOf,
  compileScenarios,
  outputId,
  type Reading,
  type RecordedScenario,
  rangedInputs,
  recordScenarios,
  statedIn,
  unstated,
} from './recorded-scenarios.js'
export { drawsOf, type Simulation, simulate } from './simulate.js'
export { onlyCells, type SimulationOptions, type SimulationPlan, simulationPlan } from './simulation-plan.js'
export {
  type ResultOf,
  rankCorrelations,
  type SobolIndex,
  simulationSobol,
  sobolIndices,
} from './sobol.js'
export {
  type Axis,
  axis,
  type Part,
  partRows,
  type Rows,
  rowCount,
  sweep,
  sweepCsv,
  sweepRows,
} from './sweep.js'
export { type GridPoint, gridPoints, type LinePoint, linePoints } from './sweep-points.js'
export {
  type Overtaking,
  overtakings,
  type RankingChange,
  rankingChanges,
  scenarioTornado,
  type TornadoBar,
  tornado,
} from './tornado.js'
export { RANGE_DRAWS, RANGE_START, type TotalRange, totalRanges } from './total-ranges.js'
export { type VariedPoint, vary, whatIf } from './vary.js'
