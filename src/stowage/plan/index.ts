export {
  aboardScore,
  ContainerPacking,
  type ContainerPlan,
  type ContainerSearch,
  packContainer,
  type VehicleStand,
} from './pack-container.js'
export { loadRulesOf } from './rules.js'
export { type Candidate, smallestContainer, type Tried } from './smallest.js'
export { keepRooms, type Split, type SplitLimits, tornRooms } from './split-rooms.js'
export {
  type PackVerdict,
  packerEdition,
  packVerdict,
  standsOf,
  type VerdictQuestion,
  verdictKey,
} from './verdict.js'
export { workPerMs } from './work-rate.js'
