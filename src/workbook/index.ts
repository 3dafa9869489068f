export { containerDoors, type NamedNumber } from './constants.js'
export type { RecordedSheet, WorkbookScenario } from './layout.js'
export { type InputValue, type WorkbookOptions, workbook } from './workbook.js'
