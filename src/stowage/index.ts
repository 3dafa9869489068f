export {
  frontHalfShare,
  offsetShare,
  type SpreadLoad,
} from './balance.js'
export { bindingKgPerM3 } from './binding-limit.js'
export {
  type CodeReading,
  type ContainerNumber,
  checkDigit,
  checkSum,
  parseContainerNumber,
  readSizeType,
  type SizeType,
} from './container-number.js'
export { type Acceleration, blockingForceN, lashingForceN, type SecuredPiece } from './lashing.js'
export * from './packing/index.js'
export * from './plan/index.js'
export {
  type CarInside,
  containersNeeded,
  grossMassKg,
  type Inside,
  nominalM3,
  payloadKg,
  usableM3,
} from './usable-space.js'
export { type VehicleFit, type VehicleSlack, type VehicleSpace, vehicleSlack } from './vehicle.js'
