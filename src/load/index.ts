export { bookHtml } from './book.js'
export { contradictions } from './contradictions.js'
export { type CrewWork, crewWork, type Material, type StageWork } from './crew-work.js'
export { type LoadFigures, loadFigures } from './figures.js'
export { find, numbers } from './find.js'
export { holdsOf, type LoadHold } from './hold-of.js'
export { loadJson } from './json.js'
export { type Effort, type KeptLoad, keptOf, loadContent, recalled, toKeep } from './kept-loads.js'
export { contentsText, type ListRow, loadingList, loadingListCsv } from './list.js'
export { loadPlan } from './load-plan.js'
export type { LoadedContainer, LoadOptions, LoadProgress, LoadResult, Trial } from './load-result.js'
export { isBestSearch, isBetterSearch, type LoadSearch, loadSearch, loadWork } from './load-search.js'
export {
  LOADED_FILE,
  LOADING_FOLDER,
  type LoadedRow,
  loadedColumns,
  loadedForm,
  readLoaded,
  type Stayed,
  stayedBehind,
} from './loaded.js'
export { loadHtml, type PageAssets } from './page.js'
export { viewBox, viewScene } from './page-view.js'
export { type Load, loadOf, numberedCartons, stowageFigures } from './pieces-of.js'
export { type BalanceRow, balanceRows, highRow } from './verdicts.js'
export { answer, bookedText, cautions, proofText } from './words.js'
