export { dayChargesFromClock } from './clock-tiers.js'
export { chargedDays, type DayTier, dayCharges } from './day-charges.js'
export { type ClockStart, chargedDaysUntil, type DayCount, type FreeTime, lastFreeDay } from './free-time.js'
