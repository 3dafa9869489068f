export { type CoverCost, breakEvenChance, breakEvenDamage } from './break-even.js'
export { carrierLimit, type LiabilityLimit } from './carrier-liability.js'
export {
  actualCashValue,
  claimPaid,
  constructiveTotalLossPaid,
  damagedGoodsPaid,
  type DeductibleOrder,
  franchisePaid,
  insuredShare,
  type Loss,
  partLostPaid,
  type Repairable,
} from './claim.js'
export { averageSecurity, contributionPaid, generalAverageBalance, type Interest } from './general-average.js'
export { premium, sumInsuredCif } from './premium.js'
