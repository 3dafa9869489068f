export {
  addDays,
  addMonths,
  daysBetween,
  latestStart,
  type PeriodUnit,
  periodEnd,
  rollToWorkingDay,
  totalMonths,
  weekday,
  wholeMonthsBetween,
} from './calendar.js'
export { CUSTOMS_CAUTION, PROOF_CAUTION, RESTRICTED_CAUTION, VEHICLE_CAUTION } from './caution.js'
export { type Ceiling, type ChargeLine, type Counting, chargeLines } from './charges/charge-lines.js'
export { type AsNumber, type ChargeRules, chargeRules, type Surcharge } from './charges/charge-rules.js'
export {
  type ConsignmentCarriage,
  consignmentCharges,
  together,
} from './charges/consignments.js'
export { disposalCharge, type EarlySale, earlySales } from './charges/disposal.js'
export type { Entry } from './charges/entry.js'
export type { FeeRule } from './charges/fee.js'
export { type CustomsCarriage, type ImportCharges, importCharges } from './charges/import-charges.js'
export {
  authorityOf,
  type CarriageAmounts,
  type CustomsOutcome,
  customsOutcome,
  headcount,
  type ImporterOption,
  withAsk,
} from './charges/importer.js'
export { type ShipOrLeave, shipOrLeave } from './charges/ship-or-leave.js'
export type { Undetermined } from './charges/undetermined.js'
export { type VehicleCharge, vehicleCharges } from './charges/vehicle-charges.js'
export { type Change, type WhatIf, whatWouldChange } from './charges/what-if.js'
export { customsColumns, type Jurisdiction } from './columns.js'
export { describeCustomsFiles, describeSureness, type Sureness, surenessOf } from './describe.js'
export {
  type DutyLine,
  type DutyMove,
  type DutyPerson,
  dutyMove,
  goodsLine,
  type InHouseholdCurrency,
  vehicleLine,
} from './move.js'
export { OWN_CUSTOMS_FILE, ownCustomsColumns, withOwnRows } from './own-rows.js'
export type { DocumentRow, GoodsRule, Language } from './papers/columns.js'
export { type DocumentDue, documentsDue } from './papers/documents.js'
export {
  type CustomsList,
  type CustomsListHead,
  type CustomsListLine,
  type CustomsListTerms,
  customsList,
  customsListCsv,
  customsListHtml,
  type ValueCheck,
  type ValueCheckLine,
  valueCheck,
} from './papers/inventory-list.js'
export {
  type RestrictionHit,
  restrictions,
  type Stop,
  stops,
  type VehicleDeadline,
  vehicleDeadlines,
} from './papers/restrictions.js'
export { type ReliedRow, reliedOn } from './relied-on.js'
export {
  assessFor,
  assessIn,
  insideOneTerritory,
  jurisdictionOf,
  verdictsIn,
} from './relief/assess.js'
export type { ReliefRow, Span } from './relief/columns.js'
export { type ReliefCell, reliefMatrix } from './relief/matrix.js'
export { lineSentence, notDetermined, reasons, testSentence } from './relief/sentences.js'
export {
  decidingRoute,
  type LineAssessment,
  type Outcome,
  type RouteAssessment,
  type Test,
  type TestName,
  type Verdict,
} from './relief/verdict.js'
export { LEVIES, type Levy } from './shared-columns.js'
export {
  CUSTOMS_FILES,
  type CustomsTables,
  customsFigure,
  holdsOn,
  readCustomsTables,
} from './tables.js'
