export { type ExportOptions, notebookToHtml } from './export.js'
export {
  type Cell,
  type CodeCell,
  type MimeBundle,
  type Notebook,
  NotebookError,
  notebookText,
  type Output,
  parseNotebook,
  readNotebook,
  type TextCell,
  writeNotebook,
} from './format.js'
export { type Completion, type ErrorDetail, type Execution, Kernel, type KernelOptions } from './kernel.js'
export { KERNEL_METADATA, KERNEL_NAME, writeKernelspec } from './kernelspec.js'
export type { JsonValue, Parameters } from './parameters.js'
export {
  type CellFailure,
  failureText,
  type NotebookRun,
  type Progress,
  type RunOptions,
  runNotebook,
  runNotebooks,
} from './run.js'
export { show, showChart, showTable, type Table, type TableColumn } from './show.js'
