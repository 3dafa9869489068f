export { type Case, casesOf, type HouseholdFiles } from './cases.js'
export { latinHypercube, type SampledRange } from './latin-hypercube.js'
export { type Points, pointsOf } from './points.js'
export {
  headLine,
  type Piece,
  piecesOf,
  pieceWriter,
  type ReadyStudy,
  readyStudy,
  refuseIdle,
  type StudyColumn,
} from './run.js'
export { type CustomsStatus, type ScenarioRows, scenarioRows } from './scenario-rows.js'
export { readStudy, type Study, studyColumns, VOLUME_FACTOR } from './study-file.js'
