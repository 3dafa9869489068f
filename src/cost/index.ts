export { leastCharge } from './access-charges.js'
export { chargeableUnits, chargeableWeightKg } from './chargeable.js'
export { type CrewDay, type CrewOffer, crewForTheDay, crewOverhead, packersForTheDay } from './crew.js'
export { type CostCurve, type CostStretch, costAt, costCurve, type Switch, switches } from './crossover.js'
export {
  containerStands,
  DOOR_WAYS,
  type DoorWay,
  lorryWaits,
  type Street,
  smallTrucks,
  waysOf,
} from './door.js'
export { type EmployerMoney, employerGives } from './employer.js'
export { freightOnLane, inForce, type Lane, type LanePrice } from './freight-lane.js'
export { type Access, accessFactor, crewBill, crewHours, waitingHours } from './labour.js'
export {
  escalated,
  type HourShares,
  moversHour,
  moversLabourCost,
  type WageKind,
} from './movers-hour.js'
export { type PackingPace, packingHours } from './packing-work.js'
export { Piecewise, piecewiseUpTo } from './piecewise.js'
export { priceForVolume, splitBundle } from './quote.js'
export { roadCargo } from './road-limits.js'
export { type Hands, hiredByTheDay, sharedHours } from './team.js'
export { costPerM3 } from './unit-cost.js'
