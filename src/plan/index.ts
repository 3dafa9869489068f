export { type CustomsFindings, customsCarriage } from './customs-cells.js'
export { type Change, type ChoiceInput, type InputTable, inputTable, withChanges } from './inputs.js'
export { type Cell, Ledger } from './ledger.js'
export {
  type Move,
  type Plan,
  planOf,
  planScenarios,
  readMove,
  readMoveWith,
  readReferences,
  recordedSheet,
} from './move.js'
export { planSheet, type Sheet, TRANSPORT_OPTIONS } from './plan.js'
export type { References } from './plan-context.js'
export { Refusal } from './refusal.js'
