import type { Program } from '../bulk/program.js'

/** An input that the page lets a household move. Numbers are decimal text, so that nothing is lost on the way. */
export interface PageInput {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly group: 'decide' | 'price'
  readonly low: string
  readonly likely: string
  readonly high: string
  /** Ends and step of the slider; low, likely and high are whole steps from `min`. */
  readonly min: string
  readonly max: string
  readonly step: string
  /** Value in each scenario as planned; they differ where scenarios state the input themselves. */
  readonly planned: readonly string[]
  readonly source: string
  readonly confirmed: string
  /** By how much the input alone, from low to high, moves the total of the scenario it moves most. */
  readonly effect: number
}

/** A way to carry the goods that every plan works out, as the page names it. */
export interface PageOption {
  readonly id: string
  readonly label: string
}

export interface PageScenario {
  readonly name: string
  /** The carriages among which the cheapest is taken, in the order that `transport.taken` counts; one if it is stated. */
  readonly carriages: readonly string[]
  readonly program: Program
}

/** A line of the table of figures. */
export interface PageRow {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly decimals: number
}

/** A word or a day that each scenario of the household chooses. */
export interface PageChoice {
  readonly id: string
  readonly label: string
  readonly kind: 'option' | 'date'
  readonly group: ChoiceGroup
  /** The words it may be; of a day none. */
  readonly allowed: readonly string[]
  /** As each scenario of `PageChoices.scenarios` states it. */
  readonly planned: readonly string[]
}

export type ChoiceGroup = 'first' | 'days' | 'doors' | 'services' | 'rest'

/** What the page plans anew from, where the household's own lists are in the file. */
export interface PageChoices {
  /** The scenarios of the household, each with all that makes it, in the order it is made. */
  readonly scenarios: readonly { readonly name: string; readonly changes: readonly StatedChange[] }[]
  readonly list: readonly PageChoice[]
}

export interface StatedChange {
  readonly id: string
  readonly value: string
}

/** Everything the page calculates and shows, as plain data. */
export interface PageData {
  readonly currency: string
  readonly minorUnits: number
  readonly scenarios: readonly PageScenario[]
  /** Position of the scenario recommended for the inputs as planned. */
  readonly recommended: number
  /** P10, P50 and P90 of each scenario's total for the inputs as planned. */
  readonly ranges: readonly { readonly p10: number; readonly p50: number; readonly p90: number }[]
  /** What to do, and the rule it was found by, for the inputs as planned. */
  readonly recommendation: { readonly sentence: string; readonly rule: string }
  readonly inputs: readonly PageInput[]
  readonly options: readonly PageOption[]
  readonly phases: readonly PageRow[]
  readonly rows: readonly PageRow[]
  /** What to type to make this page again; moved inputs are added behind it. */
  readonly command: string
  /** Missing where the file does not hold the household's lists: then only numbers move. */
  readonly choices?: PageChoices
}
