/** The columns of a household's files, as data/README.md describes them. */
export { type HouseholdFacts, householdFacts, STREETS } from './household-columns/facts.js'
export { type Person, personColumns, STATUSES, type Status } from './household-columns/people.js'
export {
  exchangeColumns,
  PROVIDERS,
  type Provider,
  quoteColumns,
  rateColumns,
  serviceColumns,
} from './household-columns/prices.js'
export {
  consignmentColumns,
  HANDLING,
  HELD,
  type InventoryLine,
  inventoryColumns,
  type Vehicle,
  vehicleColumns,
} from './household-columns/things.js'
