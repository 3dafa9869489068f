import type { Decimal } from 'decimal.js'
import type { Figure, Reference } from './blocks.js'

/** What may stand inside a sentence. A text is shown as it is: names, and the household's own words. */
export type Value = string | Sentence | Amount | Day | Label | Several | Figure | Reference

/** A number with its unit, written as the language writes it. */
export interface Amount {
  readonly kind: 'amount'
  readonly value: Decimal
  readonly unit: string
  readonly decimals: number
}

/** A day of the calendar, ISO date. */
export interface Day {
  readonly kind: 'day'
  readonly on: string
}

/** The label of a row of a reference table, as the table of labels has it in the language. */
export interface Label {
  readonly kind: 'label'
  readonly id: string
  readonly otherwise: string
  /** Inside a sentence: small letters, but where the language writes its nouns with capitals. */
  readonly inside: boolean
}

/** Several things in a row, after the first few of them the rest is counted. */
export interface Several {
  readonly kind: 'several'
  readonly of: readonly Value[]
  readonly most: number
}

/**
 * A sentence as data: its English stands in the code, where what it says is known, and is the key by which
 * data/reference/strings/sentences.csv has it in other languages. `{1}` is the first value, and so on.
 */
export interface Sentence {
  readonly kind: 'sentence'
  readonly english: string
  readonly values: readonly Value[]
}

/** Template tag that makes a sentence: `says\`Loading is set for ${day(on)}.\``. */
export const says = (parts: TemplateStringsArray, ...values: readonly Value[]): Sentence => ({
  kind: 'sentence',
  english: parts.reduce((text, part, at) => `${text}{${at}}${part}`),
  values,
})

/** A sentence that is data itself, such as a rule's advice in a reference table; no values. */
export const phrase = (english: string): Sentence => ({ kind: 'sentence', english, values: [] })

/** Sentences one after the other; empty ones are left out. */
export const inARow = (...sentences: readonly (Sentence | undefined)[]): Sentence => {
  const there = sentences.filter((sentence) => sentence !== undefined)
  return { kind: 'sentence', english: there.map((_, at) => `{${at + 1}}`).join(' '), values: there }
}

export const amount = (value: Decimal, unit: string, decimals = 0): Amount => ({
  kind: 'amount',
  value,
  unit,
  decimals,
})
export const day = (on: string): Day => ({ kind: 'day', on })
export const label = (id: string, otherwise: string): Label => ({
  kind: 'label',
  id,
  otherwise,
  inside: false,
})
export const inside = (id: string, otherwise: string): Label => ({
  kind: 'label',
  id,
  otherwise,
  inside: true,
})
export const several = (of: readonly Value[], most = Number.POSITIVE_INFINITY): Several => ({
  kind: 'several',
  of,
  most,
})
