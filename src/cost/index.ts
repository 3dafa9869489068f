export {
  carrySteps,
  leastCharge,
  leastQuantityCharge,
  longCarryCharge,
  stairCharge,
} from './access-charges.js'
export { chargeableUnits, chargeableWeightKg } from './chargeable.js'
export { type CostCurve, type CostStretch, costAt, costCurve, type Switch, switches } from './crossover.js'
export { type Access, accessFactor, billedHour, crewBill, crewHours, waitingHours } from './labour.js'
export { Piecewise, piecewiseUpTo } from './piecewise.js'
export { priceForVolume } from './quote.js'
export { bridgeFormulaLb, roadCargo } from './road-limits.js'
export { costPerM3, switchM3 } from './unit-cost.js'
