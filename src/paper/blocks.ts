import type { Decimal } from 'decimal.js'
import type { Chart } from '../charts/specs/index.js'

/** A figure of the brief and where it comes from: cells of one scenario added up, less those of another if named. */
export interface Figure {
  readonly kind: 'figure'
  readonly value: Decimal
  readonly unit: string
  readonly decimals: number
  readonly scenario: string
  readonly cells: readonly string[]
  /** The scenario whose same cells were taken off: the figure is a difference. */
  readonly against?: string
  /** The other scenario where the figure is how far two are apart, without a sign. */
  readonly apart?: string
  /** Which end of the cell's range this is, if not the likely value. */
  readonly end?: 'low' | 'high'
  /** How it was worked out where it is no value of the cells themselves: a percentile of draws, the effect of an input. */
  readonly how?: string
  /** Shown without its unit, where the table says it once for all. */
  readonly bare?: true
}

/** A pointer to a section of this paper, or of another file; on paper it says the page. */
export interface Reference {
  readonly kind: 'reference'
  readonly to: string
  readonly text: string
  readonly file?: string
}

/** Words, figures and references in a row. Words are data: whatever shows them must escape them. */
export type Inline = string | Figure | Reference
export type Text = readonly Inline[]

export interface Column {
  readonly label: string
  readonly numeric?: boolean
}

/** A cell of a table: what it says, small print under it, and the id of the cell of the plan that it tells of. */
export interface TableCell {
  readonly text: Text
  readonly small?: string
  /** Shown in the analyst's copy alone. */
  readonly trace?: string
}

export interface TableRow {
  readonly kind?: 'group' | 'total'
  readonly cells: readonly TableCell[]
}

/** A picture that is drawn already: SVG text, and what it shows in words. */
export interface Picture {
  readonly caption: string
  readonly alt: string
  readonly svg: string
}

/** What a section of the brief is made of. */
export type Block =
  | { readonly kind: 'paragraph'; readonly text: Text; readonly lead?: boolean }
  | { readonly kind: 'facts'; readonly facts: readonly { readonly label: string; readonly text: Text }[] }
  | {
      readonly kind: 'table'
      readonly caption: string
      readonly columns: readonly Column[]
      readonly rows: readonly TableRow[]
      /** Small print: many rows that are looked up, not read. */
      readonly fine?: true
    }
  | { readonly kind: 'list'; readonly items: readonly Text[]; readonly fine?: true }
  | { readonly kind: 'chart'; readonly id: string; readonly caption: string; readonly chart: Chart }
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'references'; readonly references: readonly Omit<Reference, 'kind'>[] }
  | { readonly kind: 'pictures'; readonly pictures: readonly Picture[] }
  /** Where the load plan can be turned; what reads the brief brings the view, or leaves it out. */
  | { readonly kind: 'view' }
  | {
      readonly kind: 'warnings'
      readonly warnings: readonly {
        readonly severity: 'stop' | 'care' | 'note'
        readonly text: string
        readonly scenarios: readonly string[]
        readonly cells: readonly string[]
      }[]
    }

export interface Section {
  readonly id: string
  readonly title: string
  readonly blocks: readonly Block[]
  /** Stands behind the pages that are sent. */
  readonly annex?: boolean
}

/** Who sends a paper. */
export interface Sender {
  readonly name: string
  readonly address: readonly string[]
  readonly contact: readonly string[]
  readonly closing: string
  readonly logo?: {
    /** A data: address. */
    readonly address: string
    readonly alt: string
    readonly width: number
    readonly height: number
  }
}

/** A paper as data (the client brief, an enquiry): everything that is to be read, in order, with no markup. */
export interface PaperData {
  /** What the paper is, over its title. */
  readonly kind: string
  readonly household: string
  readonly from: string
  readonly to: string
  /** What was stated when, under the title. */
  readonly stated: string
  readonly recommended: string
  readonly sections: readonly Section[]
  readonly sender?: Sender
}

export const cell = (...text: Inline[]): TableCell => ({ text })
export const paragraph = (...text: Inline[]): Block => ({ kind: 'paragraph', text })
