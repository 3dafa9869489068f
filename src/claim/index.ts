export { type ActualLine, actualsOf, ownRatesCsv } from './actuals.js'
export {
  type ActualRow,
  ARRIVAL_FOLDER,
  actualColumns,
  type ClaimRow,
  claimColumns,
  costLines,
  readActuals,
  readClaims,
} from './arrival-files.js'
export { type ClaimFacts, claimPaper } from './claim-paper.js'
export { conditionList, conditionListBody, emptyCsv, type ListedThing } from './condition-list.js'
export { DOCUMENTS, type NoticeDue, noticesDue } from './notices.js'
export { type ClaimedThing, type Settlement, settlement } from './settlement.js'
