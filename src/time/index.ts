export {
  type ConsignmentDates,
  consignmentDates,
  type FreeTimes,
  type Stretches,
} from './calendar.js'
export { chargedDays, type DayTier, dayCharges } from './day-charges.js'
export { dayIn, dayNumber, isoDay, nthWorkingDay, workingDaysUntil } from './day-number.js'
export {
  andThen,
  chanceBy,
  type DayOdds,
  dayWithChance,
  exactly,
  notBefore,
  pertDays,
  theLater,
  waitingDays,
} from './day-odds.js'
export {
  CLOCK_STARTS,
  type ClockStart,
  chargedDaysUntil,
  DAY_COUNTS,
  type DayCount,
  type FreeTime,
  lastFreeDay,
} from './free-time.js'
export { easterSunday, type HolidayRule, holidaysOf, isHolidayRule } from './holidays.js'
