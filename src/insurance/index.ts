export { breakEvenChance, breakEvenDamage, type CoverCost } from './break-even.js'
export { carrierLimit, type LiabilityLimit } from './carrier-liability.js'
export {
  actualCashValue,
  claimPaid,
  constructiveTotalLossPaid,
  type DeductibleOrder,
  damagedGoodsPaid,
  franchisePaid,
  insuredShare,
  type Loss,
  partLostPaid,
  type Repairable,
} from './claim.js'
export {
  type CoverOffer,
  type CoverOutcome,
  type CoverRisk,
  coverOutcomes,
  coverRisks,
  type GoodsAtRisk,
  type LossTolerance,
  NO_COVER,
  outcomesOf,
  type SafetyStep,
  safetySteps,
} from './cover-choice.js'
export { contributoryValue, madeGoodValue } from './declared-value.js'
export { indifferentSum } from './expected-loss.js'
export { averageSecurity, contributionPaid, generalAverageBalance, type Interest } from './general-average.js'
export { premium, sumInsuredCif } from './premium.js'
export { removalLimit } from './removal-liability.js'
export {
  type ChanceBounds,
  type CoverTerms,
  type RetainedLoss,
  retained,
  retainedLoss,
} from './retained-loss.js'
export { answeredShare, answersFor, type PerilShare, type TransitLoss, transitLoss } from './transit-loss.js'
