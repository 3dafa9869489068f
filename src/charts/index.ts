export { chartSvg } from './render.js'
export {
  type CarriageLine,
  type CarriageSwitch,
  carriageAlt,
  carriageChart,
} from './specs/carriage.js'
export type { Chart, ChartTheme } from './specs/chart.js'
export { type ContainerCost, containerCostAlt, containerCostChart } from './specs/containers.js'
export { type CountryCost, countriesAlt, countriesChart } from './specs/countries.js'
export { type CoverBar, coverDecisionAlt, coverDecisionChart } from './specs/cover-decision.js'
export {
  type CoverComparison,
  type CoverLine,
  coverCrossing,
  coversAlt,
  coversChart,
} from './specs/covers.js'
export { type HeatPoint, type HeatTitles, heatMapAlt, heatMapChart } from './specs/heat-map.js'
export {
  labourAlt,
  labourChart,
  type WageCrossing,
  type WagePoint,
  wageCrossings,
} from './specs/labour.js'
export { type PhaseAmount, phasesAlt, phasesChart } from './specs/phases.js'
export { type CostRange, rangesAlt, rangesChart } from './specs/ranges.js'
export { type ReliefShare, reliefMatrixAlt, reliefMatrixChart } from './specs/relief-matrix.js'
export { type RoomVolume, roomsAlt, roomsChart } from './specs/rooms.js'
export {
  type SweepCrossing,
  type SweepPoint,
  type SweepTitles,
  sweepAlt,
  sweepChart,
} from './specs/sweep.js'
export { type TimelineStep, timelineAlt, timelineChart } from './specs/timeline.js'
export {
  type Bin,
  distributionAlt,
  distributionChart,
  type Swing,
  tornadoAlt,
  tornadoChart,
} from './specs/uncertainty.js'
export { chartTheme } from './theme-file.js'
