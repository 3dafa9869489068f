// What a workbook is made of before it is written: pages of cells, their looks, names, charts.
import type { Chart } from './chart-parts.js'
import type { Style } from './styles.js'

/** What a cell holds. Text is typed as text, so no program takes it for a formula. */
export type Content =
  | { readonly text: string; readonly style?: Style }
  | { readonly number: number; readonly style?: Style }
  /** `lines` is how many lines its text may take. */
  | { readonly formula: string; readonly style?: Style; readonly lines?: number }
  | { readonly style: Style }

/** A look laid over cells while a condition, written for the first of them, holds. */
export interface ConditionalLook {
  readonly range: string
  readonly condition: string
  readonly look: number
}

/** One sheet as it is written. Rows and columns are zero-based; a row may have holes. */
export interface Page {
  readonly name: string
  readonly rows: readonly (readonly (Content | undefined)[])[]
  /** Column widths in characters; 0 hides a column. */
  readonly widths: readonly number[]
  /** Rows and columns that stay in view. */
  readonly frozen?: { readonly rows: number; readonly columns: number }
  /** The row of headings, from which the rows below can be filtered. */
  readonly headings?: { readonly row: number; readonly columns: number }
  readonly hidden?: boolean
  readonly protected?: boolean
  readonly looks?: readonly ConditionalLook[]
  /** Cells that take numbers only. */
  readonly numbersOnly?: readonly string[]
  /** Cells that take one of the texts of other cells of the sheet, chosen from a list. */
  readonly lists?: readonly { readonly range: string; readonly texts: string }[]
  readonly portrait?: boolean
  /** Rows folded away under an outline: shown by the + in the margin, not printed. */
  readonly detailRows?: ReadonlySet<number>
  /** Columns that go to paper, the last one not counted. */
  readonly printed?: { readonly from: number; readonly to: number }
  /** All of it on one page, however small. */
  readonly onePage?: boolean
  readonly charts?: readonly Chart[]
}

/** A name for one cell, as formulas use it. */
export interface DefinedName {
  readonly name: string
  readonly sheet: string
  readonly column: number
  readonly row: number
}

export interface BookParts {
  readonly pages: readonly Page[]
  readonly names: readonly DefinedName[]
  readonly title: string
  /** Day the figures are of, as year-month-day. */
  readonly asOf?: string
}
