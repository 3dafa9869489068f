export {
  type Case,
  type HouseholdFiles,
  type HouseholdTexts,
  householdsWith,
  type ReferenceFiles,
} from './cases.js'
export { type OpenStudy, openStudy, plannableOrigins, RoomsOnDisk, type StudyRow, studyRows } from './open.js'
export { type Points, pointsOf } from './points.js'
export {
  type Ground,
  groundOf,
  headLine,
  type Packing,
  type Piece,
  piecesOf,
  pieceWriter,
  type ReadyStudy,
  readyStudy,
  refuseIdle,
  type Stretch,
  type StudyColumn,
  stretchesOf,
} from './run.js'
export { latinHypercube, type Sample, type SampledRange, sobolSample } from './sample.js'
export { type CustomsStatus, type Fit, type ScenarioRows, scenarioRows } from './scenario-rows.js'
export { readStudy, type Study, studyColumns, VOLUME_FACTOR } from './study-file.js'
export type { StudyTexts } from './worker.js'
export { type StudyThreads, writeStretches } from './workers.js'
