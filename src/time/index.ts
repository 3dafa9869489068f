export { chargedDays, type DayTier, dayCharges } from './day-charges.js'
