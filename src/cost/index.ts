export {
  type AccessPrice,
  type CarrySteps,
  carrySteps,
  leastCharge,
  leastQuantityCharge,
  longCarryCharge,
  stairCharge,
} from './access-charges.js'
export { chargeableUnits, chargeableWeightKg } from './chargeable.js'
export { type Access, accessFactor, billedHour, crewBill, crewHours, waitingHours } from './labour.js'
export { bridgeFormulaLb, roadCargo } from './road-limits.js'
export { costPerM3, switchM3 } from './unit-cost.js'
