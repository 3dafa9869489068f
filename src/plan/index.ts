export { coverOutcomesOf } from './cover-question.js'
export { customsCarriage } from './customs/carriage.js'
export type { CustomsFindings } from './customs-cells.js'
export { background, figure } from './figure.js'
export { type Change, type ChoiceInput, type InputTable, withChanges } from './inputs.js'
export { type Cell, Ledger } from './ledger.js'
export {
  type DecidedSheet,
  type Move,
  type Plan,
  planOf,
  planScenarios,
  readMove,
  readMoveWith,
  readReferences,
  recordedSheet,
  scenariosOf,
} from './move.js'
export { planSheet, type Sheet } from './plan.js'
export type { References } from './plan-context.js'
export { Refusal } from './refusal.js'
export { asChanged, type Shipment, shipmentOf } from './shipment.js'
export { transportOptions } from './transport-options.js'
export { readBesideCells, type UnusedChange } from './unused.js'
