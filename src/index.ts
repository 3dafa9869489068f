// What notebooks and other programs use: the model by its steps, and the few calls that read a household from disk.

export { briefData } from './brief/index.js'
export {
  carriageChart,
  chartTheme,
  containerCostChart,
  coverDecisionChart,
  coversChart,
  distributionChart,
  heatMapChart,
  labourChart,
  phasesChart,
  rangesChart,
  reliefMatrixChart,
  roomsChart,
  sweepChart,
  tornadoChart,
  wageCrossings,
} from './charts/index.js'
export * as cost from './cost/index.js'
export * as duty from './duty/index.js'
export * as insurance from './insurance/index.js'
export { loadFigures, loadingList, loadPlan } from './load/index.js'
export { showStages } from './load/show.js'
export { showSection } from './notebook/present.js'
export { showChart, showTable } from './notebook/show.js'
export { exact } from './quantity/index.js'
export * as risk from './risk/index.js'
export type { Change, Move, Plan, Sheet } from './scenario/index.js'
export {
  compare,
  customsAdvice,
  explain,
  formulaText,
  planOf,
  planScenarios,
  recordedSheet,
  vary,
  whatIf,
} from './scenario/index.js'
export { DEMO_HOUSEHOLD, openHousehold, Refusal } from './scenario/open.js'
export { figureText, numberText } from './scenario/words.js'
export * as stowage from './stowage/index.js'
export * as time from './time/index.js'
export * as volume from './volume/index.js'
