/** The columns of the reference tables, as data/README.md describes them. */
export { holidayColumns, leadTimeColumns, MILESTONES } from './reference-columns/calendar.js'
export { claimNoticeColumns, coverColumns, perilColumns } from './reference-columns/cover.js'
export {
  backgroundColumns,
  figureColumns,
  likelyColumns,
  stowageColumns,
} from './reference-columns/figures.js'
export {
  cartonColumns,
  containerColumns,
  itemColumns,
  roomStarterColumns,
  vehicleClassColumns,
} from './reference-columns/goods.js'
export { countryColumns, currencyColumns } from './reference-columns/places.js'
export {
  DRIVERS,
  freightColumns,
  PHASES,
  portChargeColumns,
  serviceColumns,
  serviceLevelColumns,
  wageColumns,
} from './reference-columns/prices.js'
