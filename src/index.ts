// What notebooks and other programs use: the model by its steps, and the few calls that read a household from disk.

export * as analysis from './analysis/index.js'
export {
  compare,
  customsAdvice,
  explain,
  formulaText,
  recommend,
  totalRanges,
  vary,
  whatIf,
} from './analysis/index.js'
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
export * as customs from './customs/index.js'
export * as duty from './customs/index.js'
export * as insurance from './insurance/index.js'
export { loadFigures, loadingList, loadPlan } from './load/index.js'
export { openLoadPlan } from './load/kept-loads-file.js'
export { showStages } from './load/show.js'
export { showSection } from './notebook/present.js'
export { showChart, showTable } from './notebook/show.js'
export { showInputs } from './notebook/show-inputs.js'
export { figureText, numberText } from './paper/format.js'
export type { Change, Move, Plan, Sheet } from './plan/index.js'
export { background, coverOutcomesOf, figure, planOf, planScenarios, recordedSheet } from './plan/index.js'
export { DEMO_HOUSEHOLD, openHousehold, Refusal } from './plan/open.js'
export { exact } from './quantity/index.js'
export * as stowage from './stowage/index.js'
export * as time from './time/index.js'
export * as volume from './volume/index.js'
