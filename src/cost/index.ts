export { chargeableUnits, chargeableWeightKg } from './chargeable.js'
export { type Access, accessFactor, billedHour, crewBill, crewHours, waitingHours } from './labour.js'
