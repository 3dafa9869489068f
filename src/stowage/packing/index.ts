export { centreOfGravity, type Weighed } from './balance.js'
export { type Impossible, impossible, provenSmallest } from './bound.js'
export { type Gap, gaps } from './gaps.js'

export { HoldSearch, type SearchTurn } from './hold-search.js'
export { type Stance, stances, stowedM3 } from './kinds.js'
export { loadingOrder } from './order.js'
export { type PackedPlan, type PackOptions, type PackProgress, pack } from './pack.js'
export { stageNumbers } from './stages.js'
export { tradePlaces } from './trade-places.js'
export { type Turning, turningLengthMm, turnings } from './turning.js'
export type {
  Box,
  Deck,
  Edge,
  FixedBlock,
  Hold,
  LeftOut,
  LoadPlan,
  LoadRules,
  Piece,
  Placement,
} from './types.js'
export { inFrontOf } from './unload.js'
export { type Rule, type Violation, validate } from './validate/index.js'
export { type GroupTogether, type Wishes, wishes } from './wishes.js'
