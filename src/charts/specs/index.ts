// Pure: plain data in, specifications out. The page takes these without Node; src/charts/index.ts adds drawing.
export {
  type CarriageLine,
  type CarriageSwitch,
  carriageAlt,
  carriageChart,
} from './carriage.js'
export type { Chart, ChartTheme } from './chart.js'
export { type ContainerCost, containerCostAlt, containerCostChart } from './containers.js'
export { type CoverBar, coverDecisionAlt, coverDecisionChart } from './cover-decision.js'
export { type CoverComparison, type CoverLine, coverCrossing, coversAlt, coversChart } from './covers.js'
export { type HeatPoint, type HeatTitles, heatMapAlt, heatMapChart } from './heat-map.js'
export {
  labourAlt,
  labourChart,
  type WageCrossing,
  type WagePoint,
  wageCrossings,
} from './labour.js'
export { type PhaseAmount, phasesAlt, phasesChart } from './phases.js'
export { type CostRange, rangesAlt, rangesChart } from './ranges.js'
export { type ReliefShare, reliefMatrixAlt, reliefMatrixChart } from './relief-matrix.js'
export { type RoomVolume, roomsAlt, roomsChart } from './rooms.js'
export {
  type SweepCrossing,
  type SweepPoint,
  type SweepTitles,
  sweepAlt,
  sweepChart,
} from './sweep.js'
export { type TimelineStep, timelineAlt, timelineChart } from './timeline.js'
export {
  type Bin,
  distributionAlt,
  distributionChart,
  type Swing,
  tornadoAlt,
  tornadoChart,
} from './uncertainty.js'
