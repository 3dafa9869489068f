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
export {
  type AsNumber,
  type Carriage,
  type Ceiling,
  type ChargeLine,
  type ChargeRules,
  type Counting,
  chargeLines,
  chargeRules,
  disposalCharge,
  type Entry,
  type FeeRule,
  type ImportCharges,
  importCharges,
  type Undetermined,
} from './charges/charge.js'
export {
  type CarriageAmounts,
  type CustomsOutcome,
  customsOutcome,
  headcount,
  type ImporterOption,
} from './charges/importer.js'
export {
  type Change,
  type ShipOrLeave,
  shipOrLeave,
  type WhatIf,
  whatWouldChange,
} from './charges/what-if.js'
export { describeCustomsFiles } from './describe.js'
export {
  type DutyLine,
  type DutyMove,
  type DutyPerson,
  dutyMove,
  goodsLine,
  type InHouseholdCurrency,
  vehicleLine,
} from './move.js'
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
export { type RestrictionHit, restrictions } from './papers/restrictions.js'
export { type WoodPackingVerdict, type WoodPart, woodPacking } from './papers/wood-packing.js'
export {
  assessFor,
  assessIn,
  decidingRoute,
  type ImportWindow,
  importWindows,
  insideOneTerritory,
  jurisdictionOf,
  type LineAssessment,
  type Outcome,
  type RouteAssessment,
  type Test,
  type TestName,
  type Verdict,
  verdictOf,
  verdictsIn,
} from './relief/assess.js'
export { type ReliefCell, reliefMatrix, statedValue } from './relief/matrix.js'
export { lineSentence, notDetermined, reasons, testSentence } from './relief/sentences.js'
export {
  CUSTOMS_FILES,
  type CustomsTables,
  customsColumns,
  customsFigure,
  type DocumentRow,
  type GoodsRule,
  holdsOn,
  type Jurisdiction,
  type Language,
  LEVIES,
  type Levy,
  type ReliefRow,
  readCustomsTables,
} from './tables.js'
