export type { InputValue, WorkbookOptions } from './book.js'
export { containerDoors, type NamedNumber } from './constants.js'
export type { RecordedSheet, WorkbookScenario } from './layout.js'
export { workbook } from './workbook.js'
