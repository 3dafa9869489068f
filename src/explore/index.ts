export { type Chosen, chosenFrom, hashOfChosen, pageChoices } from './choices.js'
export { Chooser, type Planned, type Sources, type Wishes } from './chooser.js'
export { type ExploreOptions, exploreData } from './data.js'
export { type ExploreAssets, explorePage, type PlannerAssets } from './page.js'
export type {
  PageChoice,
  PageChoices,
  PageData,
  PageInput,
  PageOption,
  PageRow,
  PageScenario,
} from './page-data.js'
export { Calculator, type Figures, hashOf, type Moved, movedFrom, setText } from './state.js'
export { type TurningPoint, turningPoints } from './turning-points.js'
export { type ExploreSources, exploreAssets, plannerAssets, writeExplore } from './write.js'
